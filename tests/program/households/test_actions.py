from __future__ import annotations

from typing import TYPE_CHECKING, Any

import pytest
from django.core.exceptions import ValidationError

from program.cases.models import Case
from program.households.actions import declare_tie, end_tie, move_stage, set_safe_contact
from program.households.stages import Stage
from shared.audit.models import Event
from shared.outbox.contact import Channel, MaySay
from tests.factories import TODAY, make_case, make_household, make_program, make_user
from vehicles.intake.models import Vehicle

if TYPE_CHECKING:
    from program.households.models import Household, Tie

pytestmark = pytest.mark.django_db


def move(home: Household, to: Stage, **fields: Any) -> Household:
    defaults: dict[str, Any] = {"on": TODAY, "by": make_user(), "version": home.version}
    return move_stage(household=home, to=to, **defaults | fields)


def test_a_move_sets_the_day_to_decide_by_and_leaves_a_line() -> None:
    home = move(make_household(stage="accepted"), Stage.DECIDING)
    assert (home.stage, home.stage_since_on, home.version) == ("deciding", TODAY, 2)
    assert str(home.decide_by_on) == "2026-12-14"
    assert [line.what for line in Event.objects.about("household", home.pk)] == [
        "The household is “Deciding”."
    ]


def test_a_move_that_the_table_lacks_changes_nothing() -> None:
    home = make_household(stage="called")
    with pytest.raises(ValidationError) as refusal:
        move(home, Stage.WAITING)
    assert refusal.value.message_dict == {
        "to": [
            """A household can't go from “Called” to “Waiting”. \
It may go to: Applied, Declined, Withdrawn, Referred."""
        ]
    }
    home.refresh_from_db()
    assert (home.stage, Event.objects.count()) == ("called", 0)


def test_a_no_has_its_reason() -> None:
    home = make_household(stage="applied")
    with pytest.raises(ValidationError, match="“Declined” needs its reason"):
        move(home, Stage.DECLINED)
    assert move(home, Stage.DECLINED, reason="Income above the limit").stage == "declined"


def test_a_stale_page_moves_nothing() -> None:
    home = make_household(stage="applied")
    move(home, Stage.ACCEPTED)
    with pytest.raises(ValidationError, match="Somebody else changed this household meanwhile"):
        move(home, Stage.ACCEPTED, version=1)


def contact(home: Household, **fields: Any) -> dict[str, Any]:
    return {
        "household": home,
        "channel": Channel.PHONE,
        "says": MaySay.CALL_BACK,
        "barred": False,
        "email": "",
        "phone": "555-0177",
        "language": "es",
        "hours": "9:00-12:00",
        "speaks_for": "",
        "asked_on": TODAY,
        "by": make_user(),
        "version": home.address.version,
    } | fields


def test_safe_contact_is_written_and_the_log_holds_no_value() -> None:
    home = make_household(safe_contact_on=None)
    address = set_safe_contact(**contact(home))
    home.refresh_from_db()
    assert (address.channel, address.says, address.language) == ("phone", "call_back", "es")
    assert (home.safe_contact_on, address.version) == (TODAY, 2)
    line = Event.objects.get(kind="household")
    assert line.fields == ["channel", "says", "email", "phone", "language", "hours"]
    assert "555-0177" not in f"{line.what} {line.reason} {line.fields}"


def test_contact_by_mail_needs_an_address() -> None:
    home = make_household()
    with pytest.raises(ValidationError) as refusal:
        set_safe_contact(**contact(home, channel=Channel.EMAIL))
    assert refusal.value.message_dict == {"email": ["Contact by mail needs a mail address."]}


def test_a_stale_rule_is_not_written() -> None:
    home = make_household()
    with pytest.raises(ValidationError, match="Somebody else changed this household meanwhile"):
        set_safe_contact(**contact(home, version=7))


def test_a_tie_hides_case_household_and_car() -> None:
    case, user = make_case(), make_user()
    assert case.household
    declare_tie(household=case.household, user=user, by=make_user())
    assert list(Case.objects.for_user(user)) == []
    assert list(Vehicle.objects.for_user(user)) == []
    assert Event.objects.get(kind="household").what == f"A tie of user {user.pk} was declared."


def test_a_tie_is_declared_once_and_within_the_program() -> None:
    home, user = make_household(), make_user()
    declare_tie(household=home, user=user, by=user)
    with pytest.raises(ValidationError, match="This tie is on record already"):
        declare_tie(household=home, user=user, by=user)
    stranger = make_user(program=make_program(name="Another garage"))
    with pytest.raises(ValidationError, match="This user belongs to another program"):
        declare_tie(household=home, user=stranger, by=user)


def tied() -> tuple[Case, Tie]:
    case = make_case()
    assert case.household
    return case, declare_tie(household=case.household, user=make_user(), by=make_user())


def test_an_ended_tie_shows_the_car_again() -> None:
    case, tie = tied()
    end_tie(tie=tie, on=TODAY, reason="No longer a neighbor", by=make_user())
    assert list(Vehicle.objects.for_user(tie.user)) == [case.vehicle]
    assert list(Case.objects.for_user(tie.user)) == [case]
    with pytest.raises(ValidationError, match="This tie has ended already"):
        end_tie(tie=tie, on=TODAY, reason="Again", by=make_user())


def test_a_car_stays_hidden_while_another_tie_keeps_it() -> None:
    case, tie = tied()
    other = make_case(vehicle=case.vehicle, closed_on=TODAY)
    assert other.household
    declare_tie(household=other.household, user=tie.user, by=make_user())
    end_tie(tie=tie, on=TODAY, reason="Moved away", by=make_user())
    assert list(Vehicle.objects.for_user(tie.user)) == []


def test_nobody_ends_an_own_tie_or_without_a_reason() -> None:
    _, tie = tied()
    with pytest.raises(ValidationError, match="Nobody ends a tie of their own"):
        end_tie(tie=tie, on=TODAY, reason="Moved away", by=tie.user)
    with pytest.raises(ValidationError, match="Why the tie ended has to be on record"):
        end_tie(tie=tie, on=TODAY, reason=" ", by=make_user())
