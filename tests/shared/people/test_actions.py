from __future__ import annotations

import datetime as dt
from typing import Any

import pytest
from django.core.exceptions import ValidationError

from shared.accounts.models import Role, User
from shared.accounts.roles import RoleKind
from shared.audit.models import Event
from shared.people.actions import (
    add_person,
    add_user,
    edit_person,
    end_paper,
    end_role,
    end_skill,
    grant_role,
    leave,
    record_paper,
    sign_off_skill,
)
from shared.people.models import Credential, Person, Skill
from tests.factories import TODAY, make_person, make_program, make_user

YEAR = dt.timedelta(days=365)

pytestmark = pytest.mark.django_db


def grant(user: User) -> Role:
    return grant_role(user=user, kind=RoleKind.BOARD, since_on=TODAY, by=make_user())


def test_somebody_who_may_sign_in_holds_their_roles_from_today_on() -> None:
    program, kinds = make_program(), [RoleKind.COORDINATOR, RoleKind.BOARD]
    lena = {"username": "lena", "password": "willow-ford-9"}
    user = add_user(program=program, by=None, kinds=kinds, **lena)
    assert {role.since_on for role in user.roles.all()} == {program.today()}
    assert user.role_kinds() == set(kinds)
    assert user.check_password(lena["password"])


def test_a_user_name_stands_once() -> None:
    user = make_user()
    with pytest.raises(ValidationError) as refusal:
        add_user(program=make_program(), by=None, password="", kinds=[], username=user.username)
    assert refusal.value.messages == ["A user with that username already exists."]


def test_a_granted_role_stands_from_its_day_and_in_the_log() -> None:
    role = grant(make_user(role=None))
    assert (role.kind, role.since_on, role.until_on) == ("board", TODAY, None)
    assert Event.objects.about("role", role.pk).get().what == "Gave the role of board."


def test_a_role_held_already_is_not_granted_twice() -> None:
    role = grant(make_user(role=None))
    with pytest.raises(ValidationError) as refusal:
        grant(role.user)
    assert refusal.value.messages == ["This person holds the role already."]
    assert role.user.roles.count() == 1


def test_a_user_of_no_program_gets_no_role() -> None:
    user = make_user(role=None)
    user.program = None
    with pytest.raises(ValidationError) as refusal:
        grant(user)
    assert refusal.value.messages == ["This person belongs to no program yet."]


def test_an_ended_role_stays_on_record() -> None:
    role = grant(make_user(role=None))
    end_role(role=role, until_on=TODAY, by=make_user())
    kept = Role.objects.get(pk=role.pk)
    assert kept.until_on == TODAY
    assert Event.objects.about("role", role.pk).count() == 2


def test_a_role_does_not_end_before_it_began() -> None:
    role = grant(make_user(role=None))
    with pytest.raises(ValidationError) as refusal:
        end_role(role=role, until_on=TODAY - dt.timedelta(days=1), by=make_user())
    assert refusal.value.messages == ["A role can't end before it begins."]
    assert Role.objects.get(pk=role.pk).until_on is None


def lead() -> User:
    return make_user(RoleKind.LEAD_TECHNICIAN)


def lines(person: Person) -> list[tuple[str, str, list[str]]]:
    found = Event.objects.about("person", person.pk).order_by("pk")
    return [(event.what, event.reason, event.fields) for event in found]


def sign(person: Person, by: User, code: str = "brakes") -> Skill:
    return sign_off_skill(person=person, code=code, since_on=TODAY, until_on=None, by=by)


def seen(person: Person, by: User, **fields: Any) -> Credential:
    days = {"since_on": TODAY, "until_on": TODAY + YEAR}
    return record_paper(person=person, by=by, **{"kind": "waiver", "number": ""} | days | fields)


def test_a_person_is_added_with_a_line_in_the_log() -> None:
    by = make_user()
    assert by.program is not None
    person = add_person(program=by.program, by=by, name="Ira Hale", kind="volunteer")
    assert (person.name, person.kind, person.pace_percent) == ("Ira Hale", "volunteer", 100)
    assert lines(person) == [("A person was added.", "", [])]


def test_a_form_that_is_sent_twice_adds_one_person_and_one_paper() -> None:
    by = make_user()
    assert by.program is not None
    person = add_person(program=by.program, by=by, name="Ira Hale", kind="volunteer")
    with pytest.raises(ValidationError, match="Ira Hale is on the list already") as refused:
        add_person(program=by.program, by=by, name="Ira Hale", kind="volunteer")
    assert list(refused.value.message_dict) == ["name"]
    seen(person, by)
    with pytest.raises(ValidationError, match="This paper is on record already"):
        seen(person, by)
    assert (Person.objects.count(), Credential.objects.count()) == (1, 1)


def test_who_left_may_have_a_namesake() -> None:
    left = make_person(name="Ira Hale", left_on=TODAY)
    add_person(program=left.program, by=make_user(), name="Ira Hale", kind="paid")
    assert Person.objects.filter(name="Ira Hale").count() == 2


def test_a_change_names_its_fields_in_the_log_and_no_birth_date() -> None:
    person = make_person()
    born_on = dt.date(2009, 3, 4)
    edit_person(person=person, version=1, by=make_user(), born_on=born_on, name=person.name)
    person.refresh_from_db()
    assert (person.born_on, person.version) == (born_on, 2)
    assert lines(person) == [("The person was changed.", "", ["born_on"])]


def test_a_person_whom_somebody_else_changed_is_not_changed_again() -> None:
    person = make_person()
    edit_person(person=person, version=1, by=make_user(), name="Ira Hale")
    with pytest.raises(ValidationError) as refusal:
        edit_person(person=person, version=1, by=make_user(), name="Ira Hall")
    assert refusal.value.messages == ["Somebody else changed this person. Open the page again."]


