"""Invented figures for the page of all pieces; nothing here is read from the database."""

from __future__ import annotations

import datetime as dt
from types import SimpleNamespace
from typing import TYPE_CHECKING, Any

import django_tables2

from shared.boards import Stay, board
from shared.charts import FundBar, Step, WeekHours, fund_bars, hours_by_week, tally
from shared.looks.tables import SampleTable
from shared.problems import Level, Problem
from shared.say import Say

if TYPE_CHECKING:
    from django.http import HttpRequest

DAY = dt.date(2026, 11, 30)

NEEDS: list[dict[str, Any]] = [
    {
        "part": f"{part}, {side}",
        "tag": f"26-{41 + n:03}",
        "tier": n % 5,
        "since_on": DAY - dt.timedelta(days=3 * n),
        "labor_minutes": 45 * (n + 1),
        "price_cents": 1_240_50 - 3_075 * n if n % 9 else None,
    }
    for n, (part, side) in enumerate(
        (part, side)
        for part in ("Lower ball joint", "Wheel bearing", "Strut, assembled", "Brake hose")
        for side in (
            "front left",
            "front right",
            "rear left",
            "rear right",
            "spare",
            "second",
            "third",
        )
    )
]

TOKENS = ("paper", "sheet", "ink", "ink-2", "rule", "edge", "accent", "wash", "tag", "tag-edge")
CLASSES = ("dangerous", "major", "minor", "none", "unread")
STATES = ("home", "decide", "wait", "promised", "received", "fitted", "met")


def table(request: HttpRequest) -> dict[str, object]:
    """Return the sample list as `table_page` would pass it."""
    listed = SampleTable(NEEDS)
    django_tables2.RequestConfig(request).configure(listed)
    return {"table": listed, "filter": None}


def _steps() -> list[SimpleNamespace]:
    labels = ("Applied", "Accepted", "In assessment", "Awaiting parts", "In repair", "Handed back")
    notes = ("Oct 30", "Nov 2", "Nov 9", "since Nov 19", "", "")
    states = ("done", "done", "done", "now", "next", "next")
    return [
        SimpleNamespace(label=label, note=note, state=state)
        for label, note, state in zip(labels, notes, states, strict=True)
    ]


def _charts() -> dict[str, object]:
    """Return one chart of each kind."""
    counts = (3, 2, 3, 3, 5, 4, 12, 2)
    labels = (
        *("applied", "accepted", "in assessment", "awaiting decision"),
        *("awaiting parts", "in repair", "final inspection", "handed back"),
    )
    days = [DAY + dt.timedelta(days=n) for n in range(19) if n % 7 < 5]  # noqa: PLR2004 (Saturday)
    stays = [
        Stay(bay="Bay 1, lift", first=0, days=3, label="26-036 Okafor", short="036"),
        Stay(bay="Bay 1, lift", first=3, days=4, label="26-041 Haskell", short="041"),
        Stay(bay="Bay 2, lift", first=0, days=4, label="26-038 Brandt", short="038"),
        Stay(bay="Bay 2, lift", first=5, days=6, label="26-039 Nguyen", short="039"),
        Stay(bay="Bay 3, flat", first=2, days=1, label="26-036", short="036", quick=True),
        Stay(bay="Bay 3, flat", first=7, days=1, label="26-041", short="041", quick=True),
    ]
    return {
        "tally": tally(
            [
                Step(label=label, count=count, longest_days=3 * count)
                for label, count in zip(labels, counts, strict=True)
            ]
        ),
        "funds": fund_bars(
            [
                FundBar(name="General fund", set_aside=62_00, this_plan=24_30, left=194_33),
                FundBar(name="Pruitt gift", set_aside=301_00, this_plan=425_75, left=546_80),
                FundBar(name="Winter collection", set_aside=0, this_plan=286_45, left=-20_00),
            ]
        ),
        "hours": hours_by_week(
            [
                WeekHours(label="November 30", there=2_520, given=2_520),
                WeekHours(label="December 7", there=2_520, given=2_100),
                WeekHours(label="December 14", there=1_800, given=1_590),
            ]
        ),
        "board": board(days, ["Bay 1, lift", "Bay 2, lift", "Bay 3, flat"], stays),
    }


def _spoken() -> dict[str, object]:
    """Return what people read line by line: a timeline, slips, problems, points of a gate."""
    return {
        "lines": [
            SimpleNamespace(at=DAY, sentence="Road test 11 miles, nothing found.", by="R. Amadi"),
            SimpleNamespace(at=DAY - dt.timedelta(days=3), sentence="Tires fitted.", by="S. Voss"),
        ],
        "slips": [
            SimpleNamespace(
                url="#slip",
                title="Approve the plan for three weeks",
                why="Eight cars go home, $811.50 is newly set aside.",
                by="today, before noon",
            ),
            SimpleNamespace(
                url="#slip",
                title="Use or release a pledge",
                why="One battery of group 35. It fits no open need.",
                by="expires Wednesday",
            ),
        ],
        "problems": _problems(),
        "points": [
            SimpleNamespace(met=True, label="Tiers 0 and 1 are empty", note="all four items done"),
            SimpleNamespace(met=False, label="Second person", note="someone other than R. Amadi"),
        ],
    }


def _problems() -> list[Problem]:
    """Return one problem of each level. They are words of an example, so no catalog holds them."""
    return [
        Problem(Say("Rear right tire, 1/32 in."), Say("Fit a tire, then read the tread again.")),
        Problem(
            Say("The repair costs more than was authorized."),
            Say("Ask the owner."),
            Level.APPROVAL,
        ),
        Problem(Say("Washer jet is misaligned."), level=Level.WARNING),
    ]


def pieces() -> dict[str, object]:
    """Return what the page of all pieces shows."""
    return {
        "today": DAY,
        "tokens": TOKENS,
        "classes": CLASSES,
        "tiers": range(5),
        "states": STATES,
        "steps": _steps(),
        "charts": _charts(),
    } | _spoken()
