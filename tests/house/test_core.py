"""The core can be used from a plain Python prompt: no framework comes with it."""

from __future__ import annotations

import subprocess
import sys

import pytest

from tests.house.tree import ROOT

ENTRY_POINTS = [
    "vehicles.intake.vin",
    "vehicles.inspection.judge",
    "vehicles.inspection.catalogue",
    "vehicles.repairs.ranking",
    "vehicles.repairs.estimate",
    "vehicles.repairs.fitment",
    "sponsors.matching.matching",
    "program.planning.selection",
    "program.planning.bays",
    "program.ledger.ledger",
    "program.ledger.restrictions",
    "program.cases.next_step",
    "shared.people.may",
]

PROMPT = """
import sys
import {module}
print([name for name in ("celery", "django", "reportlab") if name in sys.modules])
"""


@pytest.mark.parametrize("module", ENTRY_POINTS)
def test_an_entry_point_imports_without_the_framework(module: str) -> None:
    prompt = [sys.executable, "-c", PROMPT.format(module=module)]
    answer = subprocess.run(  # noqa: S603  # our own interpreter and a text of ours
        prompt, cwd=ROOT, capture_output=True, text=True, check=False
    )
    assert (answer.stdout.strip(), answer.stderr) == ("[]", "")
