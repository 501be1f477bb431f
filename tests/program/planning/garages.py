"""Two or three cars each, made by hand: every sum can be done in the head."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Any

from program.planning.plan import Plan, PlannedCase
from program.planning.problem import Case, Fund, Item, PartNeed, PlanInput, Supply
from tests.program.planning.programs import week

if TYPE_CHECKING:
    from collections.abc import Iterable

    from shared.say import Say


def facts(**fields: Any) -> PlanInput:
    """Return three cars of which one needs a radiator, and two weeks."""
    part = PartNeed(id="n", label="radiator", price_cents=70_00, supply_ids=("s",))
    return replace(
        PlanInput(
            weeks=(week(0, minutes=600), week(1, minutes=600)),
            cases=(
                Case(id="a", need_weight=3),
                Case(id="b", need_weight=9),
                Case(id="c", need_weight=5),
            ),
            items=(
                Item(
                    id="i",
                    case_id="a",
                    label="Cooling",
                    tier=1,
                    minutes=60,
                    cash_cents=5_00,
                    parts=(part,),
                ),
            ),
            funds=(
                Fund(id="g", label="general fund", available_cents=500_00),
                Fund(id="r", label="county grant", available_cents=500_00, restricted=True),
            ),
            supplies=(Supply(id="s", label="radiator of Corbel Auto"),),
        ),
        **fields,
    )


def home(case_id: str, home_week: int = 0, **fields: Any) -> PlannedCase:
    """Return a case that goes home in a week."""
    return PlannedCase(case_id=case_id, start_week=0, home_week=home_week, item_ids=(), **fields)


def plan_of(*cases: PlannedCase) -> Plan:
    """Return a plan of these cases."""
    return Plan(cases=cases, stages=())


def texts(sentences: Iterable[Say]) -> list[str]:
    """Return sentences as a person reads them."""
    return [str(sentence) for sentence in sentences]


def two_cars(**fields: object) -> PlanInput:
    """Return one car that goes home and one that lacks a radiator's price or an hour."""
    radiator = PartNeed(id="n", label="Radiator", price_cents=300_00)
    rows = PlanInput(
        weeks=(week(0, minutes=100), week(1, minutes=40)),
        cases=(Case(id="a", need_weight=9), Case(id="b", need_weight=5)),
        items=(
            Item(id="i", case_id="a", tier=0, minutes=90),
            Item(id="j", case_id="b", tier=0, minutes=40, parts=(radiator,)),
        ),
        funds=(
            Fund(id="general", label="general fund", available_cents=205_00),
            Fund(
                id="tires",
                label="tires fund",
                available_cents=0,
                restricted=True,
                pays=frozenset({"i"}),
            ),
        ),
    )
    return replace(rows, **fields)  # type: ignore[arg-type]


def two_parts(**fields: Any) -> PlanInput:
    """Return a car that lacks a set of two tires and a pump, all of which nobody sells."""
    tires = [PartNeed(id=f"t{n}", label="Tire", kind="tire") for n in range(2)]
    pump = PartNeed(id="p", label="Water pump")
    return replace(
        PlanInput(
            weeks=(week(minutes=60, bay_days=2, lift_days=1),),
            cases=(Case(id="26-050", need_weight=7), Case(id="26-051", need_weight=4)),
            items=(
                Item(id="a", case_id="26-050", tier=1, parts=(*tires, pump)),
                Item(id="b", case_id="26-051", tier=1, minutes=120, on_lift=True),
            ),
            funds=(Fund(id="general", label="general fund", available_cents=0),),
        ),
        **fields,
    )


def garage(**fields: Any) -> PlanInput:
    """Return two cars of which the money pays one, in a shop with a bay and a lift."""
    return replace(
        PlanInput(
            weeks=(week(minutes=600, bay_days=5, lift_days=5),),
            cases=(Case(id="26-046", need_weight=9), Case(id="26-047", need_weight=5)),
            items=(
                Item(id="a", case_id="26-046", tier=0, cash_cents=400_00, minutes=60),
                Item(
                    id="b",
                    case_id="26-047",
                    tier=0,
                    cash_cents=100_00,
                    parts=(PartNeed(id="n", label="Radiator", kind="radiator", supply_ids=("s",)),),
                ),
            ),
            funds=(Fund(id="general", label="general fund", available_cents=115_00),),
            supplies=(Supply(id="s", label="radiator of Corbel Auto"),),
        ),
        **fields,
    )
