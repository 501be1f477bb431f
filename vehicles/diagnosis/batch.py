"""The cars whose repair held, and the weights that they teach."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from shared.accounts.models import Program
    from vehicles.diagnosis.fault_model import FaultModel


def learned(program: Program, model: FaultModel) -> tuple[dict[str, float], int]:
    return {}, 0
