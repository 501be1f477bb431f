"""What was asked, who is named, which keys hang where, and what lies in the car."""

from __future__ import annotations

import datetime as dt
from typing import Any
from uuid import uuid4

import pytest
from django.core.exceptions import ValidationError

from shared.models import Event
from tests.factories import (
    make_content,
    make_intake,
    make_key_tag,
    make_standing,
    make_user,
)
from vehicles.custody.actions import (
    CHANGED_MEANWHILE,
    decide_content,
    decide_standing,
    end_owner,
    is_to_decide,
    keep_keys,
    list_content,
    name_owner,
    record_standing,
)
from vehicles.custody.acts import OwnerKind
from vehicles.custody.kinds import ContentKind, Hold, Joined, Lien, Paper, Stolen
from vehicles.custody.queries import authority
from vehicles.models import Content, Intake, KeyTag, Owner, Standing

pytestmark = pytest.mark.django_db
ENDED = "This stay ended on Monday, November 30, 2026; nothing more can be recorded on it."
DAY = dt.timedelta(days=1)


def ended_stay() -> Intake:
    return make_intake(left_on=dt.date(2026, 11, 30))


def ask(stay: Intake, **fields: Any) -> Standing:
    answers: dict[str, Any] = {
        "paper": Paper.TITLE,
        "joined": Joined.ANY,
        "lien": Lien.NONE,
        "hold": Hold.NONE,
        "stolen": Stolen.NO,
        "papers_agree": True,
        "by": make_user(),
    }
    return record_standing(intake=stay, **answers | fields)


# ---- what was asked ----


def test_the_answers_are_kept_with_who_asked_and_when() -> None:
    stay, user = make_intake(), make_user()
    standing = ask(stay, lien=Lien.UNKNOWN, note=" Her father's. ", by=user)
    assert (standing.lien, standing.note, standing.version) == ("unknown", "Her father's.", 1)
    assert (standing.asked_by, standing.asked_on) == (user, stay.program.today())
    event = Event.objects.about("intake", stay.pk).get()
    assert event.what == "It was asked whose the car is."


def test_the_same_answers_sent_twice_change_nothing() -> None:
    stay = make_intake()
    ask(stay)
    again = ask(stay)
    assert (again.version, Event.objects.about("intake", stay.pk).count()) == (1, 1)


def test_a_stale_form_is_refused_and_the_newest_one_is_not() -> None:
    stay = make_intake()
    ask(stay)
    with pytest.raises(ValidationError) as refusal:
        ask(stay, lien=Lien.IN_DEFAULT)
    assert refusal.value.messages == [CHANGED_MEANWHILE]
    assert ask(stay, lien=Lien.IN_DEFAULT, version=1).version == 2


@pytest.mark.parametrize(
    ("fields", "kept"), [({"stolen": Stolen.UNKNOWN}, False), ({"note": "Seen twice."}, True)]
)
def test_a_changed_answer_undoes_the_decision_on_the_old_one(
    fields: dict[str, Any],
    kept: bool,  # noqa: FBT001  # what is expected
) -> None:
    stay = make_intake()
    standing = ask(stay, hold=Hold.IMPOUND)
    decide_standing(standing=standing, because="Paid today.", by=make_user(), version=1)
    again = ask(stay, hold=Hold.IMPOUND, version=2, **fields)
    assert (again.cleared_on is not None, bool(again.cleared_because)) == (kept, kept)


def test_an_ended_stay_takes_no_answers() -> None:
    with pytest.raises(ValidationError) as refusal:
        ask(ended_stay())
    assert refusal.value.messages == [ENDED]


# ---- deciding in spite of it ----


@pytest.mark.parametrize(
    ("fields", "decides"),
    [
        ({}, False),
        ({"hold": "unknown", "lien": "unknown", "stolen": "unknown"}, False),
        ({"lien": "paid_as_agreed", "papers_agree": None}, False),
        ({"hold": "court"}, True),
        ({"lien": "in_default"}, True),
        ({"papers_agree": False}, True),
        ({"stolen": "reported"}, True),
    ],
)
def test_only_what_stops_the_work_asks_for_a_decision(
    fields: dict[str, Any],
    decides: bool,  # noqa: FBT001  # what is expected
) -> None:
    assert is_to_decide(make_standing(make_intake(), **fields)) is decides


