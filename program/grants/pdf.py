"""The paper of a claim: each cost, the funder's share, and who certifies it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from reportlab.lib.pagesizes import letter
from reportlab.platypus import KeepTogether

from shared.dates import full_date, short_date
from shared.documents.grid import Column, table
from shared.documents.pdf import Paper, build, letterhead
from shared.documents.pieces import Look, heading, over_table, words
from shared.money import dollars, usd

if TYPE_CHECKING:
    from reportlab.platypus import Flowable

    from program.grants.sheet import ClaimSheet, CostLine

SIGNING_ROOM = 8  # points above and below what is written by hand
# What the signer of a claim on public money says. Source: 2 CFR 200.415 asks for such words (from
# memory); a funder's own form comes first.
CERTIFIES = (
    "I certify that, to the best of my knowledge, this claim is true and complete, that these costs"
    " were incurred for the purposes of the award, and that none of them was claimed before."
)
FORM = "Where the funder has a form of its own, its words come first."


def claim_paper(sheet: ClaimSheet) -> bytes:
    """Return the claim as a PDF of letter size. No household is named: cases stand by number."""
    kind = "Report" if sheet.ahead else "Claim"
    paper = Paper(
        garage=sheet.garage,
        title=f"{kind} {sheet.number} to {sheet.funder}",
        number=f"{sheet.award_number or sheet.grant}, {kind.lower()} {sheet.number}",
        day=sheet.made_on,
        size=letter,
    )
    return build(paper, lambda: _story(sheet, paper))


def _story(sheet: ClaimSheet, paper: Paper) -> list[Flowable]:
    name = sheet.grant[:1].upper() + sheet.grant[1:]
    return [
        *letterhead(paper, f"{name}: costs of {sheet.span}."),
        *_sums(sheet, paper),
        *_costs(sheet, paper),
        KeepTogether(_signed(sheet, paper)),
    ]


def _sums(sheet: ClaimSheet, paper: Paper) -> list[Flowable]:
    """Return how the claim follows from its costs, and what the award holds then."""
    done = "Reported" if sheet.ahead else "Claimed"
    rows = [("Allowed costs", dollars(sheet.total))]
    if sheet.own_percent or sheet.own:
        rows.append((_own_words(sheet), dollars(sheet.own)))
    rows += [
        ("This report" if sheet.ahead else "This claim", dollars(sheet.cents)),
        ("Award", dollars(sheet.award)),
        (f"{done} before", dollars(sheet.before)),
        ("Left of the award", dollars(sheet.left)),
    ]
    columns = [
        Column(head="What", width=paper.width - 110, bold=True),
        Column(head="Dollars", width=110, right=True),
    ]
    return [*over_table("Summary"), table(columns, rows)]


def _own_words(sheet: ClaimSheet) -> str:
    whole = sheet.total * sheet.own_percent
    if sheet.own * 100 >= whole + 100:
        return f"Own share: {sheet.own_percent} percent, and what the award no longer holds"
    return f"Own share, {sheet.own_percent} percent"


def _costs(sheet: ClaimSheet, paper: Paper) -> list[Flowable]:
    if not sheet.costs:
        return [heading("Costs"), words("Nothing was spent in these days.")]
    fixed = [
        *(Column(head="Day", width=64), Column(head="Entry", width=40, names=True)),
        *(Column(head="Case", width=44), Column(head="Account", width=136)),
        Column(head="Dollars", width=74, right=True),
    ]
    wide = paper.width - sum(column.width for column in fixed)
    columns = [*fixed[:2], Column(head="What", width=wide), *fixed[2:]]
    rows = [_cost(cost) for cost in sheet.costs]
    rows.append(("", "", "Sum", "", "", dollars(sheet.total)))
    found = [*over_table(f"{len(sheet.costs):,} costs"), table(columns, rows, size=8, pad=1.5)]
    if any(cost.earlier for cost in sheet.costs):
        found.append(words("* Of an earlier cycle, and in no claim before.", Look(size=8, above=3)))
    return found


def _cost(cost: CostLine) -> tuple[str, ...]:
    return (
        f"{short_date(cost.on)}, {cost.on.year}{'*' if cost.earlier else ''}",
        str(cost.entry),
        cost.what,
        cost.case or "–",
        cost.account,
        dollars(cost.cents),
    )


def _signed(sheet: ClaimSheet, paper: Paper) -> list[Flowable]:
    sent = full_date(sheet.sent_on) if sheet.sent_on else ""
    asked = f"{usd(sheet.cents)} of {sheet.funder}"
    rows = [
        ("Reported" if sheet.ahead else "Claimed", asked),
        ("Name", sheet.certified_by),
        ("Date", sent),
        ("Signature", ""),
    ]
    columns = [Column(head="", width=130), Column(head="", width=paper.width - 130, bold=True)]
    return [
        heading("Certification"),
        words(CERTIFIES, Look(size=9, below=2)),
        words(FORM, Look(size=8, gray=True, below=4)),
        table(columns, rows, size=9.5, pad=SIGNING_ROOM),
    ]
