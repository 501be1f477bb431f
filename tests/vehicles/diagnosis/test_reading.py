from __future__ import annotations

import pytest

from tests.vehicles.diagnosis.models import A_FILE
from vehicles.diagnosis.modelfile import problems
from vehicles.diagnosis.problem import line_of

TYPE_DOLLARS = "Type dollars and cents, such as 1240.50."


@pytest.mark.parametrize(
    ("old", "new", "line"),
    [
        (
            'version = "1"\n',
            "",
            "version: This is missing.",
        ),
        (
            'causes = "one"',
            'causes = "two"',
            "causes: “two” is not known here. Use one of: one, several.",
        ),
        (
            "[specialist]",
            "[specialists]",
            "specialist: This is missing.",
        ),
        (
            'dollars = "450.00"',
            "dollars = 450",
            "specialist.dollars: Write dollars as text, from “0.00” to “10000.00”.",
        ),
        (
            'dollars = "450.00"',
            'dollars = "450.001"',
            f"specialist.dollars: “450.001” is not an amount. {TYPE_DOLLARS}",
        ),
        (
            'dollars = "450.00"',
            'dollars = "-1.00"',
            "specialist.dollars: Write dollars as text, from “0.00” to “10000.00”.",
        ),
        (
            "weight = 0.6",
            "weight = 1.6",
            "faults.hose.weight: “1.6” is not from 0 to 1.",
        ),
        (
            "weight = 0.6",
            "weight = nan",
            "faults.hose.weight: “nan” is not from 0 to 1.",
        ),
        (
            "weight = 0.6",
            'weight = "much"',
            "faults.hose.weight: “much” is not from 0 to 1.",
        ),
        (
            'repair = { minutes = 600, dollars = "420.00" }\n',
            "",
            "faults.gasket.repair: Name an operation, or give minutes and dollars here.",
        ),
        (
            "minutes = 600",
            "minutes = 6.5",
            "faults.gasket.repair.minutes: “6.5” is not a whole number.",
        ),
        (
            "minutes = 600",
            "minutes = 60000",
            "faults.gasket.repair.minutes: This has to be from 0 to 6000.",
        ),
        (
            "severity = 2",
            "severity = 5",
            "faults.gasket.severity: This has to be from 1 to 4.",
        ),
        (
            "strands = true",
            'strands = "yes"',
            "faults.hose.strands: Write true or false without quotes.",
        ),
        (
            '["hot-fluids"]',
            '["hot-fluids", "hot-fluids"]',
            "checks.level.cautions: “hot-fluids” stands there twice.",
        ),
        (
            '["hot-fluids"]',
            '"hot-fluids"',
            "checks.level.cautions: This has to be a list of at most 60 texts.",
        ),
        (
            "sound = [0.95, 0.05]",
            "sound = [0.95]",
            "checks.bubbles.sound: This has to be a list of 2 numbers, one an outcome.",
        ),
        (
            "sound = [0.95, 0.05]",
            "sound = [0.95, true]",
            "checks.bubbles.sound: Each number has to be from 0 to 1.",
        ),
        (
            'title = "Hose leaks"',
            'title = "Hose\\nleaks"',
            "faults.hose.title: The text holds a line break or another unprintable character.",
        ),
    ],
)
def test_a_wrong_value_is_said_with_its_place(old: str, new: str, line: str) -> None:
    assert old in A_FILE
    assert line in [line_of(one) for one in problems(A_FILE.replace(old, new))]


def test_a_list_longer_than_anybody_writes_is_refused() -> None:
    text = A_FILE.replace('["runs hot"]', str([f"word {n}" for n in range(61)]))
    assert [line_of(one) for one in problems(text)] == [
        "words: This has to be a list of at most 60 texts."
    ]


def test_a_number_too_long_to_print_is_refused() -> None:
    text = A_FILE.replace("weight = 0.6", f"weight = 0x{'f' * 9000}")
    assert [line_of(one) for one in problems(text)] == [
        "faults.hose.weight: The number is not from 0 to 1."
    ]


def test_a_long_or_unprintable_key_is_shown_short() -> None:
    text = f'"{"a" * 90}\\n" = 1\n"b\\u0007" = 1\n{A_FILE}'
    assert [one.where for one in problems(text)] == [f"{'a' * 60}…", "b·"]
