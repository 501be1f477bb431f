"""The case report as it is read: from the page, by a reader of PDF, and by a screen reader."""

from __future__ import annotations

import io
from dataclasses import replace
from io import BytesIO
from typing import TYPE_CHECKING

from PIL import Image
from pypdf import PdfReader

from tests.shared.documents.reading import elements, roles, root_of
from tests.vehicles.diagnosis.cases import (
    MORNING,
    a_case,
    a_conclusion,
    a_contradicted_case,
    a_session,
    a_step,
    an_ending,
)
from tests.vehicles.diagnosis.models import a_check, a_model
from tests.vehicles.inspection.reports import text_of
from vehicles.diagnosis.kinds import Sureness
from vehicles.diagnosis.pdf import case_paper
from vehicles.inspection.catalogue import cautions
from vehicles.inspection.values import Shot

if TYPE_CHECKING:
    from vehicles.diagnosis.explain import Case

LONG = "The tank was wiped first, because the marks could hardly be read. " * 7


def said(case: Case) -> str:
    return text_of(case_paper(case))


def shot(caption: str = "") -> Shot:
    stream = io.BytesIO()
    Image.new("RGB", (40, 30), (90, 120, 90)).save(stream, "JPEG")
    return Shot(jpeg=stream.getvalue(), width=40, height=30, title="1. Level", caption=caption)


def a_long_case(**fields: object) -> Case:
    checks = tuple(a_check(f"check-{number}") for number in range(25))
    steps = [a_step(one.code, "no", note=f"{one.code}; {LONG}") for one in checks]
    return a_case(session=a_session(*steps, model=a_model(checks=checks)), **fields)


def test_the_parts_stand_in_the_order_in_which_they_are_asked_for() -> None:
    text = said(a_case(ending=an_ending(), shots=(shot(),), cautions=tuple(cautions().values())))
    parts = (
        "2012 Toyota Corolla",
        "1ZZAA00A0B0000001",
        "148,190 miles",
        "“It boils at every light.” Was it shown here? Shown. Gauge in the red.",
        "What was concluded",
        "What was ruled out, and by what",
        "What is not settled",
        "What was not looked at, and why",
        "Every observation, in the order in which it was recorded",
        "How the probabilities moved",
        "Why searching stopped",
        "How the figures were found",
        "What the figures are not",
        "Sources of facts",
        "Before anybody repeats these checks",
        "Report D-7-1, made by J. Wren, Nov 30, 2026, 3:05 PM.",
        "A licensed or certified technician who has seen the car, and local law, decide",
        "Photos of the checks",
    )
    places = [text.index(one) for one in parts]
    assert places == sorted(places)


def test_a_conclusion_has_how_sure_its_proof_its_root_and_who_signed() -> None:
    gasket = a_conclusion("gasket", root="Hose", evidence="Bubbles: yes.")
    text = said(a_case(concluded=(a_conclusion(), gasket)))
    assert "Hose Confirmed: nearly certain, 97 in 100, when it was signed." in text
    assert "Physical proof: none is recorded; nothing that was seen names the part itself." in text
    assert "Physical proof: bubbles: yes (observation 2)." in text
    assert "Brought about by: Hose. That is repaired first." in text
    assert "Signed for by R. Amadi, ASE A8, Nov 30, 2026, 9:05 AM. Rests most on: Bubbles" in text


def test_what_a_person_set_against_a_contradiction_stands_with_the_reason() -> None:
    one = a_conclusion(sureness=Sureness.OVERRULED, p=0.0, because="the hose is split")
    back = a_conclusion("fan", withdrawn_because="it runs")
    text = said(a_contradicted_case(concluded=(one,), conclusions_back=(back,)))
    assert "Set by a person; no figure could be computed." in text
    assert "Reason given: The hose is split." in text
    assert "No cause in “Engine runs hot” shows “Never: Yes”." in text
    assert "Nothing is ruled out by figures, since no cause explains all" in text
    assert "2. Never: Yes No cause explains all of this together How the figures" not in text
    assert "can’t be said while the observations contradict each other" in text
    assert "Taken back: Fan, concluded Nov 30, 2026, 9:05 AM by R. Amadi, ASE A8. It runs." in text


def test_an_unfinished_diagnosis_says_so_and_what_looking_further_costs() -> None:
    text = said(a_case(a_step("level", "full")))
    assert "Nothing is concluded. Cannot tell yet." in text
    assert "Nobody has signed for a fault." in text
    assert "Whether to look further Stop and repair now: $" in text
    assert "An hour of work counts $60.00." in text
    assert "Check left Minutes Parts, fees Saves on average What follows" in text


def test_a_diagnosis_without_any_observation_is_told_too() -> None:
    text = said(a_case(session=a_session(), verified="Not tried yet", verified_note=""))
    assert "Was it shown here? Not tried yet." in text
    assert "Nothing was recorded." in text
    assert "Nothing is ruled out by figures." in text


