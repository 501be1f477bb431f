"""Authorizing, asking for more, and the two answers."""

from __future__ import annotations

from typing import Any
from uuid import uuid4

import pytest
from django.core.exceptions import ValidationError

from program.decisions import actions
from program.decisions.approving import STALE
from program.decisions.gathering import is_current, issued
from program.decisions.queries import works
from program.households.actions import declare_tie
from program.models import Authorization, Supplement
from shared.accounts.roles import RoleKind
from shared.models import Document
from tests.factories import make_consent, make_owner, make_standing, make_user
from tests.factories.shared import LONG_AGO
from tests.program.decisions.story import (
    add_work,
    ask,
    authorize,
    budget_says,
    estimated,
    make_car,
    make_over,
    make_photo,
    make_supplement,
    owner_says,
)
from vehicles.custody.kinds import SignedHow
from vehicles.models import Estimate, Need

pytestmark = pytest.mark.django_db


def refusal(act: Any, *args: Any, **fields: Any) -> list[str]:
    with pytest.raises(ValidationError) as found:
        act(*args, **fields)
    return list(found.value.messages)


# ---- authorizing ----


def test_authorizing_freezes_the_estimate_and_keeps_the_owners_consent() -> None:
    case, stay = make_car()
    row = authorize(case, stay)
    assert row.estimate.p80_cents == row.cents == 10_000
    assert row.owner == stay.consents.get(act="repair").owner
    assert Estimate.objects.get().frozen_at is not None


def test_a_frozen_estimate_is_never_changed() -> None:
    case, stay = make_car()
    first = authorize(case, stay).estimate
    before = Estimate.objects.values().get(pk=first.pk)
    lines = list(first.lines.values())
    add_work(stay, 5_000)
    second = estimated(stay)
    assert (second.number, second.frozen_at) == (2, None)
    assert Estimate.objects.values().get(pk=first.pk) == before | {"frozen_at": before["frozen_at"]}
    assert list(first.lines.values()) == lines


def test_a_form_sent_twice_authorizes_once() -> None:
    case, stay = make_car()
    key = uuid4()
    first = authorize(case, stay, client_key=key)
    assert authorize(case, stay, client_key=key) == first
    assert Authorization.objects.count() == 1
    assert refusal(authorize, case, stay) == [
        "This stay is authorized already. Ask for a supplement."
    ]


def test_without_the_owners_consent_nothing_is_authorized() -> None:
    case, stay = make_car(consents=("diagnose",))
    assert refusal(authorize, case, stay) == [
        "No owner has consented to the repair. Dana Haskell may sign."
    ]


def test_a_title_with_and_asks_for_all_its_names() -> None:
    case, stay = make_car()
    make_standing(stay, joined="all")
    second = make_owner(stay, "Corin Haskell")
    found = refusal(authorize, case, stay)
    assert found[0].startswith(f"The title joins its names with “and”: {second} has to sign too.")
    make_consent(second, stay, given_on=LONG_AGO)
    assert authorize(case, stay).owner == second


def test_an_estimate_that_is_not_todays_is_refused() -> None:
    case, stay = make_car()
    old = estimated(stay)
    Need.objects.update(price_cents=12_000)
    assert refusal(authorize, case, stay, newest=old) == [STALE]
    assert not is_current(stay, old)
    add_work(stay, 1_000)
    assert refusal(authorize, case, stay, newest=old) == [STALE]
    newer = estimated(stay)
    sentence = f"Estimate {newer.number} is the newest. Look at it, then authorize."
    assert refusal(authorize, case, stay, newest=old) == [sentence]


@pytest.mark.parametrize("cents", [9_999, 10_001, 10**15])
def test_an_amount_unlike_the_estimate_is_refused(cents: int) -> None:
    case, stay = make_car()
    found = refusal(authorize, case, stay, cents=cents)
    assert found[0].endswith("is not the estimate’s 80 percent point, $100.00.")


def test_whoever_is_tied_to_the_household_decides_nothing() -> None:
    case, stay, item = make_over()
    user = make_user(RoleKind.TECHNICIAN)
    row = ask(stay, item)
    assert case.household
    declare_tie(household=case.household, user=user, by=make_user())
    sentence = ["Somebody else decides on this car."]
    assert refusal(budget_says, row, by=user) == sentence
    assert refusal(owner_says, row, by=user) == sentence
    Supplement.objects.all().delete()
    assert refusal(ask, stay, item, by=user) == sentence
    work = works([stay.pk])[stay.pk].authorization
    end: dict[str, Any] = {"authorization": work, "because": "Wrong car.", "by": user}
    assert refusal(actions.end_authorization, **end) == sentence
    actions.end_authorization(**end | {"by": make_user()})
    assert refusal(authorize, case, stay, by=user) == sentence


