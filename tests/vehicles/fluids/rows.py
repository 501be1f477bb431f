"""Rows of fluids: what the maker says, readings and top-ups, as a technician records them."""

from __future__ import annotations

import datetime as dt
from typing import TYPE_CHECKING, Any

import pytest
from django.core.exceptions import ValidationError

from shared.accounts.roles import RoleKind
from tests.factories import make_user
from vehicles.fluids.actions import pour, record_reading, set_demand
from vehicles.fluids.gathering import state_of
from vehicles.fluids.levels import Engine, Heat, Level
from vehicles.fluids.rows import load
from vehicles.fluids.values import Demand, Noted, Poured
from vehicles.models import FluidReading, FluidRule, TopUp

if TYPE_CHECKING:
    from shared.models import User
    from vehicles.models import Intake

FLUIDS = load()
OIL = "5W-30 API SN"
SETTLED = 30  # minutes, more than any fluid takes


def technician(stay: Intake) -> User:
    """Return a technician of the stay's program who may do everything."""
    return make_user(RoleKind.TECHNICIAN, program=stay.program)


def say_maker(stay: Intake, fluid: str = "engine-oil", **fields: Any) -> FluidRule:
    """Record what the maker says: oil is read with the engine off and hot."""
    by = fields.pop("by", None) or technician(stay)
    said: dict[str, Any] = {
        "specification": OIL,
        "engine": Engine.OFF,
        "heat": Heat.HOT,
        "source": "Owner’s book",
    }
    return set_demand(intake=stay, fluid=FLUIDS[fluid], demand=Demand(**said | fields), by=by)


def read(stay: Intake, level: Level, fluid: str = "engine-oil", **fields: Any) -> FluidReading:
    """Record a reading as the maker of `say_maker` wants it."""
    by = fields.pop("by", None) or technician(stay)
    how: dict[str, Any] = {"engine": Engine.OFF, "heat": Heat.HOT, "level_ground": True}
    noted = Noted(level=level, **how | fields)
    return record_reading(intake=stay, fluid=FLUIDS[fluid], noted=noted, by=by)


def top_up(row: FluidReading, typed: str = "1/2", **fields: Any) -> TopUp:
    """Record what was poured in after a reading, from the right bottle."""
    by = fields.pop("by", None) or row.by
    poured: dict[str, Any] = {"reading": row.pk, "typed": typed, "unit": "qt", "specification": OIL}
    return pour(intake=row.intake, fluid=FLUIDS[row.fluid], poured=Poured(**poured | fields), by=by)


def let_settle(stay: Intake, minutes: int = SETTLED) -> None:
    """Put all that was recorded on a stay that many minutes back."""
    back = dt.timedelta(minutes=minutes)
    for row in FluidReading.objects.filter(intake=stay):
        FluidReading.objects.filter(pk=row.pk).update(at=row.at - back)
    for one in TopUp.objects.filter(reading__intake=stay):
        TopUp.objects.filter(pk=one.pk).update(at=one.at - back)


def refusal(act: Any, *args: Any, **fields: Any) -> ValidationError:
    """Return what is refused; nothing is recorded then."""
    tables = (FluidRule, FluidReading, TopUp)
    before = [table.objects.count() for table in tables]
    with pytest.raises(ValidationError) as found:
        act(*args, **fields)
    assert [table.objects.count() for table in tables] == before
    return found.value


def state(stay: Intake, fluid: str = "engine-oil") -> Any:
    """Return what stands of a fluid."""
    return state_of(stay, FLUIDS[fluid])
