from __future__ import annotations

import pytest

from program.decisions.authorization import Advice
from program.decisions.gathering import (
    advice_of,
    before,
    choosable,
    counted_items,
    is_current,
    joined_of,
    language_of,
    repair_consents,
    stay_of,
)
from shared.policy.actions import set_policies
from tests.factories import make_case, make_consent, make_owner, make_standing, make_user
from tests.factories.shared import LONG_AGO
from tests.program.decisions.story import add_work, estimated, make_car, make_over
from vehicles.custody.kinds import Joined
from vehicles.models import Need

pytestmark = pytest.mark.django_db


def test_nobody_asked_is_an_unknown_title() -> None:
    _, stay = make_car()
    assert joined_of(stay) is Joined.UNKNOWN
    make_standing(stay, joined="all")
    assert joined_of(stay) is Joined.ALL


def test_an_estimate_holds_until_work_or_a_price_changes() -> None:
    _, stay = make_car()
    newest = estimated(stay)
    assert is_current(stay, newest)
    Need.objects.update(price_cents=10_001)
    assert not is_current(stay, newest)


def test_the_advice_needs_a_figure_and_stops_at_the_cap() -> None:
    _, stay = make_car()
    assert advice_of(stay, None, None) is None
    values = {"case_cap_cents": 9_999}
    set_policies(program=stay.program, values=values, because="Set.", by=make_user())
    found = advice_of(stay, None, estimated(stay))
    assert found
    assert found.advice is Advice.STOP


def test_only_consents_in_force_by_who_may_sign_count() -> None:
    _, stay = make_car()
    lender = make_owner(stay, "Alder Credit", kind="lienholder")
    make_consent(lender, stay, given_on=LONG_AGO)
    ended = make_owner(stay, "Corin Haskell", ended_on=LONG_AGO)
    make_consent(ended, stay, given_on=LONG_AGO)
    assert [row.owner.name for row in repair_consents(stay)] == ["Dana Haskell"]


def test_before_an_authorization_the_page_says_what_is_missing() -> None:
    _, stay = make_car(consents=("diagnose",))
    found = before(stay, estimated(stay))
    assert found == {
        "is_stale": False,
        "against": ["No owner has consented to the repair. Dana Haskell may sign."],
        "consents": [],
    }


def test_new_work_stands_first() -> None:
    _, stay, item = make_over()
    later = add_work(stay, 100, title="Hose")
    counted = counted_items(stay)
    assert choosable(stay, counted)[:2] == [item, later]


def test_a_case_is_read_in_its_households_language_and_by_its_newest_stay() -> None:
    case, stay = make_car("es")
    assert (language_of(case), stay_of(case)) == ("es", stay)
    alone = make_case(household=None)
    alone.household = None
    assert (language_of(alone), stay_of(alone)) == ("en", None)
