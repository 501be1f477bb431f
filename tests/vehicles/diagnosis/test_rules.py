from __future__ import annotations

import pytest

from tests.vehicles.diagnosis.models import A_FILE
from vehicles.diagnosis.modelfile import problems
from vehicles.diagnosis.problem import line_of


@pytest.mark.parametrize(
    ("old", "new", "line"),
    [
        (
            "weight = 0.6",
            "weight = 0.5",
            "faults: All weights and “unlisted” sum to 0.90, not 1.",
        ),
        (
            "hose = 0.2 ",
            "hose = 0 ",
            "faults.gasket.caused_by.hose: Leave out what is 0.",
        ),
        (
            "caused_by = { hose = 0.2 }",
            "caused_by = { gasket = 0.2 }",
            "faults.gasket.caused_by: “gasket” brings about “gasket”.",
        ),
        (
            "sound = [0.95, 0.05]",
            "sound = [0, 1]",
            "checks.bubbles.sound: The first outcome is what a sound car shows; it can’t be 0.",
        ),
        (
            'many = "Many"',
            'many = "none"',
            "checks.bubbles.outcomes.many: “none” is also the title of “none”.",
        ),
        (
            '"Bubbles in the tank"',
            '"Coolant level, cold"',
            "checks.bubbles: “Coolant level, cold” is also the title of “level”.",
        ),
        (
            'hose = ["empty"]',
            'hose = ["normal"]',
            "checks.level.names.hose: What a sound car shows proves no fault.",
        ),
        (
            "minutes = 3\nsetups",
            "minutes = 3\nasked = true\nsetups",
            "checks.level.setups: A question to the household needs no setup.",
        ),
    ],
)
def test_a_rule_that_is_broken_is_said_with_its_place(old: str, new: str, line: str) -> None:
    assert old in A_FILE
    assert line in [line_of(one) for one in problems(A_FILE.replace(old, new))]


def lines(text: str, *, shipped: bool = False) -> list[str]:
    return [line_of(one) for one in problems(text, shipped=shipped)]


SEVERAL = A_FILE.replace('causes = "one"\nunlisted = 0.1', 'causes = "several"')
A_FAULT = '[faults.{0}]\ntitle = "{0}"\nsystem = "fuel"\nweight = {1}\nrepair = {{ minutes = 1 }}\n'


def test_each_circle_of_faults_is_named() -> None:
    text = A_FILE.replace("look = {", "caused_by = { gasket = 0.1 }\nlook = {")
    assert lines(text) == [
        "faults.hose.caused_by: “gasket” brings about “hose”, which brings about “gasket”."
    ]


def test_checks_that_wait_for_each_other_are_named() -> None:
    waits = 'check = "bubbles"\noutcomes = ["none"]\nbecause = "So."\n'
    text = A_FILE.replace("[checks.bubbles]", f"[[checks.level.after]]\n{waits}\n[checks.bubbles]")
    assert lines(text) == [
        "checks.bubbles.after: “bubbles” waits for “level”, which waits for “bubbles”."
    ]


def test_a_check_does_not_bar_itself() -> None:
    bar = '[[checks.level.bars]]\ncheck = "level"\noutcomes = ["low"]\nbecause = "So."\n'
    text = A_FILE.replace("[checks.bubbles]", f"{bar}\n[checks.bubbles]")
    assert lines(text) == ["checks.level.bars: A check does not bar itself."]


def test_a_fault_that_can_never_be_there_is_named() -> None:
    text = A_FILE.replace("weight = 0.6", "weight = 0").replace("unlisted = 0.1", "unlisted = 0.7")
    assert lines(text) == ["faults.hose.weight: It is 0, and nothing brings this fault about."]


def test_with_several_causes_the_least_share_of_an_outcome_is_named() -> None:
    # A sound car shows “normal” 90, “low” 8 in 100. A fault that shows “normal” 45 in 100 leaves
    # half of it: of the 8 in 100 that the rest of the car makes low, it must let half through.
    text = SEVERAL.replace("[0.20, 0.50, 0.30]", "[0.45, 0.03, 0.52]")
    assert lines(text) == [
        (
            "checks.level.given.hose: “low” is 0.03; with several causes it has to be at least"
            " 0.04, since what is seen is the worst of what the fault and the rest of the car show."
        )
    ]
    assert lines(SEVERAL.replace("[0.20, 0.50, 0.30]", "[0.45, 0.04, 0.51]")) == []
    assert lines(A_FILE.replace("[0.20, 0.50, 0.30]", "[0.45, 0.03, 0.52]")) == []


def test_the_least_share_named_will_do() -> None:
    # 0.08 / 0.90 x 0.40 is 0.03555…; written with three decimals it is rounded up.
    (line,) = lines(SEVERAL.replace("[0.20, 0.50, 0.30]", "[0.40, 0.02, 0.58]"))
    assert "has to be at least 0.036," in line
    assert lines(SEVERAL.replace("[0.20, 0.50, 0.30]", "[0.40, 0.036, 0.564]")) == []


def test_with_several_causes_no_fault_makes_a_check_look_better() -> None:
    text = SEVERAL.replace("[0.20, 0.50, 0.30]", "[0.95, 0.03, 0.02]")
    assert lines(text) == [
        (
            "checks.level.given.hose: “normal” is 0.95, oftener than on a sound car;"
            " it may be at most 0.90."
        )
    ]


def test_with_several_causes_at_most_six_faults_bring_others_about() -> None:
    causing = "".join(A_FAULT.format(f"c{n}", 0.1) for n in range(6))
    brought = ", ".join(f"c{n} = 0.1" for n in range(6))
    text = SEVERAL.replace("[checks.level]", f"{causing}\n[checks.level]")
    assert lines(text.replace("hose = 0.2 ", f"{brought} ")) == []
    assert lines(text.replace("hose = 0.2 ", f"hose = 0.2, {brought} ")) == [
        "faults: 7 faults bring others about; at most 6 may."
    ]


def test_with_one_cause_a_root_brings_at_most_eight_about() -> None:
    chain = "".join(
        A_FAULT.format(f"c{n}", 0)
        + f"caused_by = {{ {'c' + str(n - 1) if n else 'hose'} = 0.5 }}\n"
        for n in range(8)
    )
    text = A_FILE.replace("[checks.level]", f"{chain}\n[checks.level]")
    assert lines(text.replace("caused_by = { hose = 0.2 }", "")) == []
    assert lines(text) == ["faults.hose: It brings 9 others about; at most 8 may be."]


def test_a_bar_on_an_unknown_check_is_one_mistake() -> None:
    text = A_FILE.replace('check = "level"\noutcomes = ["empty"]', 'check = "l"\noutcomes = ["e"]')
    assert lines(text) == [
        "checks.bubbles.bars.1.check: “l” is not known here. Use one of: level, bubbles."
    ]
