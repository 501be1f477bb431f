"""The notice: what nobody may overlook first, every danger in plain words, no charge, no claim."""

from __future__ import annotations

from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from program.handback.wording import (
    After,
    Danger,
    Found,
    How,
    System,
    danger_line,
    notice,
    payer_word,
    tow_line,
)
from program.households.stages import WAYS_OUT, Stage
from vehicles.custody.kinds import TowAnswer, TowPayer

dangers = st.builds(
    Danger,
    system=st.sampled_from(System),
    seen=st.text(min_size=1, max_size=30),
    place=st.sampled_from(["", "LF", "RR-inner", "under 18 in"]),
)
founds = st.builds(
    Found,
    car=st.just("2012 Toyota Corolla"),
    garage=st.just("Osier Street Garage"),
    phone=st.sampled_from(["", "555-0100"]),
    dangers=st.lists(dangers, max_size=5).map(tuple),
    others=st.lists(st.text(max_size=20), max_size=4).map(tuple),
    unread=st.integers(0, 300),
)


def all_of(found: Found) -> str:
    """Return the whole notice in English."""
    made = notice(found)
    return "\n".join(str(line) for part in made.sections for line in part.lines)


@given(founds)
def test_who_reads_only_the_first_line_of_a_dangerous_car_does_not_drive_it(found: Found) -> None:
    first = str(notice(found).box[0])
    if found.dangers:
        assert first == "Do not drive this 2012 Toyota Corolla. It is not safe."
    else:
        assert first == "We did not repair this 2012 Toyota Corolla."


@given(founds)
def test_every_danger_and_everything_else_wrong_is_named(found: Found) -> None:
    text = all_of(found)
    for danger in found.dangers:
        assert f"{danger_line(danger)} The shop wrote: {danger.seen}" in text
    for seen in found.others:
        assert f"The shop wrote: {seen}" in text
    assert len(notice(found).dangers) == len(found.dangers)


@given(founds)
def test_no_charge_no_claim_and_who_decides_are_always_said(found: Found) -> None:
    text = all_of(found)
    assert "You owe us nothing." in text
    assert "We make no claim on it" in text
    assert "A licensed technician, local inspection law" in text
    assert ("nobody looked at" in text) is bool(found.unread)
    assert ("Call us about other help" in text) is bool(found.phone)


@given(founds)
def test_the_same_findings_give_the_same_words(found: Found) -> None:
    assert notice(found) == notice(found)


def test_a_car_without_a_danger_is_not_called_safe() -> None:
    said = notice(Found(car="car", garage="garage", phone="")).box[1]
    assert str(said).endswith("That does not make it safe.")


@pytest.mark.parametrize("system", list(System))
def test_every_system_has_words_of_its_own_for_what_may_happen(system: System) -> None:
    line = str(danger_line(Danger(system=system, seen="x")))
    others = [str(danger_line(Danger(system=one, seen="x"))) for one in System if one != system]
    assert line not in others
    assert " may " in line


def test_the_place_is_said_where_it_is_a_wheel() -> None:
    lines = [
        str(danger_line(Danger(system=System.WHEELS, seen="x", place=place)))
        for place in ("RR", "LF-inner", "left")
    ]
    assert lines == [
        "A wheel may come off (rear right).",
        "A wheel may come off (front left).",
        "A wheel may come off.",
    ]


def test_each_answer_to_the_tow_and_each_payer_has_a_sentence() -> None:
    said = [str(tow_line(one)) for one in TowAnswer] + [str(payer_word(one)) for one in TowPayer]
    assert len(set(said)) == len(TowAnswer) + len(TowPayer)
    assert all(one.endswith(".") for one in said)


def test_what_becomes_of_a_case_names_stages_of_its_household() -> None:
    closing = [Stage(one.value) for one in After if one is not After.DECIDE]
    assert set(closing) < set(WAYS_OUT)
    assert all(one.label for one in (*After, *How))


def test_what_nobody_may_overlook_comes_before_what_follows_from_it() -> None:
    tire = Danger(system=System.TIRES, seen="1/32 in")
    found = Found(car="c", garage="g", phone="", dangers=(tire,), others=("x",), unread=2)
    heads = [str(part.heading) for part in notice(found).sections]
    order = ["What is dangerous", "What else is wrong", "What we did not look at"]
    assert all(heads.index(a) < heads.index(b) for a, b in pairwise([*order, "Who decides"]))
