from __future__ import annotations

import datetime as dt
from typing import TYPE_CHECKING

import pytest
from django.test import Client
from django.urls import reverse

from shared.accounts.roles import RoleKind
from shared.dates import add_weeks, week_start
from shared.people.models import Credential, Person, Skill
from tests.factories import make_able, make_hours, make_person, make_program, make_user

if TYPE_CHECKING:
    from pytest_django import DjangoAssertNumQueries

    from shared.models import User

pytestmark = pytest.mark.django_db

TYPED = {"name": "Ira Hale", "kind": "volunteer", "born_on": "2009-03-04", "pace_percent": "60"}


def signed_in(user: User) -> Client:
    client = Client()
    client.force_login(user, backend="django.contrib.auth.backends.ModelBackend")
    return client


def client_of(role: RoleKind = RoleKind.COORDINATOR) -> Client:
    return signed_in(make_user(role, person=False))


def page(person: Person) -> str:
    return reverse("people:person_page", args=[person.pk])


def today() -> dt.date:
    return make_program().today()


def soon() -> Credential:
    person = make_person(name="Tove Lindgren", kind="volunteer")
    ends = today() + dt.timedelta(days=12)
    since = today() - dt.timedelta(days=300)
    row = {"program": person.program, "kind": "waiver", "since_on": since, "until_on": ends}
    return Credential.objects.create(person=person, **row)


def test_the_list_says_what_runs_out_next() -> None:
    soon()
    make_person(name="Sten Voss")
    answer = client_of().get(reverse("people:person_list"))
    assert answer.context["soon"] == 1
    rows = [list(row)[:3] for row in answer.context["table"].as_values()]
    assert rows[1:] == [["Sten Voss", "paid", None], ["Tove Lindgren", "given", "Volunteer waiver"]]
    assert "in 12 days, " in answer.content.decode()


@pytest.mark.parametrize(
    ("query", "names"),
    [
        ("kind=paid", ["Sten Voss"]),
        ("papers=soon", ["Tove Lindgren"]),
        ("papers=over", []),
        ("here=no", []),
        ("sort=-ends_on", ["Tove Lindgren", "Sten Voss"]),
        ("sort=ends_on", ["Tove Lindgren", "Sten Voss"]),
    ],
)
def test_the_list_is_filtered_and_sorted(query: str, names: list[str]) -> None:
    soon()
    make_person(name="Sten Voss")
    answer = client_of().get(f"{reverse('people:person_list')}?{query}")
    assert [row.record.name for row in answer.context["table"].rows] == names


def test_the_list_is_exported_with_whole_dates() -> None:
    paper = soon()
    answer = client_of().get(f"{reverse('people:person_list')}?export=csv")
    assert answer.content.decode("utf-8-sig").splitlines() == [
        "Name,Hours are,Runs out next,When,Left",
        f"Tove Lindgren,given,Volunteer waiver,{paper.until_on},",
    ]


def test_a_technician_is_shown_themselves_and_nobody_else() -> None:
    user = make_user(RoleKind.TECHNICIAN, first_name="Sten", last_name="Voss")
    other, client = make_person(), signed_in(user)
    answer = client.get(reverse("people:person_list"))
    assert [row.record.name for row in answer.context["table"].rows] == ["Sten Voss"]
    assert client.get(page(Person.objects.get(user=user))).status_code == 200
    assert client.get(page(other)).status_code == 404


@pytest.mark.parametrize("name", ["person_edit", "person_leave", "skill_sign_off", "paper_record"])
def test_only_who_keeps_the_papers_changes_anything(name: str) -> None:
    user = make_user(RoleKind.TECHNICIAN)
    url = reverse(f"people:{name}", args=[Person.objects.get(user=user).pk])
    assert signed_in(user).get(url).status_code == 403
    assert client_of(RoleKind.TREASURER).get(url).status_code == 403
    assert client_of().get(url).status_code == 200