def test_an_ended_authorization_makes_room_for_another() -> None:
    case, stay, item = make_over()
    row = stay.authorizations.get()
    waiting = ask(stay, item)
    end: dict[str, Any] = {"authorization": row, "because": "Less work.", "by": make_user()}
    sentence = "A supplement waits for its answers. They come first."
    assert refusal(actions.end_authorization, **end) == [sentence]
    budget_says(waiting, yes=False, because="Too much.")
    assert refusal(actions.end_authorization, **end | {"because": " "}) == ["Say why."]
    actions.end_authorization(**end)
    assert works([stay.pk]) == {}
    assert authorize(case, stay).cents == 15_000


# ---- asking ----


def test_a_supplement_asks_for_what_goes_beyond() -> None:
    row = make_supplement()
    found = (row.number, row.cents, row.to_go_cents, row.spent_cents, row.state)
    assert found == (1, 5_000, 15_000, 0, "asked")
    assert [one.title for one in row.items.all()] == ["Front rotors"]
    assert row.authorization.intake.estimates.count() == 2


def test_a_supplement_sent_twice_is_asked_once() -> None:
    _, stay, item = make_over()
    key = uuid4()
    assert ask(stay, item, client_key=key) == ask(stay, item, client_key=key)
    assert refusal(ask, stay, item) == ["Supplement 1 waits for its answers already."]


def test_a_photo_of_another_car_is_refused() -> None:
    _, stay, item = make_over()
    _, other = make_car()
    sentence = ["The photo has to show this car, on this stay."]
    assert refusal(ask, stay, item, photo=make_photo(other)) == sentence
    voided = make_photo(stay, voided_at="2026-11-30T12:00:00Z", voided_because="Blurred.")
    assert refusal(ask, stay, item, photo=voided) == sentence


def test_work_that_is_not_open_on_this_car_is_refused() -> None:
    _, stay, item = make_over()
    _, other = make_car()
    sentence = ["Tick work that is open on this car."]
    assert refusal(ask, stay, item, items=[other.items.get()]) == sentence
    assert refusal(ask, stay, item, items=[item, other.items.get()]) == sentence
    assert refusal(ask, stay, item, items=[]) == sentence


def test_figures_that_changed_are_looked_at_again() -> None:
    _, stay, item = make_over()
    sentence = "The figures have changed since they were shown. Look at them again, then ask."
    assert refusal(ask, stay, item, seen="14999:180") == [sentence]


def test_a_slip_of_the_finger_in_a_price_is_refused() -> None:
    _, stay, item = make_over()
    item.needs.update(price_cents=10**11)
    sentence = "$1,000,000,000.00 more is no repair: at most $100,000.00. Look at the prices."
    assert refusal(ask, stay, item) == [sentence]


def test_nothing_is_asked_for_work_that_was_authorized() -> None:
    case, stay = make_car()
    item = stay.items.get()
    assert refusal(ask_without, stay, item) == ["Nothing is authorized on this stay yet."]
    authorize(case, stay)
    assert refusal(ask, stay, item) == ["Nothing goes beyond what was authorized."]
    free = add_work(stay, 0, title="Free wiper")
    assert ask(stay, free).cents == 0


def ask_without(stay: Any, item: Any) -> Supplement:
    return actions.ask_supplement(
        intake=stay,
        items=[item],
        reason="More.",
        photo=make_photo(stay),
        seen="0:0",
        client_key=uuid4(),
        by=make_user(),
    )


# ---- answering ----


@pytest.mark.parametrize("owner_first", [True, False])
def test_both_yes_raise_the_amount_and_freeze_the_estimate(*, owner_first: bool) -> None:
    row = make_supplement()
    stay = row.authorization.intake
    first, second = (owner_says, budget_says) if owner_first else (budget_says, owner_says)
    assert first(row).state == "asked"
    row.refresh_from_db()
    assert second(row).state == "agreed"
    assert works([stay.pk])[stay.pk].forecast.authorized_cents == 15_000
    assert stay.estimates.filter(frozen_at=None).count() == 0


def test_an_answer_that_comes_while_another_is_given_is_refused() -> None:
    """The second of two tablets has the version from before the first one's answer."""
    row = make_supplement()
    stale = Supplement.objects.get(pk=row.pk)
    budget_says(row)
    sentence = "Somebody else changed this meanwhile. Look at it again, then decide."
    assert refusal(budget_says, stale) == [sentence]
    assert refusal(owner_says, stale) == [sentence]
    stale.refresh_from_db()
    assert refusal(budget_says, stale) == ["The budget has said yes already."]


