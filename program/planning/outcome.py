"""What one computation of the plan found, and the same as JSON, so that a page needs no solver.

>>> week = WeekUse(starts_on=date(2026, 11, 30), minutes_there=600, minutes_used=540)
>>> week.minutes_left
60
>>> Outcome.from_json(Outcome(plan=Plan(cases=(), stages=()), weeks=(week,)).to_json()).weeks[0]
WeekUse(starts_on=datetime.date(2026, 11, 30), minutes_there=600, minutes_used=540)
"""

from __future__ import annotations

from dataclasses import asdict, dataclass
from datetime import date
from typing import Any, Self

from program.planning.plan import (
    PartSource,
    Payment,
    Plan,
    PlannedCase,
    Stage,
    StageName,
)

Json = dict[str, Any]


@dataclass(frozen=True, kw_only=True)
class Home:
    """One case that goes home: its name, the work left in words, the days that can be told."""

    case_id: str
    name: str
    work: str
    need_weight: int
    start_on: date
    from_on: date
    by_on: date


@dataclass(frozen=True, kw_only=True)
class Wait:
    """One case that waits: what it lacks, the reasons, what taking it in would cost the others."""

    case_id: str
    name: str
    need_weight: int
    lacks: str
    held: bool = False  # a person has to act before it can be planned
    reasons: tuple[str, ...] = ()
    swap: str = ""


@dataclass(frozen=True, kw_only=True)
class Wanted:
    """One part to ask for: the need it would fill, the cases it would free, what that is worth."""

    need_id: int
    label: str
    sentence: str
    freed: tuple[str, ...] = ()
    weight: int = 0
    cents_saved: int = 0


@dataclass(frozen=True, kw_only=True)
class Stay:
    """One car in one bay, from its first to its last day there."""

    case_id: str
    bay: str
    first_on: date
    last_on: date


@dataclass(frozen=True, kw_only=True)
class WeekUse:
    """What one week holds and what the plan takes of it."""

    starts_on: date
    minutes_there: int
    minutes_used: int

    @property
    def minutes_left(self) -> int:
        """Minutes that nobody has been given."""
        return self.minutes_there - self.minutes_used


@dataclass(frozen=True, kw_only=True)
class FundUse:
    """One fund: free before the plan, of that kept back, paid by the plan, set aside before."""

    code: str
    name: str
    free_cents: int
    kept_cents: int
    plan_cents: int
    set_aside_cents: int

    @property
    def left_cents(self) -> int:
        """Free after the plan, what is kept back not counted."""
        return self.free_cents - self.kept_cents - self.plan_cents


@dataclass(frozen=True, kw_only=True)
class Outcome:
    """A plan with everything that a person is told about it."""

    plan: Plan
    homes: tuple[Home, ...] = ()
    waits: tuple[Wait, ...] = ()
    wanted: tuple[Wanted, ...] = ()
    stays: tuple[Stay, ...] = ()
    weeks: tuple[WeekUse, ...] = ()
    funds: tuple[FundUse, ...] = ()
    problems: tuple[str, ...] = ()
    pins_cost: int = 0  # need weight that a plan without the pins would reach beyond this one

    def to_json(self) -> Json:
        """Return the outcome as JSON holds it: days as ISO text, rows as lists."""
        rows = {name: [_plain(asdict(row)) for row in getattr(self, name)] for name in _ROW_KINDS}
        return {
            "plan": plan_to_json(self.plan),
            "problems": list(self.problems),
            "pins_cost": self.pins_cost,
            **rows,
        }

    @classmethod
    def from_json(cls, data: Json) -> Self:
        """Return the outcome that `to_json` wrote."""
        rows: Json = {
            name: tuple(kind(**_typed(row)) for row in data[name])
            for name, kind in _ROW_KINDS.items()
        }
        return cls(
            plan=plan_from_json(data["plan"]),
            problems=tuple(data["problems"]),
            pins_cost=data.get("pins_cost", 0),  # plans kept before it was computed have none
            **rows,
        )


_ROW_KINDS: dict[str, type] = {
    "homes": Home,
    "waits": Wait,
    "wanted": Wanted,
    "stays": Stay,
    "weeks": WeekUse,
    "funds": FundUse,
}


def plan_to_json(plan: Plan) -> Json:
    """Return a plan as JSON holds it; its problems are sentences and stand in the outcome."""
    return {
        "stages": [asdict(stage) for stage in plan.stages],
        "cases": [
            asdict(case) | {"uses": [[*key, amount] for key, amount in sorted(case.uses.items())]}
            for case in plan.cases
        ],
    }


def plan_from_json(data: Json) -> Plan:
    """Return the plan that `plan_to_json` wrote, without its problems."""
    return Plan(
        stages=tuple(Stage(**row | {"name": StageName(row["name"])}) for row in data["stages"]),
        cases=tuple(_planned_case(row) for row in data["cases"]),
    )


def _planned_case(row: Json) -> PlannedCase:
    return PlannedCase(
        case_id=row["case_id"],
        start_week=row["start_week"],
        home_week=row["home_week"],
        item_ids=tuple(row["item_ids"]),
        parts=tuple(PartSource(**part) for part in row["parts"]),
        payments=tuple(Payment(**payment) for payment in row["payments"]),
        uses={(week, name): amount for week, name, amount in row["uses"]},
    )


def _plain(row: Json) -> Json:
    return {
        name: value.isoformat() if isinstance(value, date) else value for name, value in row.items()
    }


def _typed(row: Json) -> Json:
    return {name: _value(name, value) for name, value in row.items()}


def _value(name: str, value: object) -> object:
    if name.endswith("_on") and isinstance(value, str):
        return date.fromisoformat(value)
    return tuple(value) if isinstance(value, list) else value
