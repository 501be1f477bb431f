"""The estimate on paper, for the household."""

from __future__ import annotations

import datetime as dt
import io
import re
from dataclasses import replace

from pypdf import PdfReader

from vehicles.estimates.pdf import estimate_paper
from vehicles.estimates.values import CarEstimate, Line, Paper, PartPrice
from vehicles.inspection.wording import spanish
from vehicles.intake.car import CarFacts
from vehicles.operations.catalogue import load
from vehicles.operations.proposing import Found, Proposal, propose
from vehicles.repairs.charges import Cash, Rates

PART = PartPrice(
    need_id=1, title="Radiator", quantity=2, likely_cents=240_00, source="counter", days=3
)


def paper(*parts: PartPrice, tax: int = 0) -> Paper:
    low, likely, high = (Cash(parts=one, tax=tax) for one in (200_00, 240_00, 320_00))
    line = Line(
        item_id=1,
        title="Replace radiator",
        low=low,
        likely=likely,
        high=high,
        likely_minutes=90,
        saved_minutes=0,
        parts=parts or (PART,),
    )
    estimate = CarEstimate(
        lines=(line,),
        low=low,
        likely=likely,
        high=high,
        p50_cents=246_21,
        p80_cents=267_03,
        p80_minutes=120,
        shared=(),
        rates=Rates(),
        versions=(),
        is_current=True,
    )
    return Paper(
        garage="Osier Street Garage",
        car="2012 Toyota Corolla",
        number="E-7-2",
        day=dt.date(2026, 11, 25),
        estimate=estimate,
        stop_over_percent=10,
    )


def jobs(**faults: str) -> list[Proposal]:
    """Return the jobs of the catalogue for faults, by operation and place."""
    found = [
        Found(id=at, criterion="", operation=code.replace("_", "-"), position=place, title="Fault")
        for at, (code, place) in enumerate(faults.items())
    ]
    return propose(found, load(), CarFacts())[0]


def line_of(at: int, job: Proposal) -> Line:
    parts = tuple(
        replace(PART, need_id=part, title=one.title, quantity=one.quantity, can_be_bought=part < 1)
        for part, one in enumerate(job.parts)
    )
    return replace(paper(*parts).estimate.lines[0], item_id=at, title=job.title, parts=parts)


def paper_with(*lines: Line) -> Paper:
    plain = paper()
    return replace(plain, estimate=replace(plain.estimate, lines=lines))


def words_of(*texts: str) -> set[str]:
    return set(re.findall(r"[^\W\d_]{3,}", " ".join(texts).lower()))


def text_of(data: bytes) -> str:
    pages = (page.extract_text() for page in PdfReader(io.BytesIO(data)).pages)
    return re.sub(r"\s+", " ", " ".join(pages))


def test_the_paper_says_odds_in_five_dollars_and_lines_to_the_cent() -> None:
    text = text_of(estimate_paper(paper(), "en"))
    assert "Of ten such cars, eight cost at most $270.00." in text
    assert "Replace radiator (2 × Radiator). $200.00 $240.00 $320.00" in text
    assert "Before the cost goes more than 10 percent above what you said yes to" in text
    assert "Sales tax" not in text


def test_tax_is_a_line_of_its_own() -> None:
    text = text_of(estimate_paper(paper(tax=19_80), "en"))
    assert "Sales tax on parts $19.80 $19.80 $19.80" in text
    assert "Together $219.80 $259.80 $339.80" in text


def test_gifts_and_parts_without_a_price_are_said() -> None:
    gift = PartPrice(
        need_id=2,
        title="Thermostat",
        quantity=1,
        likely_cents=0,
        source="",
        days=None,
        is_given=True,
    )
    rare = PartPrice(
        need_id=3,
        title="Hose",
        quantity=1,
        likely_cents=0,
        source="",
        days=None,
        can_be_bought=False,
    )
    text = text_of(estimate_paper(paper(gift, rare), "en"))
    assert "Some parts are gifts. They cost nothing here." in text
    assert "No price is known yet for: Hose." in text


def test_the_same_estimate_gives_the_same_bytes_and_its_language() -> None:
    assert estimate_paper(paper(), "en") == estimate_paper(paper(), "en")
    root = PdfReader(io.BytesIO(estimate_paper(paper(), "es"))).trailer["/Root"]
    assert root["/Lang"] == "es-US"  # type: ignore[index]


def test_ten_jobs_of_the_catalogue_leave_no_english_on_the_spanish_paper() -> None:
    found = jobs(
        tire_replace="RR",
        brake_rotors_front="",
        brake_caliper_rear="LR",
        tie_rod_inner="RF",
        struts_front="",
        headlamp_polish="left",
        belt_replace="driver",
        fuel_cap="",
        head_gasket="",
        battery_replace="",
    )
    assert len(found) >= 10
    text = text_of(estimate_paper(paper_with(*(map(line_of, range(99), found))), "es"))
    assert "Cambiar llanta, atrás a la derecha (1 × Llanta; 1 × Válvula de llanta)." in text
    assert "Alinear las ruedas, en otro taller." in text
    titles = [
        name for one in load().values() for name in (one.title, *(part.title for part in one.parts))
    ]
    english = words_of(*titles, *spanish()) - words_of(*spanish().values())
    assert len(english) > 500
    assert words_of(text) & english - words_of("Osier Street Garage") == set()


def test_in_spanish_what_somebody_wrote_stays_and_what_it_means_is_said() -> None:
    line = replace(paper().estimate.lines[0], clears=("Coolant is brown with rust", "By hand"))
    typed = replace(line, title="Radiator off the donor car")
    known = replace(typed, title="Radiator and hoses", operation="Replace radiator")
    text = text_of(estimate_paper(paper_with(line, typed, known), "es"))
    assert "Cambiar el radiador (2 × Radiador). $200.00" in text
    assert "Radiator off the donor car (2 × Radiador). Por: El anticongelante está café" in text
    assert "Radiator and hoses (2 × Radiador). Cambiar el radiador. $200.00" in text
    assert "By hand" not in text


def test_in_english_what_somebody_wrote_says_it_all() -> None:
    typed = replace(paper().estimate.lines[0], title="Radiator", operation="Replace radiator")
    text = text_of(estimate_paper(paper_with(typed), "en"))
    assert "Radiator (2 × Radiator). $200.00" in text


def test_the_jobs_begin_on_the_first_page_however_many_there_are() -> None:
    many = paper_with(*(paper().estimate.lines * 60))
    first, *others = PdfReader(io.BytesIO(estimate_paper(many, "en"))).pages
    assert "What is done" in first.extract_text()
    assert first.extract_text().count("Replace radiator") > 20
    assert len(others) >= 1
