"""The wall sheet: every fact is on it, for everybody who may read it."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace
from io import BytesIO
from typing import Any

from pypdf import PdfReader

from program.planning.outcome import Stay, WeekUse
from program.planning.pdf import DECIDE, SAFE, wall_sheet
from program.planning.sheet import HomeRow, PartRow, WaitRow, WeekSheet

MONDAY = dt.date(2026, 11, 30)
GARAGE = "Osier Street Garage"


def day(number: int) -> dt.date:
    return MONDAY + dt.timedelta(days=number)


def home(number: str, **fields: Any) -> HomeRow:
    defaults: dict[str, Any] = {
        "household": "Dana Haskell",
        "car": "2010 Nissan Sentra",
        "work": "Both lower ball joints",
        "need_weight": 8,
        "minutes": 750,
        "cash_cents": 20_000,
        "paid_by": (("general fund", 20_000),),
        "from_on": day(2),
        "by_on": day(4),
    }
    return HomeRow(number=number, **defaults | fields)


def wait(number: str, lacks: str, *, held: bool = False) -> WaitRow:
    return WaitRow(
        number=number,
        household="Karl Iverson",
        car="2013 Kia Soul",
        need_weight=6,
        lacks=lacks,
        held=held,
        reasons=(),
    )


SHEET = WeekSheet(
    number=48,
    approved=True,
    made_on=day(-5),
    first_on=MONDAY,
    last_on=day(18),
    value=16,
    bound=16,
    proven=True,
    homes=(home("26-041"), home("26-031", car="2012 Toyota Corolla", from_on=day(7), by_on=day(9))),
    held=(wait("26-037", "A person has to decide first whether it is repaired.", held=True),),
    waits=(wait("26-043", "lacks one radiator with oil cooler"),),
    wanted=(),
    parts=(
        PartRow(number="26-041", part="Lower ball joint", count=2, source="to buy", by_on=MONDAY),
        PartRow(
            number="26-031",
            part="Radiator",
            count=1,
            source="Kestrel & Daughters Parts",
            by_on=day(7),
        ),
    ),
    stays=(Stay(case_id="26-041", bay="Bay 1", first_on=MONDAY, last_on=day(1)),),
    weeks=(WeekUse(starts_on=MONDAY, minutes_there=1723, minutes_used=1703),),
    funds=(),
    problems=(),
)


def pages(sheet: WeekSheet = SHEET, garage: str = GARAGE) -> list[str]:
    reader = PdfReader(BytesIO(wall_sheet(sheet, garage=garage)))
    return [" ".join(page.extract_text().split()) for page in reader.pages]


def test_every_case_and_every_date_is_on_the_sheet() -> None:
    text = " ".join(pages())
    for number in ("26-041", "26-031", "26-037", "26-043"):
        assert number in text
    for days in ("Dec 2 – Dec 4", "Dec 7 – Dec 9", "Monday, November 30", "Friday, December 18"):
        assert days in text
    assert "Two cars go home" in text
    assert "Plan 48, Wednesday, November 25, 2026" in text


def test_what_comes_first_stands_first() -> None:
    text = " ".join(pages())
    assert text.index("Mon Nov 30 Bay 1 26-041") < text.index("– none 26-031")


def test_no_household_is_named() -> None:
    text = " ".join(pages())
    assert "Haskell" not in text
    assert "Iverson" not in text


def test_each_car_that_waits_says_the_one_thing_it_lacks() -> None:
    text = " ".join(pages())
    assert "26-037 2013 Kia Soul A person has to decide first whether it is repaired." in text
    assert "26-043 2013 Kia Soul Lacks one radiator with oil cooler." in text


def test_parts_are_listed_with_a_box_to_tick() -> None:
    text = " ".join(pages())
    assert "☐ Nov 30 26-041 2 × Lower ball joint to buy" in text
    assert "☐ Dec 7 26-031 Radiator Kestrel & Daughters Parts" in text


def test_many_parts_fill_two_columns_of_each_page() -> None:
    rows = [replace(SHEET.parts[0], number=f"27-{number:03}") for number in range(150)]
    told = [text for text in pages(replace(SHEET, parts=tuple(rows))) if "27-" in text]
    assert [text.count("27-") for text in told] == [60, 60, 30]


def test_hours_and_cautions_are_there() -> None:
    text = " ".join(pages())
    assert "Nov 30 28:23 28:43" in text
    assert SAFE in text
    assert DECIDE in text


def test_a_draft_says_that_it_may_change() -> None:
    text = " ".join(pages(replace(SHEET, approved=False)))
    assert "Plan 48, draft" in text
    assert "Not approved yet: dates and parts may change." in text


def test_an_ordinary_week_takes_one_page_and_says_so() -> None:
    (text,) = pages()
    assert "Page 1 of 1" in text


def test_a_long_week_goes_on_over_more_pages() -> None:
    homes = tuple(home(f"26-{n:03}", work=" and ".join(["Water pump"] * 8)) for n in range(40))
    waits = tuple(wait(f"26-{n:03}", "lacks $140.02") for n in range(100, 190))
    parts = SHEET.parts * 60
    found = pages(replace(SHEET, homes=homes, waits=waits, parts=parts))
    assert f"Page {len(found)} of {len(found)}" in found[-1]
    text = " ".join(found)
    for number in [*(row.number for row in homes), *(row.number for row in waits)]:
        assert number in text
    assert text.count("Lower ball joint") == 60


def test_an_empty_week_is_a_page_too() -> None:
    nothing = replace(SHEET, homes=(), held=(), waits=(), parts=(), stays=(), weeks=())
    (text,) = pages(nothing)
    assert "No cars go home" in text
    assert "No car can go home with this money, these hours and these parts." in text
    assert "No car waits." in text


def test_what_people_typed_can_not_break_the_sheet() -> None:
    typed = "<b>& </font> <img src=x> José ✓"
    sheet = replace(
        SHEET,
        homes=(home("26-041", car=typed, work=typed),),
        waits=(wait("26-043", f"lacks {typed}"),),
        parts=(PartRow(number="26-041", part=typed, count=1, source=typed, by_on=MONDAY),),
    )
    text = " ".join(pages(sheet, garage=typed))
    assert text.count(typed) >= 5


def test_the_same_plan_gives_the_same_bytes() -> None:
    assert wall_sheet(SHEET, garage=GARAGE) == wall_sheet(SHEET, garage=GARAGE)


def test_the_sheet_is_landscape_letter_and_tagged() -> None:
    reader = PdfReader(BytesIO(wall_sheet(SHEET, garage=GARAGE)))
    assert [float(side) for side in reader.pages[0].mediabox[2:]] == [792, 612]
    root: Any = reader.trailer["/Root"]
    assert "/StructTreeRoot" in root
