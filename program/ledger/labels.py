"""Words of the books: what caused an entry, by the kind that its key begins with.

>>> kind_of("plan:5:freed"), id_of("plan:5:freed")
('plan', '5')
>>> CAUSES[kind_of("form:0b5f")].words
'Booked by hand'
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final


@dataclass(frozen=True, kw_only=True)
class Cause:
    """What a kind of key says, and the page of what caused it.

    The page is the URL `url` with the `fields` of the row of `model` that the key names; without a
    model, with nothing. `named` puts the row's own words into a sentence. `undo` says how the
    room that booked it takes it back, where reversing it in the journal would leave that room
    wrong; without it, the journal may reverse it.
    """

    words: str
    url: str = ""
    model: str = ""
    fields: tuple[str, ...] = ("pk",)
    named: str = ""
    undo: str = ""


ANSWERED: Final = "take the answer back there."
BY_GIFT: Final = "take it back there."
BY_PLAN: Final = "the next approved plan changes it."

CAUSES: Final = {
    "bank": Cause(
        words="A line of the bank’s statement",
        url="bank:line_page",
        model="program.BankLine",
        undo="take back what the line is there, and then reverse it here.",
    ),
    "claim": Cause(
        words="A claim to a grantor",
        url="grants:claim_page",
        model="program.Claim",
        named="{row}",
        undo="withdraw it there.",
    ),
    "claim-paid": Cause(
        words="A claim was paid",
        url="grants:claim_page",
        model="program.Claim",
        named="{row}",
        undo=ANSWERED,
    ),
    "claim-refused": Cause(
        words="A part of a claim was refused",
        url="grants:claim_page",
        model="program.Claim",
        named="{row}",
        undo=ANSWERED,
    ),
    "form": Cause(words="Booked by hand"),
    "import": Cause(words="An import of sheets", url="importing:run_list"),
    "offer": Cause(
        words="A gift that was accepted",
        url="gifts:offer_page",
        model="program.Offer",
        named="the {row}",
        undo=BY_GIFT,
    ),
    "offer-in": Cause(
        words="A gift that came in",
        url="gifts:offer_page",
        model="program.Offer",
        named="the {row}",
        undo=BY_GIFT,
    ),
    "offer-met": Cause(
        words="A gift’s condition was met",
        url="gifts:offer_page",
        model="program.Offer",
        named="the {row}",
        undo=BY_GIFT,
    ),
    "opening": Cause(words="An opening balance, imported", url="importing:run_list"),
    "plan": Cause(
        words="An approved plan",
        url="planning:plan_page",
        model="program.Plan",
        fields=("number",),
        named="{row}",
        undo=BY_PLAN,
    ),
    "returned": Cause(
        words="A car that went back unrepaired",
        url="desk:stay_case",
        model="vehicles.Intake",
        undo=BY_PLAN,
    ),
    "reversal": Cause(
        words="The reversal of another entry", url="ledger:entry_page", model="program.Entry"
    ),
    "supplement": Cause(
        words="An agreed supplement",
        url="decisions:supplement_page",
        model="program.Supplement",
        fields=("authorization__case__number", "pk"),
        named="{row}",
        undo=BY_PLAN,
    ),
    "withdrawn": Cause(
        words="Work that is not to be done",
        url="repairs:item_page",
        model="vehicles.RepairItem",
        fields=("intake_id", "pk"),
        undo=BY_PLAN,
    ),
}


def kind_of(key: str) -> str:
    """Return the kind of a key, `plan` of `plan:5:freed`."""
    return key.partition(":")[0]


def id_of(key: str) -> str:
    """Return what a key names, `5` of `plan:5:freed`."""
    return key.partition(":")[2].partition(":")[0]