@pytest.mark.parametrize("name", ["skill_end", "paper_end"])
def test_what_belongs_to_another_program_is_not_found(name: str) -> None:
    client = client_of()
    person = make_able(make_person(program=make_program(name="Another garage")))
    row: Skill | Credential = person.skills.get(code="lift")
    if name == "paper_end":
        row = person.credentials.get(kind="waiver")
    assert client.get(reverse(f"people:{name}", args=[row.pk])).status_code == 404
    assert client.get(page(person)).status_code == 404


def test_a_page_answers_each_act_and_shows_no_day_of_birth() -> None:
    person = make_person(name="Femi Oyelaran", kind="volunteer", born_on=dt.date(2020, 2, 3))
    text = " ".join(client_of().get(page(person)).content.decode().split())
    assert "No volunteer waiver of Femi Oyelaran is on file." in text
    assert "Femi Oyelaran is under 18 and may not work under a raised car." in text
    assert "under 18</dd>" in text
    assert "2020" not in text


def test_a_page_takes_as_many_queries_for_many_papers_as_for_none(
    django_assert_num_queries: DjangoAssertNumQueries,
) -> None:
    client = client_of()
    bare, full = make_person(), make_able(make_person())
    make_hours(person=full, week_on=today() - dt.timedelta(days=today().weekday()))
    client.get(page(bare))
    for person in (bare, full):
        with django_assert_num_queries(8):
            client.get(page(person))


def test_a_person_is_added_and_shown() -> None:
    user = make_user(RoleKind.VOLUNTEER)
    answer = client_of().post(reverse("people:person_add"), TYPED | {"user": user.pk})
    person = Person.objects.get()
    assert answer["Location"] == page(person)
    assert (person.name, person.born_on, person.user) == ("Ira Hale", dt.date(2009, 3, 4), user)
    assert (person.pace_percent, person.attendance_percent) == (60, 100)


def test_what_can_not_be_is_refused_beside_its_field() -> None:
    typed = TYPED | {"pace_percent": "900", "born_on": "2999-01-01", "name": ""}
    answer = client_of().post(reverse("people:person_add"), typed)
    assert answer.status_code == 422
    assert dict(answer.context["form"].errors) == {
        "name": ["Name: an answer is missing."],
        "born_on": ["“2999-01-01” lies outside the years 1900 to 2099."],
        "pace_percent": ["“900” is not possible. Type a whole number from 10 to 150."],
    }
    assert Person.objects.count() == 0


def test_an_empty_form_is_refused_with_what_is_missing() -> None:
    answer = client_of().post(reverse("people:person_add"), {})
    assert answer.status_code == 422
    assert set(answer.context["form"].errors) == {"name", "kind"}


def test_a_change_of_what_somebody_else_changed_is_refused() -> None:
    person = make_person()
    url, client = reverse("people:person_edit", args=[person.pk]), client_of()
    assert client.post(url, TYPED | {"version": "1"}).status_code == 302
    answer = client.post(url, TYPED | {"version": "1"})
    said = "Somebody else changed this person. Open the page again."
    assert (answer.status_code, answer.context["form"].non_field_errors()) == (422, [said])


def test_a_paper_is_recorded_and_ended() -> None:
    person, client = make_person(), client_of()
    typed = {"kind": "waiver", "since_on": str(today()), "until_on": "2090-01-01"}
    answer = client.post(reverse("people:paper_record", args=[person.pk]), typed)
    paper = person.credentials.get()
    assert (answer["Location"], paper.until_on) == (page(person), dt.date(2090, 1, 1))
    ended = {"until_on": str(today()), "reason": "Taken back."}
    client.post(reverse("people:paper_end", args=[paper.pk]), ended)
    paper.refresh_from_db()
    assert (paper.until_on, paper.ended_because) == (today(), "Taken back.")


