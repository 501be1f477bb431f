"""The facts a plan was computed from, as JSON holds them: kept with the plan.

So a question to the plan (why not, what if) is answered from what it was made of, whatever was
typed since; and what changed since can be said.

>>> from datetime import date
>>> from shared.say import say
>>> from program.planning.problem import Case, Fund, PlanInput, Week
>>> given = PlanInput(
...     weeks=(Week(starts_on=date(2026, 11, 30), capacity={"minutes": 90}),),
...     cases=(Case(id="26-041", need_weight=6, hold=say("Not before {day}.", day="Monday")),),
...     funds=(Fund(id="g", label="gift", available_cents=5, pays=frozenset({"a", "b"})),),
... )
>>> facts_from_json(facts_to_json(given)) == given
True
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import fields
from datetime import date
from functools import singledispatch
from typing import Any

from program.planning.outcome import plan_from_json, plan_to_json
from program.planning.plan import Plan
from program.planning.problem import Case, Fund, Item, PartNeed, PlanInput, Supply, Week
from program.planning.wording import said, unsaid
from shared.say import Say

Json = dict[str, Any]


def facts_to_json(plan_input: PlanInput) -> Json:
    """Return an input as JSON holds it; equal inputs give equal text."""
    return {field.name: _plain(getattr(plan_input, field.name)) for field in fields(plan_input)}


def facts_from_json(data: Json) -> PlanInput:
    """Return the input that `facts_to_json` wrote."""
    return PlanInput(
        **data
        | {
            "weeks": tuple(_week(row) for row in data["weeks"]),
            "cases": tuple(_case(row) for row in data["cases"]),
            "items": tuple(_item(row) for row in data["items"]),
            "funds": tuple(_fund(row) for row in data["funds"]),
            "supplies": tuple(Supply(**row) for row in data["supplies"]),
            "pinned_in": frozenset(data["pinned_in"]),
            "pinned_out": frozenset(data["pinned_out"]),
            "prior": plan_from_json(data["prior"]) if data["prior"] else None,
        }
    )


@singledispatch
def _plain(value: object) -> object:
    names = getattr(value, "__dataclass_fields__", None)
    return value if names is None else {name: _plain(getattr(value, name)) for name in names}


_plain.register(Plan)(plan_to_json)
_plain.register(Say)(said)
_plain.register(date)(date.isoformat)
_plain.register(frozenset)(sorted)


@_plain.register
def _(value: Mapping) -> Json:  # type: ignore[type-arg]  # singledispatch takes the bare class
    return {str(name): value[name] for name in sorted(value)}


@_plain.register
def _(value: tuple) -> list[object]:  # type: ignore[type-arg]  # as above
    return [_plain(row) for row in value]


def _week(row: Json) -> Week:
    return Week(
        starts_on=date.fromisoformat(row["starts_on"]),
        capacity=row["capacity"],
        open_on=tuple(date.fromisoformat(day) for day in row["open_on"]),
    )


def _case(row: Json) -> Case:
    return Case(**row | {"hold": unsaid(row["hold"]) if row["hold"] else None})


def _item(row: Json) -> Item:
    parts = tuple(
        PartNeed(**part | {"supply_ids": tuple(part["supply_ids"])}) for part in row["parts"]
    )
    return Item(**row | {"parts": parts, "prerequisites": tuple(row["prerequisites"])})


def _fund(row: Json) -> Fund:
    lapses = row["lapses_on"]
    return Fund(
        **row
        | {
            "pays": None if row["pays"] is None else frozenset(row["pays"]),
            "lapses_on": date.fromisoformat(lapses) if lapses else None,
            "rule": unsaid(row["rule"]),
        }
    )
