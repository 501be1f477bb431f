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
    model, with nothing.
    """

    words: str
    url: str = ""
    model: str = ""
    fields: tuple[str, ...] = ("pk",)


CAUSES: Final = {
    "bank": Cause(
        words="A line of the bank’s statement", url="bank:line_page", model="program.BankLine"
    ),
    "claim": Cause(words="A claim to a grantor", url="grants:claim_page", model="program.Claim"),
    "claim-paid": Cause(words="A claim was paid", url="grants:claim_page", model="program.Claim"),
    "form": Cause(words="Booked by hand"),
    "import": Cause(words="An import of sheets", url="importing:run_list"),
    "offer": Cause(words="A gift that was accepted", url="gifts:offer_page", model="program.Offer"),
    "offer-in": Cause(words="A gift that came in", url="gifts:offer_page", model="program.Offer"),
    "offer-met": Cause(
        words="A gift’s condition was met", url="gifts:offer_page", model="program.Offer"
    ),
    "opening": Cause(words="An opening balance, imported", url="importing:run_list"),
    "plan": Cause(
        words="An approved plan",
        url="planning:plan_page",
        model="program.Plan",
        fields=("number",),
    ),
    "returned": Cause(
        words="A car that went back unrepaired", url="desk:stay_case", model="vehicles.Intake"
    ),
    "reversal": Cause(
        words="The reversal of another entry", url="ledger:entry_page", model="program.Entry"
    ),
    "supplement": Cause(
        words="An agreed supplement",
        url="decisions:supplement_page",
        model="program.Supplement",
        fields=("authorization__case__number", "pk"),
    ),
    "withdrawn": Cause(
        words="Work that is not to be done",
        url="repairs:item_page",
        model="vehicles.RepairItem",
        fields=("intake_id", "pk"),
    ),
}


def kind_of(key: str) -> str:
    """Return the kind of a key, `plan` of `plan:5:freed`."""
    return key.partition(":")[0]


def id_of(key: str) -> str:
    """Return what a key names, `5` of `plan:5:freed`."""
    return key.partition(":")[2].partition(":")[0]
