"""The search for a plan: first what is done, over all weeks as one; then in which weeks.

Most of what is scarce is scarce over all weeks together, so the best choice for one long week
nearly always finds room in the weeks. When it does, it is proven the best. When it doesn't, the
weeks themselves are searched, if the cases are few enough; else what found room is kept, and the
stage says how far the best may be away.

>>> from datetime import date
>>> from program.planning.problem import Case, PlanInput, Week
>>> from program.planning.solving import Attention
>>> week = Week(starts_on=date(2026, 11, 30), capacity={"minutes": 100})
>>> rows = tuple(Case(id=name, need_weight=weight, uses={"minutes": minutes})
...              for name, weight, minutes in [("a", 6, 90), ("b", 4, 40), ("c", 3, 60)])
>>> stages, cases = Search(PlanInput(weeks=(week,), cases=rows), 1.0, Attention(None)).run()
>>> [case.case_id for case in cases], stages[0].value, stages[0].proven
(['b', 'c'], 7, True)
"""

from __future__ import annotations

from dataclasses import replace
from random import Random
from typing import TYPE_CHECKING

from program.planning.aims import KEPT, WHAT, WHEN
from program.planning.demand import forced
from program.planning.greedy import by_scarcity, greedy
from program.planning.hints import hint_of
from program.planning.nearby import better_near
from program.planning.placing import Placer, settled
from program.planning.plan import PlannedCase, Stage, StageName
from program.planning.solver import Model
from program.planning.solving import highest, hint, lowest, read, solver
from program.planning.whole import LEAST, narrow, whole

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable

    from program.planning.aims import Aim
    from program.planning.hints import Hint
    from program.planning.problem import PlanInput
    from program.planning.solving import Attention

Cases = tuple[PlannedCase, ...]
NEED, *LATER = WHAT
FEW = 60  # so many cases are searched week by week when that is needed
MID = 200  # so many have extras searched near the plan as well
MANY = 500  # from so many cases on one greedy plan is enough to start from
LATER_SHARE = 4  # better extras are worth a part of the waiting for another case
QUICK_SHARE = 25  # and less where few cases wait and a person is at the screen
WEEKS_SHARE = 80  # and better weeks less than these
PLACING_SHARE = 0.3
ROUNDS_SHARE = 20  # for each of the rounds in which some cases are planned anew
ROUNDS = 8
NEAR = 16  # so many cases are planned anew at once
GATE = (KEPT, NEED)
DOING = {
    StageName.KEPT: "keeping what was promised",
    StageName.NEED: "choosing cases",
    StageName.SAFETY: "choosing extras",
    StageName.CASH: "sparing money",
    StageName.CHANGES: "keeping to the approved plan",
    StageName.EARLY: "setting weeks",
    StageName.MOVED: "setting weeks",
    StageName.STAY: "setting weeks",
}


def greedy_best(plan_input: PlanInput, prices: Hint) -> Cases:
    """Return the better of two greedy plans; of many cases only that by prices, which wins."""
    found = [greedy(plan_input, prices.worth)]
    if len(plan_input.cases) <= MANY:
        found.append(greedy(plan_input, by_scarcity(plan_input)))
    return max(found, key=lambda cases: _standing(plan_input, cases))


def _standing(plan_input: PlanInput, cases: Cases) -> tuple[int, int]:
    return KEPT.measure(plan_input, cases), NEED.measure(plan_input, cases)


class _Models:
    """One choice to be made: over all weeks as one, and, when that is needed, week by week."""

    def __init__(self, plan_input: PlanInput, *, extras: bool) -> None:
        self.plan_input, self.extras = plan_input, extras
        self.relaxed = Model(whole(plan_input), extras=extras)
        self._exact: Model | None = None
        self._rules: list[Callable[[Model], None]] = []

    @property
    def exact(self) -> Model:
        """The model of the weeks, under every rule that was added."""
        if self._exact is None:
            self._exact = Model(self.plan_input, extras=self.extras)
            for rule in self._rules:
                rule(self._exact)
        return self._exact

    def add(self, rule: Callable[[Model], None]) -> None:
        """Add a rule that every plan from here on keeps."""
        self._rules.append(rule)
        rule(self.relaxed)
        if self._exact is not None:
            rule(self._exact)


