"""The two answers to a supplement: both say yes, or either says no."""

from __future__ import annotations

from typing import Any

import pytest

from program.decisions import actions
from program.decisions.gathering import issued
from program.decisions.queries import works
from program.models import Supplement
from shared.accounts.roles import RoleKind
from shared.models import Document
from tests.factories import make_consent, make_owner, make_standing, make_user
from tests.factories.shared import LONG_AGO
from tests.program.decisions.story import (
    add_work,
    ask,
    budget_says,
    make_supplement,
    owner_says,
    refusal,
)
from vehicles.custody.kinds import SignedHow

pytestmark = pytest.mark.django_db


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