def test_a_decision_lets_the_work_go_on_with_its_reason() -> None:
    stay, user = make_intake(), make_user()
    standing = make_standing(stay, lien="in_default")
    assert not authority(stay, stay.program.today())[1].met
    found = decide_standing(standing=standing, because=" The lender agreed. ", by=user, version=1)
    assert (found.cleared_by, found.cleared_because) == (user, "The lender agreed.")
    assert authority(stay, stay.program.today())[1].met
    assert not is_to_decide(found)


def test_a_report_of_theft_needs_the_number_of_the_release() -> None:
    stay = make_intake()
    facts: Any = {"standing": make_standing(stay, stolen="reported"), "by": make_user()}
    with pytest.raises(ValidationError) as refusal:
        decide_standing(because="It is hers.", version=1, **facts)
    assert refusal.value.message_dict == {
        "release": ["Only a release of the police undoes a report of theft."]
    }
    found = decide_standing(because="It is hers.", release=" 26-119 ", version=1, **facts)
    assert found.cleared_because == "Police release 26-119: It is hers."
    assert authority(stay, stay.program.today())[0].met


def test_a_decision_has_a_reason_and_something_to_decide() -> None:
    user, clear = make_user(), make_standing(make_intake())
    with pytest.raises(ValidationError, match="Nothing stands against this car"):
        decide_standing(standing=clear, because="So.", by=user, version=1)
    held = make_standing(make_intake(), hold="police")
    with pytest.raises(ValidationError, match="A decision needs its reason"):
        decide_standing(standing=held, because=" ", by=user, version=1)
    with pytest.raises(ValidationError, match="Somebody else changed this meanwhile"):
        decide_standing(standing=held, because="So.", by=user, version=0)


# ---- owners ----


def test_an_owner_is_named_as_the_paper_writes_it() -> None:
    stay = make_intake(consents=())
    day = stay.program.today()
    facts: Any = {"intake": stay, "kind": OwnerKind.TITLE, "by": make_user()}
    owner = name_owner(name="  Dana   Haskell ", paper_seen_on=day, **facts)
    assert (owner.name, owner.vehicle, owner.paper_seen_on) == ("Dana Haskell", stay.vehicle, day)
    with pytest.raises(ValidationError, match="This owner is on record already"):
        name_owner(name="Dana Haskell", paper_seen_on=day, **facts)
    with pytest.raises(ValidationError, match="This day has not come yet"):
        name_owner(name="Corin Haskell", paper_seen_on=day + DAY, **facts)
    assert Owner.objects.count() == 1


def test_an_owner_who_is_no_longer_named_takes_their_consents_along() -> None:
    stay = make_intake()
    owner = stay.vehicle.owners.get()
    assert authority(stay, stay.program.today())[1].met
    ended = end_owner(intake=stay, owner=owner, by=make_user())
    assert ended.ended_on == stay.program.today()
    assert not authority(stay, stay.program.today())[1].met
    assert end_owner(intake=stay, owner=owner, by=make_user()) == ended


def test_an_ended_stay_names_nobody_and_ends_nobody() -> None:
    stay = ended_stay()
    owner = stay.vehicle.owners.get()
    with pytest.raises(ValidationError, match="This stay ended on"):
        end_owner(intake=stay, owner=owner, by=make_user())
    with pytest.raises(ValidationError, match="This stay ended on"):
        name_owner(
            intake=stay,
            name="Corin",
            kind=OwnerKind.TITLE,
            paper_seen_on=stay.program.today(),
            by=make_user(),
        )


# ---- keys ----