class Search:
    """One search, from the greedy plan on; `cases` is always a plan that keeps every rule."""

    def __init__(self, plan_input: PlanInput, effort: float, watch: Attention) -> None:
        self.plan_input, self.effort, self.watch = plan_input, effort, watch
        self.prices = hint_of(plan_input)
        self.cases = greedy_best(plan_input, self.prices)
        self.frozen: list[tuple[Aim, int]] = []
        self.few = len(plan_input.cases) <= FEW
        self.mid = len(plan_input.cases) <= MID
        self.placer = Placer(plan_input, self.prices.worth, watch)

    def run(self) -> tuple[tuple[Stage, ...], Cases]:
        """Return what was reached for each aim, and the plan."""
        gate = _Models(self.plan_input, extras=False)
        stages = [] if self._keeps_all() else [self._reach(gate, KEPT, 5)]
        stages = [] if self._keeps_all() else stages
        self._freeze(gate, KEPT, KEPT.measure(self.plan_input, self.cases))
        gate.add(_sure(self.prices, NEED.measure(self.plan_input, self.cases)))
        stages.append(self._reach(gate, NEED, 10))
        models = _Models(self.plan_input, extras=True)
        models.add(_sure(self.prices, NEED.measure(self.plan_input, self.cases)))
        for aim, value in self.frozen:
            models.add(_frozen(aim, value))
        for place, aim in enumerate(LATER):
            stages.append(self._reach(models, aim, 40 + 15 * place))
        return (*stages, *self._weeks()), self.cases

    def _keeps_all(self) -> bool:
        return forced(self.plan_input) <= {case.case_id for case in self.cases}

    def _freeze(self, models: _Models, aim: Aim, value: int) -> None:
        """Keep what was reached for an aim while the next is sought."""
        self.frozen.append((aim, value))
        models.add(_frozen(aim, value))

    def _reach(self, models: _Models, aim: Aim, percent: int) -> Stage:
        """Return what can be reached for one aim; the plan so far gives way to a better one."""
        self.watch.tell(percent, DOING[aim.name])
        known = self.prices.bound if aim is NEED else None
        stage = self._seek(models.relaxed, aim, known, self._share(aim), merged=True)
        if not stage.proven and self.few and not self.watch.stop():
            stage = self._seek(models.exact, aim, stage.bound, self._share(aim))
        if not stage.proven and not self.few and (aim in GATE or self.mid):
            self._improve(aim, stage.bound)
            value = aim.measure(self.plan_input, self.cases)
            stage = replace(stage, value=value, proven=value == stage.bound)
        if aim is not KEPT:
            self._freeze(models, aim, stage.value)
        return stage

    def _improve(self, aim: Aim, bound: int) -> None:
        """Plan a few cases anew, others each time, while that may still bring something."""
        aims = [*(kept for kept, _ in self.frozen), aim]
        for draw in (Random(number) for number in range(ROUNDS)):  # noqa: S311 (no secret)
            if self.watch.stop() or aim.measure(self.plan_input, self.cases) == bound:
                return
            self.cases = better_near(
                self.plan_input,
                self.cases,
                self._some(draw),
                aims,
                effort=self._share(aim) / ROUNDS_SHARE,
                watch=self.watch,
            )

    def _some(self, draw: Random) -> frozenset[str]:
        """Return some cases to be planned anew, the most promising that wait among them."""
        planned = [case.case_id for case in self.cases]
        waiting = sorted(self.prices.beyond.keys() - set(planned))
        waiting.sort(key=lambda case_id: -self.prices.beyond[case_id])
        some = draw.sample(planned, min(NEAR, len(planned)))
        near = waiting[: 2 * NEAR]
        return frozenset([*some, *draw.sample(near, min(NEAR // 2, len(near)))])

    def _seek(
        self, model: Model, aim: Aim, known: int | None, effort: float, *, merged: bool = False
    ) -> Stage:
        """Return what one model reaches for an aim; `known` is a bound that holds already.

        What was chosen over all weeks `merged` into one has yet to find its weeks.
        """
        expression, so_far = aim.expression(model), aim.measure(self.plan_input, self.cases)
        if isinstance(expression, int) or so_far == known:
            return Stage(name=aim.name, value=so_far, bound=so_far, proven=True)
        if known is not None:
            model.cp.add(expression <= known if aim.highest else expression >= known)
        hint(model, self.cases)
        run = solver(effort, linear=merged)
        answer = (highest if aim.highest else lowest)(model, expression, run, self.watch)
        if answer.value is not None and _better(aim, answer.value, so_far):
            found = read(model, run)
            if merged:
                self._place(aim, found)
            else:
                self._take(aim, found)
        value = aim.measure(self.plan_input, self.cases)
        bound = _tighter(aim, [answer.bound, known])
        return Stage(name=aim.name, value=value, bound=bound, proven=bound == value)

    def _place(self, aim: Aim, chosen: Cases) -> None:
        """Give weeks to what was chosen over all weeks as one, or to as much as finds room."""
        placed = self.placer.all_of(chosen, effort=self._share(aim) * PLACING_SHARE)
        if placed is not None:
            self._take(aim, placed)
        elif aim in GATE:
            self._take(aim, self.placer.most_of(chosen))
        elif aim.name == StageName.SAFETY:
            wanted = {item_id for planned in chosen for item_id in planned.item_ids}
            self._take(aim, self.placer.with_extras(self.cases, wanted))

    def _share(self, aim: Aim) -> float:
        """Return the effort for one aim: extras are worth less waiting than another case."""
        share = QUICK_SHARE if self.few else LATER_SHARE
        return self.effort if aim in GATE else self.effort / share

    def _take(self, aim: Aim, found: Cases) -> None:
        """Let what was found take the place of the plan if it is better and costs no other aim."""
        now = aim.measure(self.plan_input, self.cases)
        keeps = all(
            not _better(kept, value, kept.measure(self.plan_input, found))
            for kept, value in self.frozen
        )
        if keeps and _better(aim, aim.measure(self.plan_input, found), now):
            self.cases = found

    def _weeks(self) -> list[Stage]:
        """Return what is reached for the weeks once it is settled what is done."""
        rows, stages = narrow(self.plan_input, self.cases), list[Stage]()
        model = settled(rows, self.cases) if len(self.cases) <= FEW else None
        for place, aim in enumerate(WHEN):
            self.watch.tell(85 + 5 * place, DOING[aim.name])
            least = LEAST[aim.name](rows, self.cases)
            if model is None or self.watch.stop():
                value = aim.measure(rows, self.cases)
                stage = Stage(name=aim.name, value=value, bound=least, proven=least == value)
            else:
                stage = self._seek(model, aim, least, self.effort / WEEKS_SHARE)
                _frozen(aim, stage.value)(model)
            self.frozen.append((aim, stage.value))
            stages.append(stage)
        return stages


def _frozen(aim: Aim, value: int) -> Callable[[Model], None]:
    """Return the rule that an aim stays at what was reached for it."""

    def rule(model: Model) -> None:
        reached = aim.expression(model)
        if not isinstance(reached, int):
            model.cp.add(reached >= value if aim.highest else reached <= value)

    return rule


def _sure(prices: Hint, value: int) -> Callable[[Model], None]:
    """Return the rule that what the prices settle is settled."""

    def rule(model: Model) -> None:
        for case_id, taken in sorted(prices.sure(value).items()):
            model.cp.add(model.y[case_id] == taken)

    return rule


def _better(aim: Aim, value: int, other: int) -> bool:
    return value > other if aim.highest else value < other


def _tighter(aim: Aim, bounds: Iterable[int | None]) -> int:
    known = [bound for bound in bounds if bound is not None]
    return min(known) if aim.highest else max(known)