def test_a_sign_in_that_belongs_to_somebody_is_refused() -> None:
    user = lead()
    with pytest.raises(ValidationError) as refusal:
        edit_person(person=make_person(), version=1, by=make_user(), user=user)
    assert refusal.value.messages == ["Person with this User already exists."]


def test_somebody_leaves_and_comes_back() -> None:
    person, by = make_person(), make_user()
    person = leave(person=person, left_on=TODAY, version=1, by=by)
    assert person.left_on == TODAY
    assert leave(person=person, left_on=None, version=2, by=by).left_on is None
    assert [what for what, _, _ in lines(person)] == [
        "The person left.",
        "The person works here again.",
    ]


def test_the_lead_technician_signs_a_skill_off() -> None:
    by, person = lead(), make_person()
    skill = sign(person, by)
    assert (skill.code, skill.since_on, skill.signed_by) == ("brakes", TODAY, by)
    assert lines(person) == [("Signed off for brakes.", "", ["skills"])]


def test_somebody_who_holds_a_skill_signs_it_off() -> None:
    assert sign(make_person(), make_user(RoleKind.TECHNICIAN)).code == "brakes"


def test_nobody_signs_off_their_own_skills() -> None:
    by = lead()
    with pytest.raises(ValidationError) as refusal:
        sign(Person.objects.get(user=by), by)
    assert refusal.value.messages == ["Nobody signs off their own skills."]


def test_nobody_signs_off_what_they_are_not_signed_off_for() -> None:
    by = make_user(first_name="Imke", last_name="Rasmus")
    with pytest.raises(ValidationError) as refusal:
        sign(make_person(), by)
    assert refusal.value.messages == [
        "Imke Rasmus is not signed off for brakes, so somebody else signs this."
    ]
    assert Skill.objects.count() == 0


def test_a_skill_that_is_held_is_not_signed_off_again() -> None:
    by, person = lead(), make_person(name="Sten Voss")
    sign(person, by)
    with pytest.raises(ValidationError) as refusal:
        sign(person, by)
    assert refusal.value.messages == ["Sten Voss is signed off for brakes on that day."]


def test_a_skill_ends_with_its_reason_and_stays_on_record() -> None:
    by, person = lead(), make_person()
    end_skill(skill=sign(person, by), until_on=TODAY, reason="Left the pads loose.", by=by)
    assert person.skills.get().until_on == TODAY
    assert lines(person)[-1] == (
        "No longer signed off for brakes.",
        "Left the pads loose.",
        ["skills"],
    )


@pytest.mark.parametrize(
    ("until_on", "sentence"),
    [
        (TODAY - dt.timedelta(days=1), "A skill can't end before it begins."),
        (TODAY + dt.timedelta(days=9), "It ends on Monday, November 30, 2026 already."),
    ],
)
def test_a_skill_ends_neither_too_early_nor_twice(until_on: dt.date, sentence: str) -> None:
    by = lead()
    skill = sign(make_person(), by)
    if until_on > TODAY:
        end_skill(skill=skill, until_on=TODAY, reason="Pause.", by=by)
    with pytest.raises(ValidationError) as refusal:
        end_skill(skill=skill, until_on=until_on, reason="Pause.", by=by)
    assert refusal.value.message_dict == {"until_on": [sentence]}


def test_a_skill_is_not_signed_off_backward() -> None:
    with pytest.raises(ValidationError) as refusal:
        sign_off_skill(
            person=make_person(), code="brakes", since_on=TODAY, until_on=TODAY - YEAR, by=lead()
        )
    assert refusal.value.message_dict == {"until_on": ["A skill can't end before it begins."]}


def test_a_paper_is_recorded_by_who_saw_it_and_its_number_is_not_in_the_log() -> None:
    by, person = make_user(), make_person()
    paper = seen(person, by, kind="driver_license", number="RX 100 442")
    assert (paper.seen_by, paper.number, paper.until_on) == (by, "RX 100 442", TODAY + YEAR)
    assert lines(person) == [("A paper was seen: driver license.", "", ["credentials"])]


def test_nobody_records_their_own_papers() -> None:
    by = lead()
    with pytest.raises(ValidationError) as refusal:
        seen(Person.objects.get(user=by), by)
    assert refusal.value.messages == ["Somebody else has to see your papers."]


def test_a_paper_does_not_run_out_before_it_begins() -> None:
    with pytest.raises(ValidationError) as refusal:
        seen(make_person(), make_user(), until_on=TODAY - YEAR)
    assert refusal.value.messages == ["A paper can't run out before it begins."]
    assert Credential.objects.count() == 0


def test_a_paper_ends_before_its_time_with_the_reason() -> None:
    by, person = make_user(), make_person()
    paper = end_paper(paper=seen(person, by), until_on=TODAY, reason="Suspended.", by=by)
    assert (paper.until_on, paper.ended_because) == (TODAY, "Suspended.")
    assert lines(person)[-1] == (
        "A paper was ended: volunteer waiver.",
        "Suspended.",
        ["credentials"],
    )


def test_a_paper_that_has_ended_is_not_ended_later() -> None:
    by = make_user()
    paper = end_paper(paper=seen(make_person(), by), until_on=TODAY, reason="Lost.", by=by)
    with pytest.raises(ValidationError) as refusal:
        end_paper(paper=paper, until_on=TODAY + YEAR, reason="Found.", by=by)
    assert refusal.value.message_dict == {
        "until_on": ["It ends on Monday, November 30, 2026 already."]
    }
