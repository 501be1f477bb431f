from __future__ import annotations

import re
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shared.say import say
from tests.vehicles.diagnosis.models import A_FILE
from vehicles.diagnosis.fault_model import (
    After,
    Bar,
    Causes,
    Check,
    Damage,
    Effort,
    Fault,
    Outcome,
    Specialist,
)
from vehicles.diagnosis.modelfile import LARGEST_BYTES, ModelFileError, main, problems, read
from vehicles.diagnosis.problem import line_of
from vehicles.inspection.criteria import DeficiencyClass
from vehicles.shop.systems import System

ROOT = Path(__file__).resolve().parents[3]
FOR_GOOD = "one wrong reading would rule it out for good."
SEVERAL = A_FILE.replace('causes = "one"\nunlisted = 0.1', 'causes = "several"')


def lines(text: str, **options: Any) -> list[str]:
    return [line_of(one) for one in problems(text, **options)]


def changed(old: str, new: str, text: str = A_FILE) -> str:
    assert old in text
    return text.replace(old, new)


def test_a_fault_is_read_with_its_operation_and_what_stands_instead() -> None:
    # tire-patch takes 30 minutes and a patch of $4.00; the file says 45 minutes instead.
    assert read(A_FILE, name="hot").faults[0] == Fault(
        code="hose",
        title="Hose leaks",
        system=System.COOLING,
        weight=0.6,
        operation="tire-patch",
        look=Effort(minutes=5),
        repair=Effort(minutes=45, cents=4_00),
        strands=True,
    )


def test_what_a_repair_leaves_out_is_taken_from_its_operation() -> None:
    text = changed("repair = { minutes = 45 }", 'repair = { dollars = "9.00" }')
    assert read(text).faults[0].repair == Effort(minutes=30, cents=9_00)
    assert read(changed("repair = { minutes = 45 }\n", "")).faults[0].repair == Effort(
        minutes=30, cents=4_00
    )


def test_a_fault_without_an_operation_has_its_own_figures() -> None:
    assert read(A_FILE).faults[1] == Fault(
        code="gasket",
        title="Head gasket leaks",
        system=System.ENGINE,
        weight=0.3,
        repair=Effort(minutes=600, cents=420_00),
        caused_by={"hose": 0.2},
        deficiency=DeficiencyClass.DANGEROUS,
        severity=2,
        never_release=True,
        note="Rarely alone.",
    )


def test_a_check_is_read_with_its_rows_and_proofs() -> None:
    assert read(A_FILE).checks[0] == Check(
        code="level",
        title="Coolant level, cold",
        method="Read the tank against its marks.",
        outcomes=(
            Outcome(code="normal", label="At its mark"),
            Outcome(code="low", label="Low"),
            Outcome(code="empty", label="Not in sight"),
        ),
        sound=(0.90, 0.08, 0.02),
        given={"hose": (0.20, 0.50, 0.30), "gasket": (0.30, 0.50, 0.20)},
        effort=Effort(minutes=3),
        setups=("cold",),
        caution="Never open a hot cap.",
        cautions=("hot-fluids",),
        names={"hose": ("empty",)},
        codes={"low": ("P0128",)},
        source="common practice, no source",
        seen=True,
    )


def test_what_bars_a_check_and_what_comes_first_is_read() -> None:
    check, without = read(A_FILE).checks[1], "Without coolant the engine is not run."
    assert check.after == (After(check="level", outcomes=("normal", "low"), because=without),)
    assert check.bars == (
        Bar(check="level", outcomes=("empty",), because=without),
        Bar(fault="gasket", at=0.9, because="It would only warp the head."),
    )
    assert check.damages == (Damage(fault="gasket", cents=200_00, because="Heat warps the head."),)


def test_the_head_of_a_file_is_read() -> None:
    model = read(A_FILE)
    assert (model.code, model.title, model.version) == ("hot", "Engine runs hot", "1")
    assert (model.causes, model.unlisted, model.system) == (Causes.ONE, 0.1, System.COOLING)
    assert (model.words, model.words_es) == (("runs hot",), ("se calienta",))
    assert (model.verify, model.sources) == (
        ("Look at the gauge.",),
        ("a shop manual, text-seen",),
    )
    assert model.weights == "practitioner’s judgment, from memory"
    assert model.specialist == Specialist(
        title="Cooling specialist", effort=Effort(minutes=30, cents=450_00)
    )


def test_shares_that_rounding_put_off_are_brought_to_their_sum() -> None:
    text = changed("[0.20, 0.50, 0.30]", "[0.2000003, 0.5, 0.3000003]")
    model = read(changed("weight = 0.6", "weight = 0.6000004", text))
    assert sum(model.checks[0].given["hose"]) == pytest.approx(1, abs=1e-15)
    weights = [one.weight for one in model.faults]
    assert sum([model.unlisted, *weights]) == pytest.approx(1, abs=1e-15)


def test_weights_of_several_causes_need_no_sum() -> None:
    assert [one.weight for one in read(SEVERAL).faults] == [0.6, 0.3]


def test_a_file_tells_all_of_its_mistakes_at_once() -> None:
    text = changed("[0.20, 0.50, 0.30]", "[0.20, 0.50, 0.40]")
    text = changed('setups = ["cold"]', 'setups = ["colt"]', text)
    text = changed("look = {", "looks = {", text)
    with pytest.raises(ModelFileError) as refused:
        read(changed('system = "engine"', 'system = "engin"', text))
    assert str(refused.value).splitlines() == [
        "faults.hose.looks: “looks” is not known here. Did you mean “look”?",
        "faults.gasket.system: “engin” is not known here. Did you mean “engine”?",
        "checks.level.given.hose: 0.20, 0.50, 0.40 sum to 1.10, not 1.",
        "checks.level.setups: “colt” is not known here. Did you mean “cold”?",
    ]
    assert [one.where for one in refused.value.problems][:1] == ["faults.hose.looks"]


