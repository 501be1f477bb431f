"""What the forms of grants and claims take, and beside which field they refuse."""

from __future__ import annotations

from datetime import date
from typing import Any

import pytest
from django.http import QueryDict

from program.grants.claiming import cost_accounts
from program.grants.forms import (
    ACCOUNTS,
    AWARD,
    BeginForm,
    ChooseForm,
    EditGrantForm,
    GrantForm,
    NewGrantForm,
    WithdrawForm,
)
from program.grants.writing import edit_grant
from program.ledger.chart import load
from program.models import Claim
from tests.factories import make_fund, make_program
from tests.program.grants.awards import award, begun, general, make_grant, spent, treasurer

TYPED = {
    "funder": "Orrin County",
    "number": "OC-117",
    "cents": "$2,500.00",
    "pays": "after",
    "own_percent": "20",
    "begins_on": "10/1/2026",
    "ends_on": "2026-12-31",
    "cycle": "monthly",
    "due_days": "20",
    "accounts": ["6010", "6030"],
    "terms": "",
}


def chosen(sent: str) -> ChooseForm:
    return ChooseForm(QueryDict(f"version=1&{sent}"), claim=Claim(version=1))


def funds() -> list[str]:
    field: Any = NewGrantForm(user=treasurer()).fields["fund"]
    return [fund.code for fund in field.queryset]


def test_what_was_typed_of_an_award_is_one_value() -> None:
    form = GrantForm(TYPED)
    assert form.is_valid()
    expected = award(cents=250_000, own_percent=20, accounts=["6010", "6030"])
    assert form.cleaned_data == {"award": expected}


@pytest.mark.parametrize(
    ("name", "typed", "sentence"),
    [
        ("funder", "", "Funder: an answer is missing."),
        ("cents", "0", "$0.00 is too little. Type at least $0.01."),
        ("own_percent", "100", "“100” is not possible. Type a whole number from 0 to 99."),
        ("due_days", "366", "“366” is not possible. Type a whole number from 0 to 365."),
        ("pays", "", "When the money comes: an answer is missing."),
        ("ends_on", "", "Last day of allowed cost: an answer is missing."),
    ],
)
def test_what_an_award_can_not_be_is_refused_beside_its_field(
    name: str, typed: str, sentence: str
) -> None:
    form = GrantForm(TYPED | {name: typed})
    assert not form.is_valid()
    assert form.errors == {name: [sentence]}


def test_accounts_offered_are_those_whose_cost_is_paid_with_money() -> None:
    assert [code for code, _ in ACCOUNTS] == cost_accounts(load())
    assert ("6010", "6010 Parts bought") in ACCOUNTS
    form = GrantForm(TYPED | {"accounts": ["1010"]})
    assert list(form.errors) == ["accounts"]


def test_every_field_of_an_award_is_asked_for() -> None:
    assert set(GrantForm().fields) == set(AWARD)


@pytest.mark.django_db
def test_a_new_grant_hangs_only_on_an_open_restricted_fund_without_a_grant() -> None:
    make_fund(code="FREE", restricted=True)
    make_fund(code="GEN")
    make_fund(code="SHUT", restricted=True, closed_on=date(2026, 11, 1))
    make_grant(make_fund(code="COM", restricted=True))
    make_fund(program=make_program(name="Other garage"), code="THEIRS", restricted=True)
    assert funds() == ["FREE"]


@pytest.mark.django_db
def test_a_new_grant_gives_its_award_its_fund_and_its_key_to_the_action() -> None:
    fund = make_fund(code="COM", restricted=True)
    form = NewGrantForm(TYPED | {"fund": fund.pk}, user=treasurer())
    assert form.is_valid()
    assert set(form.cleaned_data) == {"award", "fund", "fund_code", "fund_name", "client_key"}
    assert form.cleaned_data["fund"] == fund
    assert list(form.fields)[:5] == ["funder", "number", "fund", "fund_code", "fund_name"]


@pytest.mark.django_db
def test_other_terms_start_from_those_that_hold() -> None:
    grant = make_grant(own_percent=10)
    form = EditGrantForm(None, grant=grant)
    assert form.initial == vars(award(own_percent=10)) | {"version": grant.version}


@pytest.mark.django_db
def test_what_the_action_refuses_stands_beside_its_field() -> None:
    spent(general(), 5_000)
    grant = make_grant()
    begun(grant)
    form = EditGrantForm(TYPED | {"version": grant.version}, grant=grant)
    assert form.is_valid()
    assert form.perform(edit_grant, grant=grant, by=treasurer()) is None
    assert list(form.errors) == ["own_percent"]


def test_the_choice_of_costs_is_ids() -> None:
    form = chosen("shown=3&shown=4&chosen=4")
    assert form.is_valid()
    assert form.cleaned_data == {"version": 1, "shown": [3, 4], "chosen": [4]}


@pytest.mark.parametrize("sent", ["x", "-3", "%C2%B2", "12345678901234567890"])
def test_what_can_be_no_id_is_refused(sent: str) -> None:
    form = chosen(f"shown=3&chosen={sent}")
    assert not form.is_valid()
    assert list(form.errors) == ["chosen"]


def test_no_tick_at_all_is_a_choice_too() -> None:
    form = chosen("shown=3")
    assert form.is_valid()
    assert form.cleaned_data == {"version": 1, "shown": [3], "chosen": []}


def test_a_claim_is_withdrawn_for_a_reason() -> None:
    form = WithdrawForm({"version": "4", "reason": " "}, claim=Claim(version=4))
    assert form.errors == {"reason": ["Why: an answer is missing."]}
    assert form.initial == {"version": 4}


def test_a_cycle_is_named_by_its_last_day() -> None:
    form = BeginForm({"until_on": "2026-10-31"})
    assert form.is_valid()
    assert form.cleaned_data == {"until_on": date(2026, 10, 31)}
