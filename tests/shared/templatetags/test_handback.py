"""Figures, days, sentences and marks as a page writes them."""

from __future__ import annotations

import datetime as dt
from typing import TYPE_CHECKING, Any
from zoneinfo import ZoneInfo

import pytest
from django.template import Context, Template
from django.utils import timezone, translation

from shared.say import say as sentence
from shared.templatetags import handback
from tests.house.tree import ROOT

if TYPE_CHECKING:
    from collections.abc import Callable

DECEMBER_1 = dt.date(2026, 12, 1)


@pytest.mark.parametrize(
    ("written", "value", "expected"),
    [
        (handback.money, 124050, "1,240.50"),
        (handback.money, -124050, "−1,240.50"),
        (handback.money, 0, "0.00"),
        (handback.money, None, "–"),
        (handback.money, "", "–"),
        (handback.usd, 124050, "$1,240.50"),
        (handback.usd, None, "–"),
        (handback.minus, 6200, "−62.00"),
        (handback.minus, 0, "–"),
        (handback.minutes, 210, "3:30"),
        (handback.minutes, -5, "−0:05"),
        (handback.minutes, None, "–"),
        (handback.hours, 210, "3 h 30 min"),
        (handback.hours, 180, "3 h"),
        (handback.hours, 20, "20 min"),
        (handback.hours, 0, "0 min"),
        (handback.hours, None, "–"),
        (handback.day, DECEMBER_1, "Dec 1"),
        (handback.day, None, "–"),
        (handback.long_day, DECEMBER_1, "Tuesday, December 1"),
        (handback.in_words, 2, "Two"),
        (handback.in_words, 0, "No"),
        (handback.in_words, 11, "11"),
        (handback.say, sentence("{n} cars go home.", n=8), "8 cars go home."),
        (handback.say, sentence(""), ""),
        (handback.say, "as it is", "as it is"),
        (handback.say, None, ""),
    ],
)
def test_a_value_is_written(written: Callable[[Any], str], value: object, expected: str) -> None:
    assert written(value) == expected


def test_a_day_is_written_in_spanish_for_who_reads_spanish() -> None:
    with translation.override("es"):
        assert handback.long_day(DECEMBER_1) == "martes 1 de diciembre"
        assert handback.day(DECEMBER_1) == "1 dic"


def test_a_moment_is_written_in_the_local_zone() -> None:
    late = dt.datetime(2026, 12, 2, 3, 8, tzinfo=dt.UTC)
    with timezone.override(ZoneInfo("America/New_York")):
        assert handback.moment(late) == "Dec 1, 22:08"
        assert handback.day(late) == "Dec 1"
    assert handback.moment(None) == "–"


def drawn(text: str) -> str:
    return Template("{% load handback %}" + text).render(Context())


def test_a_mark_is_followed_by_its_word() -> None:
    assert drawn("{% mark 'major' bold=True %}") == (
        '<span class="mk"><svg class="m" aria-hidden="true" focusable="false">'
        '<use href="#m-major"/></svg> <b>major</b></span>'
    )
    assert drawn("{% mark 'home' word='' %}").endswith("</svg>")
    assert "</svg> two here</span>" in drawn("{% mark 'received' word='two here' %}")


def test_a_tier_says_its_number_to_those_who_hear_the_page() -> None:
    assert '<span class="sr">tier 0, </span>do not drive' in drawn("{% mark 0 %}")


def test_an_unknown_mark_is_a_bug() -> None:
    with pytest.raises(KeyError, match="amber"):
        handback.mark("amber")


def test_each_mark_is_drawn_in_the_file_of_marks() -> None:
    marks = (ROOT / "templates" / "shared" / "marks.html").read_text(encoding="utf-8")
    assert [symbol for symbol, _ in handback.MARKS.values() if f'id="{symbol}"' not in marks] == []


def test_a_tag_holds_its_number_and_may_lead_somewhere() -> None:
    assert drawn("{% tag '26-041' %}") == '<span class="tag s">26-041</span>'
    assert drawn("{% tag '26-041' '/c/' big=True %}") == '<a class="tag" href="/c/">26-041</a>'


def test_what_a_person_typed_stays_text() -> None:
    assert "&lt;b&gt;" in handback.tag("<b>")
    assert "&lt;b&gt;" in handback.mark("met", "<b>")
