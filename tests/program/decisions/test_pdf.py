"""The paper of a supplement, read by pypdf."""

from __future__ import annotations

from io import BytesIO
from typing import Any

import pytest
from pypdf import PdfReader

from program.decisions.pdf import supplement_paper
from program.decisions.sheet import Sheet, in_language, more_of, sheet_of
from tests.factories import make_owner
from tests.program.decisions.story import make_supplement, says
from tests.shared.documents.reading import root_of
from vehicles.custody.kinds import SignedHow

pytestmark = pytest.mark.django_db


def made(language: str = "en", *, signed: bool = False, **fields: Any) -> Sheet:
    row = make_supplement()
    owners = [row.authorization.intake.vehicle.owners.get()]
    answer = says(row, language, **fields) if signed else None
    return sheet_of(row, in_language(more_of(row), language), owners, answer)


def read(sheet: Sheet) -> PdfReader:
    return PdfReader(BytesIO(supplement_paper(sheet)))


def text_of(sheet: Sheet) -> str:
    pages = [page.extract_text() for page in read(sheet).pages]
    return " ".join(" ".join(pages).split())


def test_the_paper_says_what_is_asked_and_why_on_one_page() -> None:
    sheet = made()
    text = text_of(sheet)
    assert len(read(sheet).pages) == 1
    for line in (
        "Nothing of it is done without your yes.",
        "The work: Front rotors.",
        "Why, in the words of the shop: The rotors are cracked.",
        "It takes $50.00 more. $100.00 was agreed; with this it is $150.00.",
        "Above $165.00 the work stops, and you are asked again. This is no bill.",
        "take it off the lift within two business days",
    ):
        assert line in text


def test_before_the_answer_there_are_lines_for_both_who_say_yes() -> None:
    text = text_of(made())
    for line in ("Signature of Dana Haskell", "No: do not do this work.", "For the budget"):
        assert line in text


def test_after_the_answer_the_paper_says_who_gave_it_and_how() -> None:
    text = text_of(made(signed=True, interpreter="Luz Marin"))
    assert "Said by Dana Haskell" in text
    assert "Signed on the screen, below." in text
    assert "Interpreter Luz Marin" in text
    assert "For the budget" not in text


def test_a_yes_on_the_phone_names_who_heard_it() -> None:
    heard: dict[str, Any] = {"how": SignedHow.PHONE, "witness": "Sten Ahlgren", "strokes": []}
    assert "Said on the phone. Heard by Sten Ahlgren." in text_of(made(signed=True, **heard))
    paper: dict[str, Any] = {"how": SignedHow.PAPER, "strokes": []}
    assert "Signed on paper, which is kept." in text_of(made(signed=True, **paper))


def test_each_owner_who_may_sign_has_a_line() -> None:
    row = make_supplement()
    second = make_owner(row.authorization.intake, "Corin Haskell")
    owners = list(row.authorization.intake.vehicle.owners.order_by("pk"))
    text = text_of(sheet_of(row, in_language(more_of(row), "en"), owners))
    assert f"Signature of {second}" in text


def test_the_paper_is_spoken_in_its_language() -> None:
    assert root_of(read(made("es")))["/Lang"] == "es-US"


def test_the_same_supplement_gives_the_same_bytes() -> None:
    sheet = made()
    assert supplement_paper(sheet) == supplement_paper(sheet)
