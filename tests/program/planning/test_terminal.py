from __future__ import annotations

import io
from dataclasses import replace
from datetime import date

import pytest
from rich.cells import cell_len
from rich.console import Console

from program.planning.outcome import FundUse, Wanted
from program.planning.sheet import HomeRow, WaitRow, WeekSheet
from program.planning.terminal import print_week

HOME = HomeRow(
    number="26-041",
    household="Dana Haskell",
    car="2010 Nissan Sentra",
    work="Both lower ball joints, Right outer tie rod end and 4 more",
    need_weight=11,
    minutes=770,
    cash_cents=22_270,
    paid_by=(("Orrin County commuter grant", 15_000), ("general fund", 7_270)),
    from_on=date(2026, 12, 9),
    by_on=date(2026, 12, 11),
)
WAIT = WaitRow(
    number="26-046",
    household="Ani Petrosyan",
    car="2010 Ford Focus",
    need_weight=6,
    lacks="lacks $140.02.",
    held=False,
    reasons=("General fund may pay it, and $191.86 is free there.",),
)
FUND = FundUse(
    code="GEN",
    name="general fund",
    free_cents=100_000,
    kept_cents=20_000,
    plan_cents=7_270,
    set_aside_cents=0,
)
SHEET = WeekSheet(
    number=1,
    made_on=date(2026, 11, 30),
    approved=False,
    parts=(),
    first_on=date(2026, 11, 30),
    last_on=date(2026, 12, 18),
    value=11,
    bound=11,
    proven=True,
    homes=(HOME,),
    held=(replace(WAIT, number="26-056", held=True, lacks="It has not been inspected yet."),),
    waits=(WAIT,),
    wanted=(
        Wanted(need_id=1, label="Steering rack", sentence="One steering rack would free two."),
    ),
    stays=(),
    weeks=(),
    funds=(FUND,),
    problems=(),
)
EMPTY = replace(SHEET, homes=(), held=(), waits=(), wanted=(), funds=(), value=0, bound=0)


def printed(sheet: WeekSheet, width: int = 80) -> list[str]:
    """Return the lines that a terminal of that width shows, without the space at their ends."""
    file = io.StringIO()
    print_week(Console(file=file, width=width), sheet)
    return [line.rstrip() for line in file.getvalue().splitlines()]


def test_a_car_that_goes_home_takes_three_lines() -> None:
    lines = printed(SHEET)
    start = next(n for n, line in enumerate(lines) if line.startswith("26-041"))
    assert lines[start].split() == [
        *("26-041", "Dana", "Haskell", "11", "12:50", "222.70"),
        *("Dec", "9", "–", "Dec", "11"),
    ]
    assert [line.strip() for line in lines[start + 1 : start + 4]] == [
        "2010 Nissan Sentra: Both lower ball joints, Right outer tie rod end and",
        "4 more",
        "Paid by Orrin County commuter grant $150.00, general fund $72.70",
    ]


def test_the_week_says_what_pays_what_to_ask_for_and_why_others_wait() -> None:
    lines = printed(SHEET)
    assert lines[lines.index("What pays") :] == [
        "What pays",
        "  General fund  $72.70  and has  $727.30  left",
        "",
        "What to ask for first",
        "  1. One steering rack would free two.",
        "",
        "Why the others wait",
        "  26-046 Ani Petrosyan, need 6: lacks $140.02.",
        "         General fund may pay it, and $191.86 is free there.",
        "  26-056 Ani Petrosyan, need 6: It has not been inspected yet.",
        "         General fund may pay it, and $191.86 is free there.",
        "",
    ]


def test_the_heading_says_how_many_and_how_sure() -> None:
    assert printed(SHEET)[1:4] == [
        "One car goes home, Nov 30 to Dec 18",
        "Proven: no other choice brings more than 11 home with this money, these hours",
        "and these parts.",
    ]


@pytest.mark.parametrize("width", [60, 80, 100, 140])
def test_no_line_is_wider_than_the_terminal_or_than_is_easy_to_read(width: int) -> None:
    lines = printed(SHEET, width)
    assert max(map(cell_len, lines)) == min(width, 100)
    assert not [line for line in lines if "…" in line]


def test_the_figures_stand_in_the_same_columns_in_every_line() -> None:
    far = replace(HOME, household="Nguyễn Thị Lan", minutes=45, cash_cents=123_456)
    lines = printed(replace(SHEET, homes=(HOME, far)))
    ends = {
        line.index(cents) + len(cents)
        for cents in ("222.70", "1,234.56")
        for line in lines
        if cents in line and "–" in line
    }
    assert len(ends) == 1


def test_a_week_without_a_car_says_so_in_every_part() -> None:
    lines = printed(EMPTY)
    assert lines[1] == "No cars go home, Nov 30 to Dec 18"
    assert "  No single part would bring another car home." in lines
    assert "  Nobody waits." in lines


def test_names_with_brackets_are_printed_as_they_are() -> None:
    odd = replace(HOME, household="[bold] & Sons [/]", car="[/]", paid_by=())
    lines = printed(replace(SHEET, homes=(odd,)))
    assert [line for line in lines if line.startswith("26-041  [bold] & Sons [/]")]
    assert "        Nothing left to pay" in lines
