"""The pages of funds, as a treasurer uses them."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
from django.urls import reverse

from program.models import Fund
from shared.accounts.roles import RoleKind
from tests.factories import make_entry, make_fund
from tests.program.funds.work import make_ready, make_work
from tests.program.ledger.books import MONEY, TREASURER
from tests.vehicles.pages import sign_in, words

if TYPE_CHECKING:
    from django.test import Client

pytestmark = pytest.mark.django_db


def page(fund: Fund, name: str = "fund_page") -> str:
    return reverse(f"funds:{name}", args=[fund.pk])


def gift(**fields: object) -> Fund:
    rule = {"systems": ["brakes"]}
    fund = make_fund(code="PRU", name="Pruitt gift", restricted=True, rule=rule, **fields)
    make_entry(("1010", "4010", 50_000, fund))
    return fund


def work() -> None:
    case = make_ready(county="Orrin")
    make_work(case, cents=12_000)
    make_work(case, cents=8_000, title="Front pads", system="brakes", kind="brake_pads")


def test_the_list_links_its_figures_and_the_rooms_of_the_books(client: Client) -> None:
    sign_in(client, TREASURER)
    fund = gift(lapses_on="2026-12-31")
    response = client.get(MONEY)
    assert "will lapse $500.00 on Thursday, December 31, 2026, in 31 days." in words(response)
    assert f'<a href="/money/entries/?fund={fund.pk}">500.00</a>' in response.content.decode()
    assert "Journal · Statements" in words(response)


def test_a_fund_says_what_no_open_work_may_use(client: Client) -> None:
    sign_in(client, TREASURER)
    work()
    text = words(client.get(page(gift())))
    assert "No open work may use $420.00 of it. It may pay 1 of 2 open items" in text
    assert "they still lack $80.00." in text


def test_a_fund_is_opened_and_leads_to_its_rule(client: Client) -> None:
    sign_in(client, TREASURER)
    typed = {"name": "tire drive", "code": "tir", "restricted": "on", "opened_on": "2026-11-30"}
    response = client.post(reverse("funds:fund_new"), typed)
    fund = Fund.objects.get(code="TIR")
    assert (response.status_code, response["Location"]) == (302, page(fund, "fund_rule"))


def test_a_rule_is_tried_on_real_work_and_nothing_is_kept(client: Client) -> None:
    sign_in(client, TREASURER)
    work()
    fund = gift()
    response = client.get(page(fund, "fund_rule"), {"systems": "tires", "try": "1"})
    text = words(response)
    assert "May pay 1 of 2 items, $120.00 of $200.00 at the likely cost" in text
    assert "given cost nothing. It pays only for tires. May pay 1 of 2" in text
    assert "Refuses 1 $80.00 All items" in text
    assert "Front pads 80.00 No. The rule in force says yes." in text
    fund.refresh_from_db()
    assert fund.rule == {"systems": ["brakes"]}


@pytest.mark.parametrize(
    ("show", "listed"), [("yes", ["Two front tires"]), ("no", ["Front pads"]), ("broken", [])]
)
def test_the_items_of_a_trial_are_narrowed(client: Client, show: str, listed: list[str]) -> None:
    sign_in(client, TREASURER)
    work()
    asked = {"systems": "tires", "try": "1", "show": show}
    table = client.get(page(gift(), "fund_rule"), asked).context["table"]
    assert [row.record.work.title for row in table.rows] == listed


def test_a_rule_that_was_tried_is_put_in_force(client: Client) -> None:
    sign_in(client, TREASURER)
    fund = make_fund(restricted=True)
    typed = {
        "systems": ["tires", "brakes"],
        "jobs": "tire-replace",
        "until_on": "2026-12-31",
        "two_over_cents": "500.00",
        "version": "1",
    }
    response = client.post(page(fund, "fund_rule"), typed)
    assert response.status_code == 302
    fund.refresh_from_db()
    assert fund.rule == {
        "systems": ["brakes", "tires"],
        "jobs": ["tire-replace"],
        "until_on": "2026-12-31",
        "two_over_cents": 50_000,
    }


def test_a_limit_of_given_money_is_lifted_only_with_the_donors_word(client: Client) -> None:
    sign_in(client, TREASURER)
    fund = gift()
    response = client.post(page(fund, "fund_rule"), {"version": "1"})
    assert response.status_code == 422
    assert "Fewer limits need the donor: say when they agreed" in words(response)
    typed = {"version": "1", "agreed_on": "2026-11-20", "paper": "letter"}
    assert client.post(page(fund, "fund_rule"), typed).status_code == 302


def test_a_rule_that_makes_no_sense_is_refused_where_it_is_typed(client: Client) -> None:
    sign_in(client, TREASURER)
    asked = {"from_on": "2026-12-02", "until_on": "2026-12-01", "try": "1"}
    response = client.get(page(gift(), "fund_rule"), asked)
    assert response.status_code == 422
    assert "The rule would end before it starts." in words(response)


def test_a_fund_is_changed_and_a_stale_page_is_refused(client: Client) -> None:
    sign_in(client, TREASURER)
    fund = make_fund(name="old name")
    typed = {"name": "new name", "opened_on": "2026-01-01", "version": "1"}
    assert client.post(page(fund, "fund_edit"), typed).status_code == 302
    response = client.post(page(fund, "fund_edit"), typed | {"name": "newer"})
    assert response.status_code == 422
    assert "Somebody else changed this fund. Open the page again." in words(response)


def test_a_fund_closes_when_nothing_is_left(client: Client) -> None:
    sign_in(client, TREASURER)
    fund, full = make_fund(name="old gift"), gift()
    text = words(client.post(page(fund, "fund_close"), {"version": "1"}, follow=True))
    assert "The old gift is closed." in text
    text = words(client.post(page(full, "fund_close"), {"version": "1"}, follow=True))
    assert "The Pruitt gift still has $500.00 on 1010 Checking account." in text


@pytest.mark.parametrize("name", ["fund_edit", "fund_rule", "fund_close"])
def test_the_board_reads_and_does_not_write(client: Client, name: str) -> None:
    sign_in(client, RoleKind.BOARD)
    fund = make_fund()
    assert client.get(page(fund)).status_code == 200
    assert client.post(page(fund, name)).status_code == 403