def test_a_broken_check_has_no_echoes() -> None:
    text = changed('outcomes = { none = "None", many = "Many" }', "")
    assert lines(text) == ["checks.bubbles.outcomes: This is missing."]


def test_a_file_of_several_causes_has_no_share_unlisted() -> None:
    text = changed('causes = "one"', 'causes = "several"')
    assert lines(text) == ["unlisted: This goes only with causes = “one”."]


def test_the_file_has_the_name_of_its_code() -> None:
    assert lines(A_FILE, name="cold") == ["code: The file is named “cold”."]


@pytest.mark.parametrize(
    ("text", "line"),
    [
        ("a = [1,", "line 1, column 8: This is not TOML: invalid value."),
        ('ok = 1\nb = "x', "line 2, column 7: This is not TOML: unterminated string."),
        ("a = 1\na = 2", "line 2, column 6: This is not TOML: cannot overwrite a value."),
        ("a" + ".b" * 9 + " = 1", "line 1: A key has more than 8 parts."),
        ("\n" + "'a b' . " * 9 + "c = 1", "line 2: A key has more than 8 parts."),
        ("a = " + "[" * 5000, "Lists or tables are nested too deeply."),
        ("#" * (LARGEST_BYTES + 1), "The file has 200001 bytes; at most 200000 are read."),
        ("a = " + "1" * 5000, "This is not TOML: exceeds the limit (4300 digits)"),
    ],
)
def test_a_text_that_cannot_be_parsed_has_one_mistake(text: str, line: str) -> None:
    (found,) = lines(text)
    assert found.startswith(line)


def test_a_mark_of_order_of_bytes_does_no_harm() -> None:
    assert read("\N{BYTE ORDER MARK}" + A_FILE) == read(A_FILE)


def test_mistakes_without_end_are_cut() -> None:
    found = lines("\n".join(f"key-{n} = 1" for n in range(5000)))
    assert len(found) == 201
    assert found[-1] == "More mistakes follow; mend those above first."


def test_more_is_asked_of_a_shipped_model() -> None:
    text = changed("[0.10, 0.90]", "[0.002, 0.998]")
    text = changed('verify = ["Look at the gauge."]', "", text)
    assert lines(text) == []
    assert lines(text, shipped=True) == [
        "faults: There are 2; 6 to 25 are possible.",
        "checks: There are 2; 8 to 30 are possible.",
        f"checks.bubbles.given.gasket: 0.002 is under 0.005; {FOR_GOOD}",
        "verify: A shipped model needs some.",
    ]


def test_the_command_prints_each_mistake_with_its_file(
    tmp_path: Any, capsys: pytest.CaptureFixture[str]
) -> None:
    path = tmp_path / "hot.toml"
    path.write_text("a = ", encoding="utf-8")
    assert main([str(path)]) == 1
    assert capsys.readouterr().out == (
        "hot.toml: line 1, column 5: This is not TOML: invalid value.\n"
    )


def test_the_file_that_the_documentation_shows_is_a_model() -> None:
    page = (ROOT / "docs" / "fault-models.md").read_text(encoding="utf-8")
    shown = page.split("```toml\n")[1].split("```")[0]
    assert lines(shown, name="overheats") == []


_SIGNS = "[ ] { } \" ' = . -1 1e400 nan inf true [[checks.level]] [faults] é 2026-01-01"
PIECES = st.sampled_from([*_SIGNS.split(" "), "\n", "\0", "\\u0000", "given = 3", "9" * 400])
CUTS = st.tuples(st.integers(0, len(A_FILE)), st.integers(0, 40), PIECES)


@given(st.lists(CUTS, min_size=1, max_size=6))
def test_a_damaged_file_is_a_model_or_has_mistakes(cuts: list[tuple[int, int, str]]) -> None:
    text = A_FILE
    for start, length, piece in cuts:
        text = text[:start] + piece + text[start + length :]
    found = problems(text)
    assert all(str(one.sentence) and one.sentence != say("") for one in found)
    if not found:
        assert read(text).faults
    else:
        with pytest.raises(ModelFileError, match=re.escape(line_of(found[0]))):
            read(text)


VALUES = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text(max_size=20),
    lambda inner: (
        st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=8), inner, max_size=3)
    ),
    max_leaves=8,
)


def toml(value: object) -> str:
    """Return a value as TOML, inline."""
    if isinstance(value, dict):
        return "{" + ", ".join(f"{toml(key)} = {toml(one)}" for key, one in value.items()) + "}"
    if isinstance(value, list):
        return "[" + ", ".join(map(toml, value)) + "]"
    if isinstance(value, bool | int | float):
        return str(value).lower()
    return '"' + "".join(f"\\U{ord(one):08X}" for one in str(value)) + '"'


SPOTS = [one.span(1) for one in re.finditer(r"^[a-z_-]+ = (.+)$", A_FILE, re.MULTILINE)]


@given(st.sampled_from(SPOTS), VALUES)
def test_any_value_anywhere_is_taken_or_refused(spot: tuple[int, int], value: object) -> None:
    text = A_FILE[: spot[0]] + toml(value) + A_FILE[spot[1] :]
    found = problems(text)
    assert found or read(text).faults
