"""How two plans differ, in sentences.

>>> from datetime import date
>>> from program.planning.problem import Case, PlanInput, Week
>>> from program.planning.selection import select
>>> week = Week(starts_on=date(2026, 11, 30), capacity={"minutes": 90})
>>> rows = (Case(id="a", need_weight=4, uses={"minutes": 60}),
...         Case(id="b", need_weight=6, uses={"minutes": 90}))
>>> before = select(PlanInput(weeks=(week,), cases=rows[:1]))
>>> now = PlanInput(weeks=(week,), cases=rows)
>>> for sentence in compare(before, select(now), now):
...     print(sentence)
b is new: it goes home in the week of November 30.
a waits again: b goes home in its place.
>>> [str(sentence) for sentence in compare(before, before, now)]
['Nothing changed: the same cars, weeks, money and parts.']
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from program.planning.problem import by_id
from program.planning.wording import case_list, first_of, listed, opening, week_of
from shared.say import say

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping, Sequence

    from program.planning.plan import PartSource, Plan, PlannedCase
    from program.planning.problem import PlanInput, Week
    from shared.say import Say

LONGEST = 12  # sentences that a person reads before the picture blurs
NO_ONE: Mapping[str, Say] = {}


def compare(
    before: Plan,
    after: Plan,
    plan_input: PlanInput,
    *,
    before_weeks: Sequence[Week] = (),
    gone: Mapping[str, Say] = NO_ONE,
    limit: int = LONGEST,
) -> tuple[Say, ...]:
    """Return how the second plan differs from the first, most need first.

    `plan_input` and its weeks are those of the second plan; `before_weeks` are the first one's,
    when they are others. `gone` tells, by case, why one is no longer open: `went home on Friday`.
    """
    pair = _Pair(before, after, plan_input, before_weeks, gone)
    found = [*pair.new(), *pair.dropped(), *pair.moved(), *pair.paid(), *pair.handed()]
    if not found:
        return (say("Nothing changed: the same cars, weeks, money and parts."),)
    return first_of(found, limit)


class _Pair:
    """Two plans beside each other."""

    def __init__(
        self,
        before: Plan,
        after: Plan,
        plan_input: PlanInput,
        before_weeks: Sequence[Week],
        gone: Mapping[str, Say],
    ) -> None:
        self.plan_input, self.gone = plan_input, gone
        self.cases = by_id(plan_input.cases)
        self.weeks = plan_input.weeks
        self.weeks_before = before_weeks or plan_input.weeks
        self.was = {case.case_id: case for case in before.cases}
        self.now = {case.case_id: case for case in after.cases}
        self.both = self._by_need({*self.was} & {*self.now})
        self.added = self._by_need({*self.now} - {*self.was})

    def _by_need(self, case_ids: set[str]) -> list[str]:
        def need(case_id: str) -> tuple[int, str]:
            case = self.cases.get(case_id)
            return -case.need_weight if case else 0, case_id

        return sorted(case_ids, key=need)

    def new(self) -> Iterator[Say]:
        for case_id in self.added:
            week = week_of(self.weeks[self.now[case_id].home_week])
            yield say("{case} is new: it goes home in the {week}.", case=case_id, week=week)

    def dropped(self) -> Iterator[Say]:
        for case_id in self._by_need({*self.was} - {*self.now}):
            yield self._why(case_id)

    def _why(self, case_id: str) -> Say:
        case = self.cases.get(case_id)
        if case is None:
            reason = self.gone.get(case_id) or say("it is no longer open")
            return say("{case} is out of the plan: {reason}.", case=case_id, reason=reason)
        if case.hold is not None:
            return say("{case} is held. {reason}", case=case_id, reason=case.hold)
        if case_id in self.plan_input.pinned_out:
            return say("{case} waits again: a person left it out.", case=case_id)
        return self._displaced(case_id)

    def _displaced(self, case_id: str) -> Say:
        if not self.added:
            return say("{case} waits again: it no longer fits.", case=case_id)
        others = case_list(self.added)
        if len(self.added) > 1:
            return say("{case} waits again: {others} go home now.", case=case_id, others=others)
        return say(
            "{case} waits again: {others} goes home in its place.", case=case_id, others=others
        )

    def moved(self) -> Iterator[Say]:
        for case_id in self.both:
            now = self.weeks[self.now[case_id].home_week]
            was = self._week_before(self.was[case_id].home_week)
            if was and now.starts_on != was.starts_on:
                yield say(
                    "{case} goes home in the {now}, not in the {was}.",
                    case=case_id,
                    now=week_of(now),
                    was=week_of(was),
                )

    def _week_before(self, number: int) -> Week | None:
        return self.weeks_before[number] if number < len(self.weeks_before) else None

    def paid(self) -> Iterator[Say]:
        """Yield the cases that other funds pay for; not every cent that moved."""
        labels = {fund.id: fund.label for fund in self.plan_input.funds}
        for case_id in self.both:
            was, now = (_payers(plan[case_id]) for plan in (self.was, self.now))
            if was != now and now:
                names = listed([say("{fund}", fund=labels.get(name, name)) for name in sorted(now)])
                yield say("{case} is now paid from the {funds}.", case=case_id, funds=names)

    def handed(self) -> Iterator[Say]:
        """Yield the supplies that serve another car, and the parts that come from elsewhere."""
        needs = {
            part.id: (part, item.case_id) for item in self.plan_input.items for part in item.parts
        }
        for case_id in self.both:
            was = {source.need_id: source for source in self.was[case_id].parts}
            for source in self.now[case_id].parts:
                before = was.get(source.need_id)
                if before and before.supply_id != source.supply_id and source.need_id in needs:
                    label = needs[source.need_id][0].label or source.need_id
                    yield self._from(case_id, label, source)

    def _from(self, case_id: str, label: str, source: PartSource) -> Say:
        part = opening(label)
        if source.supply_id is None:
            return say("{part} of {case} is now bought.", part=part, case=case_id)
        supply = by_id(self.plan_input.supplies).get(source.supply_id)
        name = (supply.label if supply else "") or source.supply_id
        return say(
            "{part} of {case} now comes from: {supply}.",
            part=opening(label),
            case=case_id,
            supply=name,
        )


def _payers(case: PlannedCase) -> set[str]:
    return {payment.fund_id for payment in case.payments}
