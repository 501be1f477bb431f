"""The pages of grants and claims, and who may do what on them."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import pytest
from django.urls import reverse

from program.grants.papers import claim_papers
from program.grants.storing import kept_name, storage
from program.grants.views import STEPS
from program.models import Claim, Grant
from shared.accounts.roles import RoleKind
from tests.factories import make_fund, make_program, make_user
from tests.program.grants.awards import begun, general, make_grant, refused, sent, spent
from tests.vehicles.pages import BACKEND, HTMX, sign_in, words

if TYPE_CHECKING:
    from django.test import Client

pytestmark = pytest.mark.django_db

TREASURER, BOARD = RoleKind.TREASURER, RoleKind.BOARD
GRANTS, NEW = "/money/grants/", "/money/grants/new/"
TYPED = {
    "funder": "Orrin County",
    "number": "OC-117",
    "fund": "",
    "fund_code": "COM",
    "fund_name": "commuter grant",
    "cents": "2,500.00",
    "pays": "after",
    "own_percent": "20",
    "begins_on": "10/1/2026",
    "ends_on": "2026-12-31",
    "cycle": "monthly",
    "due_days": "20",
    "accounts": ["6010", "6030"],
    "terms": "",
    "client_key": "0b5f8f0e-6d5a-4b0e-9d43-2f5c7f1f6a11",
}


def url(name: str, row: Grant | Claim, *more: str) -> str:
    return reverse(f"grants:{name}", args=[row.pk, *more])


def step(name: str, claim: Claim) -> str:
    return reverse("grants:claim_do", args=[claim.pk, name])


def do(client: Client, name: str, claim: Claim, **typed: object) -> Any:
    data = {"version": claim.version} | typed
    return client.post(step(name, claim), data, follow=True)


def test_the_list_says_what_is_left_and_what_to_see_to(client: Client) -> None:
    sign_in(client, BOARD)
    spent(general(), 5_000)
    sent(make_grant())
    text = words(client.get(GRANTS))
    assert "$450.00 of the awards was not claimed yet." in text
    assert "The commuter grant will lapse $450.00 on Thursday, December 31, 2026" in text
    assert "Write a grant down" not in text


def test_an_award_is_written_down_and_leads_to_its_page(client: Client) -> None:
    sign_in(client, TREASURER)
    response = client.post(NEW, TYPED, follow=True)
    grant = Grant.objects.get()
    assert (grant.cents, grant.accounts, grant.own_percent) == (250_000, ["6010", "6030"], 20)
    text = words(response)
    assert "Commuter grant: $2,500.00 left of $2,500.00" in text
    assert "Own share: $625.00 goes with the whole award; $0.00 of that is met" in text


def test_sending_the_form_twice_writes_one_grant(client: Client) -> None:
    sign_in(client, TREASURER)
    for _ in range(2):
        client.post(NEW, TYPED)
    assert Grant.objects.count() == 1


def test_what_is_wrong_stands_beside_its_field_and_what_was_typed_stays(client: Client) -> None:
    sign_in(client, TREASURER)
    response = client.post(NEW, TYPED | {"ends_on": "2026-09-30", "fund_code": "KEPT"})
    assert response.status_code == 422
    assert "A grant can't end before it begins." in words(response)
    assert 'value="KEPT"' in response.content.decode()


def test_terms_are_changed_on_top_of_what_was_seen(client: Client) -> None:
    sign_in(client, TREASURER)
    grant = make_grant()
    typed = TYPED | {"version": "1", "own_percent": "0"}
    assert client.post(url("grant_edit", grant), typed).status_code == 302
    response = client.post(url("grant_edit", grant), typed)
    assert response.status_code == 422
    assert "Somebody else changed this grant." in words(response)


def test_the_page_says_which_costs_do_not_qualify_and_why(client: Client) -> None:
    sign_in(client, BOARD)
    fund = general()
    spent(fund, 5_000)
    spent(fund, 700, debit="7010", what="Toner")
    grant = make_grant(accounts=["6010"])
    text = words(client.get(url("grant_page", grant)))
    assert "October 2026: $50.00, due Friday, November 20, 2026" in text
    assert "The grant does not allow 7010 Office. 1 cost 7.00" in text
    assert "Toner" in words(client.get(url("grant_others", grant)))
    assert "Front pads" in words(client.get(url("grant_costs", grant)))


def test_a_long_list_of_costs_is_paged_and_exported_whole(client: Client) -> None:
    sign_in(client, BOARD)
    fund = general()
    for number in range(30):
        spent(fund, 100 + number)
    grant = make_grant()
    page = client.get(url("grant_costs", grant), headers=HTMX)
    assert "30 costs, 1 to 25 shown" in words(page)
    sheet = client.get(url("grant_costs", grant), {"export": "csv"})
    assert len(sheet.content.decode().splitlines()) == 31


def test_a_claim_goes_from_draft_to_paid(client: Client) -> None:
    sign_in(client, TREASURER)
    rows = [spent(general(), 5_000), spent(make_fund(), 700)]
    grant = make_grant()
    client.post(url("claim_begin", grant), {"until_on": "2026-10-31"})
    claim = Claim.objects.get()
    text = words(do(client, "choose", claim, shown=[r.pk for r in rows], chosen=[rows[0].pk]))
    assert "The choice is recorded." in text
    assert "Claim 1, October 2026: $50.00" in text
    claim.refresh_from_db()
    text = words(do(client, "send", claim, on="2026-11-12"))
    assert "Sent to Orrin County on Thursday, November 12, 2026; not paid yet." in text
    claim.refresh_from_db()
    text = words(do(client, "pay", claim, on="2026-11-28", cents="50"))
    assert "Paid by Orrin County on Saturday, November 28, 2026." in text


def test_a_claim_is_paid_in_part_and_refused_in_part(client: Client) -> None:
    sign_in(client, TREASURER)
    fund = general()
    rows = [spent(fund, 5_000), spent(fund, 2_000, what="Wiper blades")]
    claim = sent(make_grant())
    page = client.get(url("claim_page", claim)).content.decode()
    assert 'name="cents" value="70.00"' in page
    text = words(do(client, "pay", claim, on="2026-11-30", cents="40"))
    assert "Sent to Orrin County on Monday, November 30, 2026; $30.00 is open." in text
    assert "Paid −40.00 Open 30.00" in text
    assert "Withdraw it" not in text
    claim.refresh_from_db()
    typed = {"on": "2026-11-30", "cents": "30", "reason": "No receipt.", "freed": [rows[1].pk]}
    text = words(do(client, "refuse", claim, **typed))
    assert "Answered by Orrin County: $40.00 paid, $30.00 refused." in text
    assert "refused: another grant may claim it" in text
    assert "It was paid" not in text
    assert "$30.00 of what was claimed was refused" in words(
        client.get(url("grant_page", claim.grant))
    )


def test_an_answer_is_taken_back_on_the_claims_page(client: Client) -> None:
    sign_in(client, TREASURER)
    spent(general(), 5_000)
    claim = refused(sent(make_grant()), 5_000)
    assert "Refused whole by Orrin County on Monday, November 30" in words(
        client.get(url("claim_page", claim))
    )
    answer = claim.answers.get()
    response = do(client, "take_back", claim, answer=answer.pk, reason="")
    assert response.status_code == 422
    assert "Why: an answer is missing." in words(response)
    text = words(do(client, "take_back", claim, answer=answer.pk, reason="A slip."))
    assert "The answer is taken back; its amount is open again." in text
    assert "refused No receipt.; taken back" in text
    assert "not paid yet." in text


def test_too_much_is_refused_beside_the_amount_and_what_was_typed_stays(client: Client) -> None:
    sign_in(client, TREASURER)
    spent(general(), 5_000)
    claim = sent(make_grant())
    for typed in ("50.01", "0", "-1"):
        response = do(client, "pay", claim, on="2026-11-30", cents=typed)
        assert response.status_code == 422
        assert f'name="cents" value="{typed}"' in response.content.decode()
    assert not claim.answers.exists()


def test_a_claim_is_withdrawn_with_a_reason(client: Client) -> None:
    sign_in(client, TREASURER)
    spent(general(), 5_000)
    claim = sent(make_grant())
    response = do(client, "withdraw", claim, reason="")
    assert response.status_code == 422
    assert "Why: an answer is missing." in words(response)
    assert "Withdrawn: Wrong month." in words(do(client, "withdraw", claim, reason="Wrong month."))


def test_a_step_taken_twice_is_refused_on_the_page(client: Client) -> None:
    sign_in(client, TREASURER)
    spent(general(), 5_000)
    claim = begun(make_grant())
    do(client, "send", claim, on="2026-11-12")
    response = do(client, "withdraw", claim, reason="Twice.")
    assert response.status_code == 422
    assert "Somebody else changed this claim." in words(response)


def test_a_cycle_that_runs_is_refused_on_the_grants_page(client: Client) -> None:
    sign_in(client, TREASURER)
    response = client.post(url("claim_begin", make_grant()), {"until_on": "2026-12-31"})
    assert response.status_code == 422
    assert "December 2026 is not over" in words(response)


def test_the_draft_says_what_stands_against_it(client: Client) -> None:
    sign_in(client, TREASURER)
    fund = general()
    spent(fund, 90_000)
    claim = begun(make_grant())
    text = words(client.get(url("claim_page", claim)))
    assert "$400.00 of the funder’s share is more than the award still holds." in text


def test_the_papers_are_downloaded_when_they_are_there(client: Client) -> None:
    sign_in(client, BOARD)
    spent(general(), 5_000)
    claim = sent(make_grant())
    assert client.get(url("claim_file", claim, "zip")).status_code == 404
    claim_papers({"claim": claim.pk}, claim.program)
    for kind, begins in (("pdf", b"%PDF"), ("zip", b"PK")):
        response = client.get(url("claim_file", claim, kind))
        content = b"".join(response)
        assert content.startswith(begins)
        assert response["Cache-Control"] == "no-store"
        storage().delete(kept_name(claim, kind))
    assert client.get(url("claim_file", claim, "exe")).status_code == 404


def test_the_papers_are_asked_for_again_once_the_claim_was_sent(client: Client) -> None:
    sign_in(client, TREASURER)
    spent(general(), 5_000)
    claim = begun(make_grant())
    assert client.post(url("claim_papers", claim)).status_code == 404
    do(client, "send", claim, on="2026-11-12")
    text = words(client.post(url("claim_papers", claim), follow=True))
    assert "The papers are being put together." in text


def test_the_board_reads_and_changes_nothing(client: Client) -> None:
    sign_in(client, BOARD)
    spent(general(), 5_000)
    grant = make_grant()
    claim = begun(grant)
    assert client.get(url("grant_page", grant)).status_code == 200
    assert "Record it as sent" not in words(client.get(url("claim_page", claim)))
    assert client.get(NEW).status_code == 403
    assert client.post(step("send", claim), {"on": "2026-11-12"}).status_code == 403


def test_the_shop_sees_no_grants(client: Client) -> None:
    sign_in(client, RoleKind.LEAD_TECHNICIAN)
    assert client.get(GRANTS).status_code == 403


def test_another_programs_grants_and_claims_are_not_there(client: Client) -> None:
    spent(general(), 5_000)
    claim = sent(make_grant())
    other = make_user(TREASURER, program=make_program(name="Other garage"))
    client.force_login(other, BACKEND)
    assert client.get(url("grant_page", claim.grant)).status_code == 404
    assert client.get(url("claim_page", claim)).status_code == 404
    assert client.post(step("pay", claim), {"on": "2026-11-30"}).status_code == 404
    assert client.get(url("claim_file", claim, "zip")).status_code == 404
    assert "There is no grant" in words(client.get(GRANTS))


def test_a_post_is_not_done_by_looking(client: Client) -> None:
    sign_in(client, TREASURER)
    spent(general(), 5_000)
    claim = begun(make_grant())
    for address in (*(step(name, claim) for name in STEPS), url("claim_papers", claim)):
        assert client.get(address).status_code == 405
    assert client.post(step("burn", claim)).status_code == 404
