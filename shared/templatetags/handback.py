"""How figures, days, sentences and marks are written on a page."""

from __future__ import annotations

import datetime as dt
from typing import TYPE_CHECKING, Literal

from django import template
from django.utils import dateformat, timezone
from django.utils.html import format_html
from django.utils.translation import get_language, gettext, gettext_noop

from shared import money as amounts
from shared.say import Say

if TYPE_CHECKING:
    from django.utils.safestring import SafeString

register = template.Library()

# A template hands over an empty text where a value is missing.
Whole = int | Literal[""] | None

NOTHING = "–"
MINUTES_AN_HOUR = 60

# Symbol in shared/marks.html, and the word that always follows it.
MARKS = {
    "dangerous": ("m-dangerous", gettext_noop("dangerous")),
    "major": ("m-major", gettext_noop("major")),
    "minor": ("m-minor", gettext_noop("minor")),
    "none": ("m-none", gettext_noop("none")),
    "unread": ("m-unread", gettext_noop("not read")),
    "met": ("m-met", gettext_noop("met")),
    "missing": ("m-unread", gettext_noop("missing")),
    "0": ("t0", gettext_noop("do not drive")),
    "1": ("t1", gettext_noop("stops the car")),
    "2": ("t2", gettext_noop("put right soon")),
    "3": ("t3", gettext_noop("minor")),
    "4": ("t4", gettext_noop("the rest")),
    "home": ("p-home", gettext_noop("goes home")),
    "decide": ("p-decide", gettext_noop("needs a decision")),
    "wait": ("p-wait", gettext_noop("waits")),
    "promised": ("s-promised", gettext_noop("promised")),
    "received": ("s-received", gettext_noop("received")),
    "fitted": ("s-fitted", gettext_noop("fitted")),
}
NUMBERS = (
    *(gettext_noop("No"), gettext_noop("One"), gettext_noop("Two"), gettext_noop("Three")),
    *(gettext_noop("Four"), gettext_noop("Five"), gettext_noop("Six"), gettext_noop("Seven")),
    *(gettext_noop("Eight"), gettext_noop("Nine"), gettext_noop("Ten")),
)
_LONG = {"en": "l, F j", "es": r"l j \d\e F"}
_SHORT = {"en": "M j", "es": "j b"}


@register.filter
def money(cents: Whole) -> str:
    """Return cents as a column writes them, `1,240.50`; a dash for none."""
    return NOTHING if cents is None or cents == "" else amounts.dollars(cents)


@register.filter
def usd(cents: Whole) -> str:
    """Return cents as a sentence writes them, `$1,240.50`."""
    return NOTHING if cents is None or cents == "" else amounts.usd(cents)


@register.filter
def minus(cents: Whole) -> str:
    """Return an amount that is taken away, `−62.00`; a dash where nothing is."""
    return NOTHING if not cents else amounts.dollars(-cents)


@register.filter
def minutes(value: Whole) -> str:
    """Return minutes as a column writes hours, `3:30`; a dash for none."""
    if value is None or value == "":
        return NOTHING
    hours, rest = divmod(abs(value), MINUTES_AN_HOUR)
    return f"{amounts.MINUS if value < 0 else ''}{hours}:{rest:02}"


@register.filter
def hours(value: Whole) -> str:
    """Return minutes as a sentence writes them, `3 h 30 min`."""
    if value is None or value == "":
        return NOTHING
    whole, rest = divmod(value, MINUTES_AN_HOUR)
    parts = [f"{whole} h"] if whole else []
    return " ".join([*parts, f"{rest} min"] if rest or not whole else parts)


@register.filter
def say(sentence: Say | str | None) -> str:
    """Return a sentence of a pure module in the reader's language."""
    if isinstance(sentence, Say):
        return sentence.render(lambda msgid: gettext(msgid) if msgid else "")
    return "" if sentence is None else str(sentence)


def _written(day: dt.date | None, formats: dict[str, str]) -> str:
    """Return a day in words by the reader's language; a moment is first put in the local zone."""
    if not day:
        return NOTHING
    if isinstance(day, dt.datetime) and timezone.is_aware(day):
        day = timezone.localtime(day)
    return dateformat.format(day, formats.get((get_language() or "en")[:2], formats["en"]))


@register.filter
def long_day(day: dt.date | None) -> str:
    """Return `Tuesday, December 1`, in Spanish `martes 1 de diciembre`."""
    return _written(day, _LONG)


@register.filter
def day(value: dt.date | None) -> str:
    """Return `Dec 1`, as tables write it."""
    return _written(value, _SHORT)


@register.filter
def moment(value: dt.datetime | None) -> str:
    """Return `Dec 1, 9:38`, in the local time zone."""
    return NOTHING if value is None else f"{day(value)}, {timezone.localtime(value):%-H:%M}"


@register.filter
def in_words(count: int) -> str:
    """Return a count at the start of a sentence: `Two`, and figures above ten."""
    return gettext(NUMBERS[count]) if 0 <= count < len(NUMBERS) else str(count)


@register.simple_tag
def mark(name: object, word: object = None, *, bold: bool = False) -> SafeString:
    """Return the mark of a class, tier or state, followed by its word.

    `name` is a key of `MARKS`; a tier may be a number. `word` replaces the usual word, and an
    empty one leaves the mark alone, for a heading that says the word itself.
    """
    key = str(name)
    symbol, usual = MARKS[key]
    drawing = format_html(
        '<svg class="m" aria-hidden="true" focusable="false"><use href="#{}"/></svg>', symbol
    )
    text = gettext(usual) if word is None else say(word)  # type: ignore[arg-type]
    if not text:
        return drawing
    if key.isdigit():
        tier = gettext("tier {number}, ").format(number=key)
        text = format_html('<span class="sr">{}</span>{}', tier, text)
    pattern = '<span class="mk">{} <b>{}</b></span>' if bold else '<span class="mk">{} {}</span>'
    return format_html(pattern, drawing, text)


@register.simple_tag
def tag(number: object, url: str = "", *, big: bool = False) -> SafeString:
    """Return the tag with a case's number; a link when there is a place to go."""
    size = "tag" if big else "tag s"
    if url:
        return format_html('<a class="{}" href="{}">{}</a>', size, url, number)
    return format_html('<span class="{}">{}</span>', size, number)
