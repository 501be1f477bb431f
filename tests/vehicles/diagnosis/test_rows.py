from __future__ import annotations

import pytest

from tests.vehicles.diagnosis.models import A_FILE
from vehicles.diagnosis.modelfile import problems
from vehicles.diagnosis.problem import line_of

CLASSES = "Use one of: dangerous, major, minor."


@pytest.mark.parametrize(
    ("old", "new", "line"),
    [
        (
            'code = "hot"',
            'code = "Hot"',
            "code: A code has at most 40 lower case letters, digits and single hyphens.",
        ),
        (
            '"fault model 1"',
            '"fault model 3"',
            "format: “fault model 3” is not known here. Did you mean “fault model 1”?",
        ),
        (
            '"tire-patch"',
            '"tire-path"',
            "faults.hose.operation: “tire-path” is not known here. Did you mean “tire-patch”?",
        ),
        (
            '"dangerous"',
            '"deadly"',
            f"faults.gasket.deficiency: “deadly” is not known here. {CLASSES}",
        ),
        (
            "hose = 0.2 ",
            "house = 0.2 ",
            "faults.gasket.caused_by.house: “house” is not known here. Did you mean “hose”?",
        ),
        (
            '["hot-fluids"]',
            '["hot-fluid"]',
            "checks.level.cautions: “hot-fluid” is not known here. Did you mean “hot-fluids”?",
        ),
        (
            '{ none = "None", many = "Many" }',
            '{ none = "None" }',
            "checks.bubbles.outcomes: A check has 2 to 8 outcomes.",
        ),
        (
            'hose = ["empty"]',
            'hose = ["emptied"]',
            "checks.level.names.hose: “emptied” is not known here. Did you mean “empty”?",
        ),
        (
            'low = ["P0128"]',
            'low = ["P012"]',
            "checks.level.codes.low: “P012” is not a trouble code.",
        ),
        (
            'outcomes = ["normal", "low"]\n',
            "",
            "checks.bubbles.after.1.outcomes: Name the outcomes of “level”.",
        ),
        (
            'fault = "gasket"\nat',
            "at",
            "checks.bubbles.bars.2: Name a check with outcomes, or a fault.",
        ),
        (
            '"text-seen"\n\n[checks',
            '"seen"\n\n[checks',
            "checks.level.mark: “seen” is not known here. Did you mean “text-seen”?",
        ),
    ],
)
def test_a_name_that_is_none_is_said_with_its_place(old: str, new: str, line: str) -> None:
    assert old in A_FILE
    assert line in [line_of(one) for one in problems(A_FILE.replace(old, new))]
