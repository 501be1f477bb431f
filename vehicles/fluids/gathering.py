"""From the rows of a fluid to the plain values that are judged: one state a fluid of a stay."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from fractions import Fraction
from functools import cached_property
from typing import TYPE_CHECKING

from django.core.exceptions import ValidationError

from shared.people.may import acts_for_point
from shared.people.queries import refuse_unless_may_all
from vehicles.custody.acts import Act
from vehicles.custody.queries import refuse_without
from vehicles.fluids.advice import advise
from vehicles.fluids.applies import fluids_of
from vehicles.fluids.levels import Engine, Heat, Level, Look, Maker, Reading, unsettled
from vehicles.fluids.queries import readings_of, rules_of, top_ups_of
from vehicles.fluids.rows import Refill, load
from vehicles.fluids.specifications import Bottle
from vehicles.fluids.values import volume
from vehicles.intake.car import Fuel
from vehicles.intake.kinds import Transmission
from vehicles.intake.models import Intake

if TYPE_CHECKING:
    from collections.abc import Sequence

    from shared.accounts.models import User
    from vehicles.fluids.levels import Step
    from vehicles.fluids.models import FluidReading, FluidRule, TopUp
    from vehicles.fluids.rows import Fluid
    from vehicles.inspection.models import Finding
    from vehicles.inspection.units import Quantity
    from vehicles.intake.models import Vehicle

EIGHTHS = 8
SECONDS_A_MINUTE = 60
RAISED = "lifting-stands"


@dataclass(frozen=True, kw_only=True)
class State:
    """One fluid of one stay: what the maker says, what was read and what was poured in.

    `rules`, `all_readings` and `all_top_ups` are oldest first and hold what was taken back as well.
    """

    fluid: Fluid
    rules: tuple[FluidRule, ...]
    all_readings: tuple[FluidReading, ...]
    all_top_ups: tuple[TopUp, ...]

    @cached_property
    def rule(self) -> FluidRule | None:
        """What the maker says, as it stands now."""
        return next((row for row in self.rules if row.ended_at is None), None)

    @cached_property
    def maker(self) -> Maker:
        """The rule as a plain value; nothing known where there is none."""
        return maker_of(self.rule)

    @cached_property
    def readings(self) -> list[FluidReading]:
        """The readings that stand."""
        return [row for row in self.all_readings if row.withdrawn_at is None]

    @cached_property
    def top_ups(self) -> list[TopUp]:
        """What was poured in and not taken back."""
        return [row for row in self.all_top_ups if row.withdrawn_at is None]

    @property
    def newest(self) -> FluidReading | None:
        """The reading that counts now."""
        return self.readings[-1] if self.readings else None

    @property
    def after_newest(self) -> TopUp | None:
        """What was poured in after the newest reading: then it has to be read again."""
        rows = [row for row in self.top_ups if self.newest and row.reading_id == self.newest.pk]
        return rows[-1] if rows else None

    @cached_property
    def step(self) -> Step | None:
        """What the newest reading asks for, if the bottle turns out to be the right one."""
        if self.newest is None:
            return None
        demanded = Bottle(says=self.maker.specification, opened=False)
        return self.step_after(self.newest, demanded)

    @property
    def earliest(self) -> dt.datetime | None:
        """When what was poured in has settled, so that a reading counts."""
        if not self.top_ups:
            return None
        return self.top_ups[-1].at + dt.timedelta(minutes=self.fluid.settle_minutes)

    @property
    def may_run(self) -> bool:
        """Whether the engine may run as the fluid stands, as far as it was read.

        What a reading forbids is lifted by a later one that has settled on level ground; where it
        became a finding that no top-up mends, it stands until that finding is closed.
        """
        if any(self._forbids_for_good(row) for row in self.readings):
            return False
        for row in reversed(self.readings):
            if row.level in self.fluid.kept_off:
                return False
            if self._has_settled(row):
                break
        return True

    @property
    def findings(self) -> list[Finding]:
        """The findings of its readings that nobody has closed, each once."""
        linked = {row.finding.pk: row.finding for row in self.readings if row.finding}
        return [row for row in linked.values() if _is_open(row)]

    def step_after(self, row: FluidReading, bottle: Bottle) -> Step:
        """Return the next step after a reading with a bottle at hand."""
        before = self._before(row)
        return advise(
            self.fluid,
            reading_of(row, before),
            self.maker,
            history=[amount_of(one) for one in before],
            bottle=bottle,
        )

    def _before(self, row: FluidReading) -> list[TopUp]:
        """Return what was poured in before a reading: it hangs on the readings before."""
        return [one for one in self.top_ups if one.reading_id < row.pk]

    def _forbids_for_good(self, row: FluidReading) -> bool:
        if row.finding is None or not _is_open(row.finding):
            return False
        states = {row.looks, row.level if self.fluid.refill is Refill.NEVER else ""}
        return not states.isdisjoint(self.fluid.kept_off)

    def _has_settled(self, row: FluidReading) -> bool:
        before = self._before(row)
        left = unsettled(self.fluid, reading_of(row, before), poured=bool(before))
        return not left and row.level_ground is not False


def _is_open(finding: Finding) -> bool:
    return finding.cleared_on is None and not finding.withdrawn_because


def maker_of(rule: FluidRule | None) -> Maker:
    """Return what the maker says as a plain value."""
    if rule is None:
        return Maker()
    return Maker(
        specification=rule.specification,
        engine=Engine(rule.engine) if rule.engine else None,
        heat=Heat(rule.heat) if rule.heat else None,
        stick=rule.stick,
        between=volume(rule.between) if rule.between else None,
        capacity=volume(rule.capacity) if rule.capacity else None,
    )


def reading_of(row: FluidReading, before: Sequence[TopUp]) -> Reading:
    """Return a reading as a plain value; `before` is what was poured in before it."""
    since = (row.at - before[-1].at).total_seconds() if before else None
    eighths = row.missing_eighths
    return Reading(
        level=Level(row.level),
        look=Look(row.looks or Look.CLEAN),
        engine=Engine(row.engine) if row.engine else None,
        heat=Heat(row.heat) if row.heat else None,
        level_ground=row.level_ground,
        missing=None if eighths is None else Fraction(eighths, EIGHTHS),
        minutes_since=None if since is None else int(since // SECONDS_A_MINUTE),
    )


def amount_of(row: TopUp) -> Quantity:
    """Return the amount that was poured in."""
    return volume(row.typed, row.unit)


def fluids_here(vehicle: Vehicle) -> tuple[Fluid, ...]:
    """Return the fluids of a car in the order in which one goes about it."""
    shifts = vehicle.transmission
    return fluids_of(
        Transmission(shifts) if shifts in list(Transmission) else None,
        Fuel(vehicle.fuel) if vehicle.fuel else None,
    )


def states_of(stay: Intake) -> list[State]:
    """Return the state of each fluid that a car has or that was read on it; three queries."""
    rules, readings, top_ups = rules_of(stay), readings_of(stay), top_ups_of(stay)
    shown = {one.code for one in fluids_here(stay.vehicle)} | {row.fluid for row in readings}
    return [
        State(
            fluid=fluid,
            rules=tuple(row for row in rules if row.fluid == fluid.code),
            all_readings=tuple(row for row in readings if row.fluid == fluid.code),
            all_top_ups=tuple(row for row in top_ups if row.reading.fluid == fluid.code),
        )
        for fluid in load().values()
        if fluid.code in shown
    ]


def state_of(stay: Intake, fluid: Fluid) -> State:
    """Return the state of one fluid; three queries."""
    code = fluid.code
    return State(
        fluid=fluid,
        rules=tuple(rules_of(stay, code)),
        all_readings=tuple(readings_of(stay, code)),
        all_top_ups=tuple(top_ups_of(stay, code)),
    )


def at_work(stay: Intake, fluid: Fluid, by: User) -> Intake:
    """Return the stay, locked, once this user may work on that fluid of the car.

    Raises:
        ValidationError: the stay has ended, nobody consented, or this user may not do it.
    """
    rows = Intake.objects.select_for_update(of=("self",)).select_related("program", "vehicle")
    locked = rows.get(pk=stay.pk)
    if locked.left_on:
        raise ValidationError("This stay has ended. Open a new intake to read its fluids again.")
    today = locked.program.today()
    refuse_without(locked, Act.DIAGNOSE, today)
    group = "look_under" if RAISED in fluid.cautions else ""
    refuse_unless_may_all(by, acts_for_point(group, fluid.cautions), today)
    return locked
