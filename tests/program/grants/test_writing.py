"""Writing an award down, and changing its terms."""

from __future__ import annotations

import uuid
from datetime import date
from typing import TYPE_CHECKING, Any

import pytest
from django.core.exceptions import ValidationError

from program.grants.writing import add_grant, edit_grant
from program.models import Fund, Grant
from tests.factories import make_fund, make_program
from tests.program.grants.awards import award, begun, general, make_grant, spent, treasurer

if TYPE_CHECKING:
    from program.grants.writing import Award

pytestmark = pytest.mark.django_db


def add(terms: Award | None = None, **fields: Any) -> Grant:
    defaults: dict[str, Any] = {
        "fund": None,
        "fund_code": "COM",
        "fund_name": "commuter grant",
        "client_key": uuid.uuid4(),
    }
    who = {"program": make_program(), "by": treasurer()}
    return add_grant(award=terms or award(), **who, **defaults | fields)


def edit(grant: Grant, version: int = 1, **fields: Any) -> Grant:
    return edit_grant(grant=grant, award=award(**fields), version=version, by=treasurer())


def refused(error: pytest.ExceptionInfo[ValidationError]) -> dict[str, list[str]]:
    return error.value.message_dict


def test_an_award_opens_a_restricted_fund_with_its_days() -> None:
    fund = add().fund
    assert (fund.code, fund.restricted, fund.opened_on, fund.lapses_on) == (
        *("COM", True),
        *(date(2026, 10, 1), date(2026, 12, 31)),
    )


def test_an_award_books_nothing() -> None:
    # Source: ASC 958-605-25-5A (text seen): a conditional award is no revenue before its condition
    # is met. The published library case RF-10 (text seen) has revenue 0 in the same way.
    assert not add().fund.transfers.exists()


def test_the_same_form_writes_one_grant() -> None:
    key = uuid.uuid4()
    assert add(client_key=key) == add(client_key=key)
    assert (Grant.objects.count(), Fund.objects.count()) == (1, 1)


def test_a_new_fund_needs_code_and_name() -> None:
    with pytest.raises(ValidationError) as error:
        add(fund_name=" ")
    assert refused(error) == {"fund": ["Choose a fund, or give a new one its code and name."]}


def test_a_code_that_is_taken_is_refused_beside_it() -> None:
    make_fund(code="COM")
    with pytest.raises(ValidationError) as error:
        add()
    assert refused(error) == {"fund_code": ["There is a fund of this code already."]}


def test_a_fund_without_restriction_carries_no_grant() -> None:
    with pytest.raises(ValidationError) as error:
        add(fund=general())
    assert refused(error) == {"fund": ["The general fund has no donor restriction."]}


def test_a_fund_carries_one_grant() -> None:
    fund = make_grant().fund
    with pytest.raises(ValidationError) as error:
        add(fund=fund)
    assert list(refused(error)) == ["fund"]


def test_the_fund_of_a_grant_that_pays_after_is_empty() -> None:
    fund = make_fund(name="commuter grant", restricted=True)
    spent(fund, 5_000, debit="1010", credit="4030")
    with pytest.raises(ValidationError) as error:
        add(fund=fund)
    sentence = (
        "The commuter grant has $50.00 free. The fund of a grant that pays after stays empty."
    )
    assert refused(error) == {"fund": [sentence]}
    assert add(award(pays="ahead"), fund=fund).fund == fund


def test_money_ahead_asks_no_own_share() -> None:
    with pytest.raises(ValidationError) as error:
        add(award(pays="ahead", own_percent=20))
    assert refused(error) == {
        "own_percent": ["Money that came ahead pays its costs whole: the own share is 0."]
    }


def test_terms_are_changed_and_counted() -> None:
    changed = edit(make_grant(), cents=60_000, terms="A letter each spring.")
    assert (changed.cents, changed.terms, changed.version) == (60_000, "A letter each spring.", 2)


def test_a_change_on_top_of_somebody_elses_is_refused() -> None:
    grant = make_grant()
    edit(grant)
    with pytest.raises(ValidationError, match="Somebody else changed this grant"):
        edit(grant)


@pytest.mark.parametrize(
    ("field", "value", "sentence"),
    [
        ("own_percent", 10, "Claims stand on this. Withdraw them first."),
        ("cycle", "once", "Claims stand on this. Withdraw them first."),
        ("begins_on", date(2026, 9, 1), "Claims stand on this. Withdraw them first."),
        ("cents", 4_999, "$50.00 was claimed already."),
        ("ends_on", date(2026, 10, 30), "A claim goes to Saturday, October 31, 2026."),
    ],
)
def test_terms_on_which_a_claim_stands_stay(field: str, value: Any, sentence: str) -> None:
    spent(general(), 5_000)
    grant = make_grant()
    begun(grant)
    with pytest.raises(ValidationError) as error:
        edit(grant, **{field: value})
    assert refused(error) == {field: [sentence]}
