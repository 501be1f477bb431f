"""An estimate on paper for the household, in English or Spanish: the work and its cost."""

from __future__ import annotations

from collections import Counter
from functools import partial
from typing import TYPE_CHECKING, Final

from django.utils.translation import gettext, ngettext, override
from reportlab.lib.pagesizes import letter

from shared.documents import pdf
from shared.documents.grid import Column, table
from shared.documents.pdf import build, letterhead
from shared.documents.pieces import Boxed, Look, heading, over_table, words
from shared.money import usd
from vehicles.inspection.wording import spanish
from vehicles.operations.wording import title_in

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

    from reportlab.platypus import Flowable

    from vehicles.estimates.values import CarEstimate, Line, Paper

    Tell = Callable[[str], str]

LARGE: Final = Look(size=11.5, below=4)
BOLD: Final = Look(size=12.5, bold=True, below=2)
SMALL: Final = Look(size=9, above=5, below=3)
MONEY: Final = 88.0
JOINED: Final = "\N{NO-BREAK SPACE}"  # a count stays on the line of what it counts


def estimate_paper(paper: Paper, language: str) -> bytes:
    """Return the estimate as a PDF of letter size; the same paper gives the same bytes."""
    with override(language):
        title = gettext("What the repairs may cost")
    drawn = pdf.Paper(
        garage=paper.garage,
        title=title,
        number=paper.number,
        day=paper.day,
        size=letter,
        language=language,
    )
    tell = partial(title_in, words=spanish() if language == "es" else {})
    return build(drawn, lambda: list(_story(paper, drawn, tell)))


def _story(paper: Paper, drawn: pdf.Paper, tell: Tell) -> Iterator[Flowable]:
    estimate = paper.estimate
    yield from letterhead(drawn, gettext("For your {car}.").format(car=paper.car))
    yield Boxed([words(text, BOLD) for text in _odds(estimate)])
    yield from over_table(gettext("What is done"))
    yield _jobs(estimate, drawn, tell)
    if any(part.is_given for line in estimate.lines for part in line.parts):
        yield words(gettext("Some parts are gifts. They cost nothing here."), SMALL)
    if estimate.unpriced:
        names = "; ".join(tell(title) for title in estimate.unpriced)
        sentence = gettext("No price is known yet for: {names}. They are not counted here.")
        yield words(sentence.format(names=names), SMALL)
    yield heading(gettext("What this paper is"))
    for text in _terms(paper):
        yield words(text, LARGE)


def _odds(estimate: CarEstimate) -> Iterator[str]:
    """Yield the two points in words; rounded up to five dollars, and said so below."""
    p50, p80 = map(usd, estimate.said)
    yield gettext("Of ten such cars, five cost at most {amount}.").format(amount=p50)
    yield gettext("Of ten such cars, eight cost at most {amount}.").format(amount=p80)


def _jobs(estimate: CarEstimate, drawn: pdf.Paper, tell: Tell) -> Flowable:
    wide = drawn.width - 3 * MONEY
    columns = [
        Column(head=gettext("Work and parts"), width=wide),
        Column(head=gettext("At best"), width=MONEY, right=True),
        Column(head=gettext("Likely"), width=MONEY, right=True, bold=True),
        Column(head=gettext("At worst"), width=MONEY, right=True),
    ]
    rows = [
        (_job(line, tell), *(usd(one.work) for one in (line.low, line.likely, line.high)))
        for line in estimate.lines
    ]
    three = (estimate.low, estimate.likely, estimate.high)
    if estimate.high.tax:
        rows.append((gettext("Sales tax on parts"), *(usd(one.tax) for one in three)))
    if estimate.high.supplies:
        rows.append((gettext("Shop supplies"), *(usd(one.supplies) for one in three)))
    rows.append((gettext("Together"), *(usd(one.total) for one in three)))
    return table(columns, rows, size=10, pad=4)


def _job(line: Line, tell: Tell) -> str:
    """Return the job and what is bought for it, in Spanish also what a written title means."""
    counts: Counter[str] = Counter()
    for part in line.parts:
        counts[tell(part.title)] += part.quantity
    parts = [f"{count}{JOINED}×{JOINED}{title}" for title, count in counts.items()]
    added = f" ({'; '.join(parts)})" if parts else ""
    return f"{tell(line.title)}{added}.{_meant(line, tell)}"


def _meant(line: Line, tell: Tell) -> str:
    """Return what a title means that stays as somebody wrote it: the operation, or what it mends.

    Empty where the title itself is told, and in English.
    """
    if tell(line.title) != line.title:
        return ""
    if (said := tell(line.operation)) != line.operation:
        return f" {said}."
    clears = [said for one in line.clears if (said := tell(one)) != one]
    return gettext(" For: {findings}.").format(findings="; ".join(clears)) if clears else ""


def _terms(paper: Paper) -> Iterator[str]:
    yield gettext("It is an estimate, no bill. We work only after you have said yes.")
    yield gettext(
        "Before the cost goes more than {percent} percent above what you said yes to, we stop and "
        "ask you again."
    ).format(percent=paper.stop_over_percent)
    count = len(paper.estimate.lines)
    yield ngettext(
        "It counts {count} job that was open when it was made. More may be found once the car is "
        "apart.",
        "It counts {count} jobs that were open when it was made. More may be found once the car is "
        "apart.",
        count,
    ).format(count=count)
    yield gettext("The two amounts in the frame are rounded up to whole five dollars.")
    yield gettext("The law of your state says what an estimate binds a shop to; it goes first.")
