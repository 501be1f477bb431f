"""How grants, costs and claims are written in their tables."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING, Any

import pytest
from django.urls import reverse

from program.grants.gathering import CostRow, GrantRow
from program.grants.sheet import AnswerRow, ClaimRow
from program.grants.tables import (
    AnswerTable,
    ClaimTable,
    CostTable,
    DraftTable,
    GrantTable,
    OtherTable,
)
from shared.say import say

if TYPE_CHECKING:
    from shared.tables import Table


def grant_row(**fields: Any) -> GrantRow:
    defaults: dict[str, Any] = {
        "pk": 7,
        "name": "Commuter grant",
        "funder": "Orrin <County>",
        "award": 50_000,
        "claimed": 20_000,
        "paid": 5_000,
        "left": 30_000,
        "ends_on": date(2026, 12, 31),
        "due_on": None,
        "warning": None,
    }
    return GrantRow(**defaults | fields)


def cost_row(**fields: Any) -> CostRow:
    defaults: dict[str, Any] = {
        "id": 3,
        "entry": 41,
        "on": date(2026, 10, 9),
        "what": "Front <pads>",
        "case": "",
        "account": "6010 Parts bought",
        "fund": "General fund",
        "cents": 5_000,
    }
    return CostRow(**defaults | fields)


def claim(**fields: Any) -> ClaimRow:
    defaults: dict[str, Any] = {
        "pk": 5,
        "number": 2,
        "span": "October 2026",
        "state": "sent, not paid yet",
        "sent_on": date(2026, 11, 3),
        "paid_on": None,
        "cents": 10_040,
    }
    return ClaimRow(**defaults | fields)


def answer(**fields: Any) -> AnswerRow:
    defaults: dict[str, Any] = {
        "on": date(2026, 11, 20),
        "what": "refused",
        "reason": "No <receipt>.",
        "entry": 41,
        "back": None,
        "cents": 4_000,
    }
    return AnswerRow(**defaults | fields)


def cells(table: Table) -> dict[str, str]:
    return {column.name: str(cell) for column, cell in table.rows[0].items()}


def test_a_grant_leads_to_its_page_and_names_its_funder() -> None:
    found = cells(GrantTable([grant_row()]))
    address = reverse("grants:grant_page", args=[7])
    assert found["name"] == (
        f'<a href="{address}">Commuter grant</a><span class="sub">Orrin &lt;County&gt;</span>'
    )
    assert (found["award"], found["claimed"], found["left"]) == ("500.00", "200.00", "300.00")


def test_a_warning_stands_where_the_funder_stood() -> None:
    found = cells(GrantTable([grant_row(warning=say("Claim it by {day}.", day="Friday"))]))
    assert found["name"].endswith('<span class="sub">Claim it by Friday.</span>')


def test_money_of_the_grants_is_added_up() -> None:
    table = GrantTable([grant_row(), grant_row(pk=8, award=1_050, left=1_050)])
    sums = {column.name: str(column.footer) for column in table.columns if column.has_footer()}
    assert (sums["name"], sums["award"], sums["left"]) == ("Sum", "510.50", "310.50")


def test_a_cost_leads_to_its_entry_and_lacks_a_case_with_a_dash() -> None:
    found = cells(CostTable([cost_row()]))
    address = reverse("ledger:entry_page", args=[41])
    assert found["what"] == f'<a href="{address}">Front &lt;pads&gt;</a>'
    assert (found["case"], found["account"], found["cents"]) == ("–", "6010 Parts bought", "50.00")


def test_a_cost_of_an_earlier_cycle_says_so() -> None:
    found = cells(CostTable([cost_row(earlier=True, case="26-041")]))
    assert found["what"].endswith('</a><span class="sub">of an earlier cycle</span>')
    assert found["case"] == "26-041"


def test_a_cost_that_was_refused_says_so() -> None:
    found = cells(CostTable([cost_row(freed=True, earlier=True)]))
    assert found["what"].endswith(
        '<span class="sub">of an earlier cycle; refused: another grant may claim it</span>'
    )


def test_the_download_of_costs_holds_plain_values() -> None:
    table = CostTable([cost_row(case="26-041", earlier=True)])
    heads, row = table.as_values()
    assert heads == ["Day", "What", "Case", "Account", "Paid from", "Amount"]
    assert row[1:5] == ["Front <pads>", "26-041", "6010 Parts bought", "General fund"]


def test_a_cost_that_does_not_qualify_says_why() -> None:
    found = cells(OtherTable([cost_row(why=say("It pays only for brakes."))]))
    assert found["why"] == "It pays only for brakes."


@pytest.mark.parametrize(("ticked", "end"), [(True, " checked>"), (False, ">")])
def test_a_tick_of_a_draft_is_named_for_its_cost(ticked: bool, end: str) -> None:  # noqa: FBT001  # a case of the table
    found = cells(DraftTable([cost_row(ticked=ticked)]))
    assert found["tick"] == (
        '<input type="hidden" name="shown" value="3" form="choose">'
        '<label class="pick" for="cost-3"><input type="checkbox" id="cost-3" name="chosen"'
        f' value="3" form="choose"{end}'
        '<span class="sr">Claim entry 41, Front &lt;pads&gt;</span></label>'
    )


def test_a_draft_begins_with_the_ticks_and_leaves_the_fund_out() -> None:
    table = DraftTable([cost_row(ticked=True), cost_row(id=4)])
    names = [column.name for column in table.columns]
    assert names == ["tick", "on", "what", "case", "account", "cents"]
    assert [row[0] for row in table.as_values()] == ["Claim it", "yes", "no"]


def test_a_claim_leads_to_its_page_and_names_its_cycle() -> None:
    found = cells(ClaimTable([claim()]))
    address = reverse("grants:claim_page", args=[5])
    assert found["number"] == f'<a href="{address}">Claim 2</a>'
    assert (found["span"], found["state"]) == ("October 2026", "sent, not paid yet")
    assert (found["cents"], found["paid_on"]) == ("100.40", "–")


def test_an_answer_says_why_and_leads_to_its_entry() -> None:
    found = cells(AnswerTable([answer()]))
    assert found["what"] == 'refused<span class="sub">No &lt;receipt&gt;.</span>'
    assert found["entry"] == '<a href="/money/entries/41/">entry 41</a>'
    assert cells(AnswerTable([answer(reason="", what="paid")]))["what"] == "paid"


def test_an_answer_that_was_taken_back_stays_in_the_list() -> None:
    found = cells(AnswerTable([answer(reason="", what="paid", back=44)]))
    assert found["what"] == 'paid<span class="sub">taken back</span>'
    assert found["entry"] == (
        '<a href="/money/entries/41/">entry 41</a>, reversed by'
        ' <a href="/money/entries/44/">entry 44</a>'
    )