def test_one_yes_given_twice_counts_once() -> None:
    row = owner_says(make_supplement())
    assert refusal(owner_says, row) == ["The owner has said yes already."]
    assert Document.objects.filter(holder_kind="supplement").count() == 1


@pytest.mark.parametrize("by_owner", [True, False])
def test_either_no_declines_with_its_reason(*, by_owner: bool) -> None:
    row = make_supplement()
    act, who = (owner_says, "owner") if by_owner else (budget_says, "budget")
    assert refusal(act, row, yes=False) == ["Say why."]
    done = act(row, yes=False, because="It is too much.")
    assert (done.state, done.closed_because) == ("declined", f"The {who} said no: It is too much.")
    other = budget_says if by_owner else owner_says
    assert refusal(other, done) == ["Supplement 1 is declined already."]
    stay = row.authorization.intake
    assert works([stay.pk])[stay.pk].forecast.stops


def test_who_asks_does_not_answer_for_the_budget() -> None:
    user = make_user()
    row = make_supplement(by=user)
    sentence = "Who asks for money doesn’t grant it: another person answers."
    assert refusal(budget_says, row, by=user) == [sentence]


def test_only_who_asked_takes_it_back() -> None:
    user = make_user(RoleKind.TECHNICIAN)
    row = make_supplement(by=user)
    sent: dict[str, Any] = {"supplement": row, "because": "Not needed.", "version": row.version}
    sentence = "Only who asked for it takes it back."
    assert refusal(actions.withdraw_supplement, **sent, by=make_user()) == [sentence]
    done = actions.withdraw_supplement(**sent, by=user)
    assert (done.state, done.closed_because) == ("withdrawn", "Not needed.")


def test_a_yes_needs_its_signature_its_witness_and_its_words() -> None:
    row = make_supplement()
    assert refusal(owner_says, row, strokes=[]) == [
        "The pad takes one name. Sign on it, or all on paper."
    ]
    assert refusal(owner_says, row, how=SignedHow.PHONE) == [
        "A consent on the phone needs somebody who heard it."
    ]
    assert refusal(owner_says, row, how=SignedHow.IMPORTED) == ["Say how the yes was given."]
    assert refusal(owner_says, row, read="x") == [
        "The words have changed since they were read. Read them again, then sign."
    ]
    assert refusal(owner_says, row, signed=[]) == [
        "Tick who said it: only who may sign the repair."
    ]
    stranger = make_owner(row.authorization.intake, "Alder Credit", kind="lienholder")
    assert refusal(owner_says, row, signed=[stranger]) == [
        "Tick who said it: only who may sign the repair."
    ]


def test_all_names_of_a_title_with_and_say_yes_on_one_paper() -> None:
    row = make_supplement()
    stay = row.authorization.intake
    make_standing(stay, joined="all")
    first, second = stay.vehicle.owners.get(), make_owner(stay, "Corin Haskell")
    make_consent(second, stay, given_on=LONG_AGO)
    assert refusal(owner_says, row, signed=[first]) == [
        "The title joins its names with “and”: Corin Haskell has to say yes too, on the same paper."
    ]
    both: dict[str, Any] = {"signed": [first, second], "how": SignedHow.PAPER}
    assert owner_says(row, **both).owner == first


def test_an_owner_who_took_the_consent_back_agrees_to_nothing() -> None:
    row = make_supplement()
    row.authorization.intake.consents.all().delete()
    assert refusal(owner_says, row) == [
        "No owner has consented to the repair. Dana Haskell may sign."
    ]


def test_a_yes_is_kept_as_the_paper_that_was_signed() -> None:
    row = owner_says(make_supplement(), language="es", interpreter="Luz Marin")
    paper = issued(row)
    assert paper
    assert paper.number == f"{row.authorization.case.number}-S{row.pk}"
    assert bytes(paper.content)[:5] == b"%PDF-"
    assert (row.interpreter, row.owner_how) == ("Luz Marin", "screen")


def test_after_one_was_agreed_the_next_asks_for_the_rest() -> None:
    row = make_supplement()
    owner_says(row)
    row.refresh_from_db()
    budget_says(row)
    stay = row.authorization.intake
    second = ask(stay, add_work(stay, 7_000, title="Calipers"))
    assert (second.number, second.cents) == (2, 7_000)


def test_a_stay_that_ended_takes_no_answer() -> None:
    row = make_supplement()
    stay = row.authorization.intake
    stay.left_on = stay.program.today()
    stay.save()
    for act in (owner_says, budget_says):
        assert refusal(act, row)[0].startswith("This stay ended on ")