def keep(stay: Intake, **fields: Any) -> KeyTag:
    facts: dict[str, Any] = {
        "tag": "14",
        "keys": 2,
        "wheel_lock_key": None,
        "radio_code": False,
        "holder": "Hook 3",
        "by": make_user(),
    }
    return keep_keys(intake=stay, **facts | fields)


def test_keys_hang_under_a_tag_and_each_change_of_hands_is_kept() -> None:
    stay = make_intake()
    assert keep(stay, tag=" a14 ").tag == "A14"
    keep(stay, tag="A14", holder="Rosalind", version=1)
    tag = keep(stay, tag="A14", holder="Rosalind", keys=3, version=2)
    assert (tag.keys, tag.version) == (3, 3)
    assert [move.holder for move in tag.moves.all()] == ["Rosalind", "Hook 3"]


def test_the_same_keys_sent_twice_change_nothing_and_a_stale_form_is_refused() -> None:
    stay = make_intake()
    keep(stay)
    assert keep(stay).moves.count() == 1
    with pytest.raises(ValidationError, match="Somebody else changed this meanwhile"):
        keep(stay, holder="Rosalind")


def test_a_tag_hangs_on_one_car_until_its_keys_are_returned() -> None:
    tag = make_key_tag(make_intake(), tag="14")
    stay = make_intake()
    with pytest.raises(ValidationError, match="This tag hangs on another car’s keys"):
        keep(stay)
    tag.returned_on = stay.program.today()
    tag.save()
    assert keep(stay).tag == "14"


def test_keys_that_were_returned_may_come_again() -> None:
    stay = make_intake()
    make_key_tag(stay, tag="14", holder="Dana", returned_on=stay.program.today())
    tag = keep(stay, holder="Hook 3", version=1)
    assert (tag.returned_on, tag.moves.get().holder) == (None, "Hook 3")


@pytest.mark.parametrize(
    ("fields", "sentence"),
    [
        ({"tag": " "}, "This field cannot be blank."),
        ({"holder": ""}, "This field cannot be blank."),
        ({"keys": 21}, "A car has at most 20 keys."),
    ],
)
def test_keys_that_are_not_possible_are_refused(fields: dict[str, Any], sentence: str) -> None:
    with pytest.raises(ValidationError) as refusal:
        keep(make_intake(), **fields)
    assert refusal.value.messages == [sentence]


# ---- what lies in the car ----


def test_a_thing_is_listed_once_for_one_key() -> None:
    stay, key = make_intake(), uuid4()
    facts: Any = {"intake": stay, "kind": ContentKind.MEDICINE, "client_key": key}
    content = list_content(what=" Insulin ", where="Glove box", by=make_user(), **facts)
    assert (content.what, content.where) == ("Insulin", "Glove box")
    assert list_content(what="Insulin", by=make_user(), **facts) == content
    assert Content.objects.count() == 1


def test_a_thing_without_a_name_and_one_of_an_ended_stay_are_refused() -> None:
    facts: Any = {"kind": ContentKind.OTHER, "client_key": uuid4(), "by": make_user()}
    with pytest.raises(ValidationError, match="This field cannot be blank"):
        list_content(intake=make_intake(), what=" ", **facts)
    with pytest.raises(ValidationError, match="This stay ended on"):
        list_content(intake=ended_stay(), what="Coat", **facts)


def test_a_decision_on_a_weapon_has_its_reason_and_stays() -> None:
    user = make_user()
    weapon = make_content(make_intake(), kind="weapon")
    with pytest.raises(ValidationError, match="Say what was decided"):
        decide_content(content=weapon, because=" ", by=user)
    found = decide_content(content=weapon, because="The owner took it home.", by=user)
    assert (found.decided_by, found.decided_because) == (user, "The owner took it home.")
    again = decide_content(content=weapon, because="Something else.", by=make_user())
    assert again.decided_because == "The owner took it home."


def test_nothing_is_decided_on_a_child_seat() -> None:
    with pytest.raises(ValidationError, match="Nothing is to be decided on this"):
        decide_content(content=make_content(make_intake()), because="So.", by=make_user())
