"""What a plan of the one program is computed from."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from program.planning.gathering import gather
from shared.models import Program
from tests.factories import (
    TODAY,
)

if TYPE_CHECKING:
    from program.planning.problem import PlanInput


def gathered(**fields: Any) -> PlanInput:
    program = fields.pop("program", None) or Program.objects.get()
    span: dict[str, Any] = {"first_week_on": TODAY, "weeks": 3}
    return gather(program, **span | fields)