def test_a_skill_is_signed_off_by_the_lead_technician_and_ended() -> None:
    person, client = make_person(), client_of(RoleKind.LEAD_TECHNICIAN)
    typed = {"code": "brakes", "since_on": str(today())}
    client.post(reverse("people:skill_sign_off", args=[person.pk]), typed)
    skill = person.skills.get()
    ended = {"until_on": str(today()), "reason": "Pause."}
    client.post(reverse("people:skill_end", args=[skill.pk]), ended)
    skill.refresh_from_db()
    assert (skill.code, skill.until_on) == ("brakes", today())


def test_one_s_own_skill_is_refused_on_the_form_and_not_offered() -> None:
    user = make_user(RoleKind.LEAD_TECHNICIAN)
    person, client = Person.objects.get(user=user), signed_in(user)
    typed = {"code": "lift", "since_on": str(today())}
    answer = client.post(reverse("people:skill_sign_off", args=[person.pk]), typed)
    assert answer.status_code == 422
    assert answer.context["form"].non_field_errors() == ["Nobody signs off their own skills."]
    url = reverse("people:skill_sign_off", args=[person.pk])
    assert url not in client.get(page(person)).content.decode()


def test_who_leaves_is_listed_as_gone_from_the_day_after() -> None:
    person, client = make_person(), client_of()
    yesterday = today() - dt.timedelta(days=1)
    url = reverse("people:person_leave", args=[person.pk])
    client.post(url, {"left_on": str(yesterday), "version": "1"})
    answer = client.get(f"{reverse('people:person_list')}?here=no")
    assert [row.record.left_on for row in answer.context["table"].rows] == [yesterday]


def test_the_list_takes_as_many_queries_for_three_as_for_one(
    django_assert_num_queries: DjangoAssertNumQueries,
) -> None:
    client, url = client_of(), reverse("people:person_list")
    soon()
    client.get(url)
    with django_assert_num_queries(7):
        client.get(url)
    soon()
    make_able(make_person())
    with django_assert_num_queries(7):
        client.get(url)


def week_url(person: Person, name: str = "week_hours", weeks: int = 1) -> str:
    monday = add_weeks(week_start(today()), weeks)
    return reverse(f"people:{name}", args=[person.pk, monday.isoformat()])


def test_a_volunteer_writes_their_own_hours_and_nobody_elses() -> None:
    user = make_user(RoleKind.VOLUNTEER)
    person, other = make_person(user=user, name="Tove Lindgren"), make_person()
    client = signed_in(user)
    sent = {"tuesday": "18-21", "thursday": "18-20:30", "seen": "none"}
    answer = client.post(week_url(person), sent, follow=True)
    assert "Tue 18:00-21:00; Thu 18:00-20:30" in answer.content.decode()
    assert person.weeks.get().minutes == 330
    client.post(week_url(person, "week_same", 2), {"seen": "none"})
    assert [row.minutes for row in person.weeks.all()] == [330, 330]
    assert client.get(week_url(other)).status_code == 404
    assert "5 h 30 min signed up for" in " ".join(client.get(page(person)).content.decode().split())


def test_hours_that_can_not_be_are_told_and_change_nothing() -> None:
    person, client = make_person(), client_of()
    sent = {"monday": "20-18", "tuesday": "18-21", "seen": "none"}
    answer = client.post(week_url(person), sent)
    assert answer.status_code == 422
    assert "Monday: 20-18 ends before it begins." in answer.content.decode()
    answer = client.post(week_url(person, weeks=-1), {"tuesday": "18-21", "seen": "none"})
    assert "This week is over; its hours stay as they are." in answer.content.decode()
    answer = client.post(week_url(person, "week_same"), {"seen": "none"})
    assert "No hours are written for the week before." in answer.content.decode()
    assert person.weeks.count() == 0


@pytest.mark.parametrize("week", ["2026-12-01", "2026-W49", "soon", "0001-01-01", "9999-12-27"])
def test_an_address_of_no_monday_is_not_found(week: str) -> None:
    args = [make_person().pk, week]
    assert client_of().get(reverse("people:week_hours", args=args)).status_code == 404