def test_the_end_is_told_with_its_reason() -> None:
    text = said(a_case(ending=an_ending(how="Dropped", because="sold as it is")))
    assert "Why searching stopped Dropped, Nov 30, 2026, 9:05 AM, by R. Amadi. Sold as it" in text


def test_what_could_not_be_done_stands_with_its_reason() -> None:
    text = said(a_case(a_step("level", could_not="No light in bay 2"), a_step("bubbles", "yes")))
    assert "Could not be done Why Level No light in bay 2" in text
    assert "1. Level Could not be done: No light in bay 2." in text


def test_every_observation_has_its_number_source_and_note() -> None:
    step = a_step("level", "low", source="asked", note="a quart a week")
    old = a_step("level", "full")
    text = said(a_case(step, a_step("bubbles", "no"), observations_back=((old, MORNING),)))
    assert "1. Level Low. Note: A quart a week. Said by the household, noted by R. Amadi" in text
    assert "2. Bubbles No. Seen by R. Amadi, ASE A8, Nov 30, 2026, 9:05 AM." in text
    assert "Taken back Nov 30, 2026, 9:05 AM: Level: Full. Seen by R. Amadi" in text


def test_the_steps_stand_with_the_leading_fault_and_its_figure() -> None:
    text = said(a_case())
    assert "Before anything was seen Hose unsure, 40 in 100" in text
    assert "1. Level: Empty Hose likely, 84 in 100" in text


def test_the_bars_are_a_figure_with_their_content_as_text() -> None:
    pages = PdfReader(BytesIO(case_paper(a_case())))
    figures = [one["/Alt"] for one in elements(pages) if one["/S"] == "/Figure"]
    assert len(figures) == 1
    assert figures[0].startswith("Probability in percent: Hose 79 in 100, Gasket 76 in 100,")


def test_learned_weights_stand_beside_the_shipped_ones() -> None:
    shipped = {"hose": 0.5}
    session = a_session(a_step("level", "low"), cars=7, shipped=shipped)
    text = said(a_case(session=session))
    assert "with what 7 cars of this garage taught" in text
    assert "Hose 0.500 0.400" in text
    assert "Shipped weight" not in said(a_case())


def test_sources_stand_with_their_marks() -> None:
    checks = (a_check("level", source="A shop manual", seen=True), a_check("bubbles"))
    model = replace(a_model(checks=checks), sources=("cap pressures: a manual, text-seen",))
    steps = (a_step("level", "no"), a_step("bubbles", "no"))
    text = said(a_case(session=a_session(*steps, model=model)))
    assert "Cap pressures: a manual, text-seen." in text
    assert "The check of observation 1: A shop manual; text seen." in text
    assert "The check of observation 2: no source kept; from memory, text not seen." in text


def test_cautions_stand_once_with_their_authority() -> None:
    hot = cautions()["hot-fluids"]
    text = said(a_case(cautions=(hot,)))
    assert text.count(hot.text) == 1
    assert hot.authority in text


def test_the_same_case_gives_the_same_bytes() -> None:
    case = a_long_case(shots=(shot(),))
    assert case_paper(case) == case_paper(case)


def test_photos_are_figures_with_what_they_show_and_the_rest_are_counted() -> None:
    case = a_case(shots=(shot("Cord <b>close</b>"), shot()), more_shots=3)
    pages = PdfReader(BytesIO(case_paper(case)))
    photos = [one["/Alt"] for one in elements(pages) if one["/S"] == "/Figure"][1:]
    assert photos == ["1. Level. Cord <b>close</b>", "1. Level"]
    assert "Photos of the checks, 3 more in the file" in said(case)


def test_25_observations_with_long_notes_run_over_pages_and_none_is_lost() -> None:
    case = a_long_case()
    pages = PdfReader(BytesIO(case_paper(case))).pages
    text = said(case)
    assert [n for n in range(25) if f"Note: Check-{n}; The tank" not in text] == []
    assert text.count("Page ") == len(pages)
    assert f"Page {len(pages)} of {len(pages)}" in text


def test_each_observation_and_each_conclusion_is_a_heading() -> None:
    pages = PdfReader(BytesIO(case_paper(a_case(concluded=(a_conclusion(),)))))
    assert roles(pages).count("/H3") == 3
    assert root_of(pages)["/Lang"] == "en-US"


def test_what_people_typed_is_no_markup() -> None:
    odd = a_step("level", "low", note="<b>5 < 6</b> & {x}")
    assert "Note: <b>5 < 6</b> & {x}." in said(a_case(odd, complaint="<i>hot</i> {y}"))


def test_a_word_without_end_stays_on_the_page() -> None:
    case = a_case(
        a_step("level", "low", note="x" * 500), concluded=(a_conclusion(because="y" * 300),)
    )
    assert "x" * 30 in said(case)
