"""Opening, changing and closing funds; the donor's word before a limit is lifted."""

from __future__ import annotations

import datetime as dt
from typing import TYPE_CHECKING, Any

import pytest
from django.core.exceptions import ValidationError

from program.funds.actions import Agreed, change_fund, close_fund, open_fund, set_rule
from program.ledger.rules import NO_LIMITS, parse
from shared.audit.models import Event
from tests.factories import TODAY, make_entry, make_fund, make_program, make_user

if TYPE_CHECKING:
    from program.models import Fund

pytestmark = pytest.mark.django_db

LETTER = Agreed(on=dt.date(2026, 11, 20), paper="letter of November 20")
TIRES = {"systems": ["tires"]}


def open_gift(**fields: Any) -> Fund:
    usual: dict[str, Any] = {
        "code": "WIN",
        "name": "winter collection",
        "purpose": "",
        "restricted": True,
        "opened_on": TODAY,
        "lapses_on": None,
    }
    return open_fund(program=make_program(), by=make_user(), **usual | fields)


def given(**fields: Any) -> Fund:
    """Return a restricted fund for tires that holds $50.00."""
    fund = make_fund(code="WIN", name="winter collection", restricted=True, rule=TIRES, **fields)
    make_entry(("1010", "4010", 5_000, fund))
    fund.refresh_from_db()
    return fund


def change(fund: Fund, **fields: Any) -> Fund:
    kept: dict[str, Any] = {
        name: getattr(fund, name) for name in ("name", "purpose", "opened_on", "lapses_on")
    }
    return change_fund(fund=fund, version=fund.version, by=make_user(), **kept | fields)


def newest() -> Event:
    return Event.objects.order_by("-pk")[0]


def test_a_fund_is_opened_with_its_rule_and_a_line_in_the_log() -> None:
    fund = open_gift(rule=parse({"systems": "tires"}))
    assert (fund.rule, fund.restricted, fund.version) == (TIRES, True, 1)
    assert (newest().kind, newest().what) == ("fund", "The fund was opened.")


def test_a_code_is_given_once() -> None:
    open_gift()
    with pytest.raises(ValidationError, match="There is a fund of this code already"):
        open_gift(name="another")


def test_a_change_logs_the_names_of_what_changed() -> None:
    fund = change(make_fund(name="old name"), name="new name", purpose="Tires.")
    assert (fund.name, fund.version) == ("new name", 2)
    assert newest().fields == ["name", "purpose"]


def test_a_stale_change_is_refused() -> None:
    fund = make_fund()
    change(fund, name="first")
    with pytest.raises(ValidationError, match="Somebody else changed this fund"):
        change(fund, name="second")


def test_a_rule_is_put_in_force_and_its_limits_are_logged() -> None:
    fund = set_rule(fund=make_fund(), rule=parse({"systems": "tires"}), version=1, by=make_user())
    assert (fund.rule, newest().fields) == (TIRES, ["systems"])


def test_given_money_is_freed_of_a_limit_only_with_the_donor() -> None:
    fund = given()
    with pytest.raises(ValidationError, match="Fewer limits need the donor"):
        set_rule(fund=fund, rule=NO_LIMITS, version=1, by=make_user())
    freed = set_rule(fund=fund, rule=NO_LIMITS, version=1, by=make_user(), agreed=LETTER)
    assert freed.rule == {}
    assert newest().reason == (
        "The donor agreed on Friday, November 20, 2026: letter of November 20"
    )


@pytest.mark.parametrize("agreed", [Agreed(), Agreed(on=TODAY), Agreed(paper="letter")])
def test_the_donors_word_is_a_day_and_a_paper(agreed: Agreed) -> None:
    with pytest.raises(ValidationError, match="Fewer limits need the donor"):
        set_rule(fund=given(), rule=NO_LIMITS, version=1, by=make_user(), agreed=agreed)


def test_more_limits_need_no_donor_nor_does_an_empty_fund() -> None:
    tight = parse({"systems": "tires", "counties": "orrin"})
    assert set_rule(fund=given(), rule=tight, version=1, by=make_user()).version == 2
    empty = make_fund(restricted=True, rule=TIRES)
    assert set_rule(fund=empty, rule=NO_LIMITS, version=1, by=make_user()).rule == {}


def test_given_money_lapses_later_only_with_the_donor() -> None:
    fund = given(lapses_on="2026-12-31")
    with pytest.raises(ValidationError, match="The donor set this day"):
        change(fund, lapses_on=dt.date(2027, 3, 31))
    later = change(fund, lapses_on=dt.date(2027, 3, 31), agreed=LETTER)
    assert later.lapses_on == dt.date(2027, 3, 31)


def test_a_fund_with_money_is_not_closed_and_says_what_to_do() -> None:
    fund = given()
    with pytest.raises(ValidationError) as refused:
        close_fund(fund=fund, version=1, by=make_user())
    (sentence,) = refused.value.messages
    assert sentence == (
        "The winter collection still has $50.00 on 1010 Checking account. Spend it as the donor "
        "meant it, give it back, or ask the donor where it may go; then close the fund."
    )


def test_a_fund_with_money_set_aside_is_not_closed() -> None:
    fund = make_fund(name="general fund")
    make_entry(("9010", "9020", 700, fund))
    with pytest.raises(ValidationError, match=r"still has \$7\.00 set aside by approved plans"):
        close_fund(fund=fund, version=1, by=make_user())


def test_an_empty_fund_is_closed_today_and_once() -> None:
    fund = close_fund(fund=make_fund(name="old gift"), version=1, by=make_user())
    assert fund.closed_on == TODAY
    with pytest.raises(ValidationError, match="The old gift was closed on"):
        close_fund(fund=fund, version=2, by=make_user())


def test_what_is_wrong_with_a_fund_stands_at_its_field() -> None:
    fund, early = open_gift(), TODAY - dt.timedelta(days=1)
    with pytest.raises(ValidationError) as taken:
        open_gift()
    assert taken.value.message_dict == {"code": ["There is a fund of this code already."]}
    with pytest.raises(ValidationError) as opening:
        open_gift(code="EAR", lapses_on=early)
    with pytest.raises(ValidationError) as changing:
        change(fund, lapses_on=early)
    before = {"lapses_on": ["A fund can't lapse before it opens."]}
    assert (opening.value.message_dict, changing.value.message_dict) == (before, before)


def test_a_donor_has_not_agreed_on_a_day_that_lies_ahead() -> None:
    ahead = Agreed(on=TODAY + dt.timedelta(days=1), paper="letter")
    fund = make_fund(restricted=True, rule=TIRES)
    with pytest.raises(ValidationError) as changing:
        change(fund, agreed=ahead)
    with pytest.raises(ValidationError) as freeing:
        set_rule(fund=fund, rule=NO_LIMITS, version=1, by=make_user(), agreed=ahead)
    said = {"agreed_on": ["Tuesday, December 1, 2026, has not come yet."]}
    assert (changing.value.message_dict, freeing.value.message_dict) == (said, said)
