"""The pages of the days."""

from __future__ import annotations

import datetime as dt
from typing import TYPE_CHECKING, Any
from uuid import uuid4

import pytest
from django.urls import reverse
from django.utils import timezone

from program.days.actions import ask_replan, make_calendar
from program.days.jobs import replan
from program.days.queries import newest_replan, standing
from program.models import Booking, CalendarFeed, Trouble
from shared.accounts.roles import RoleKind
from shared.jobs.actions import claim
from shared.jobs.states import JobState
from shared.links.queries import link_url
from shared.models import Job
from tests.factories import TODAY, make_bay, make_person, make_program, make_user
from tests.program.days.garage import booked, make_car, make_garage, make_work
from tests.vehicles.pages import HTMX, sign_in, words

if TYPE_CHECKING:
    import time_machine
    from django.test import Client

    from shared.models import Program

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("monday")]

DAYS, PROPOSAL = "/days/", "/days/proposal/"
LEAD = RoleKind.LEAD_TECHNICIAN


def tell_url(kind: str = "person_away") -> str:
    return reverse("days:trouble_tell", args=[kind])


def laid_out(program: Program) -> Job:
    """Return the newest request, computed as a worker would."""
    job = newest_replan(program)
    assert job is not None
    replan(job.payload, program)()
    Job.objects.filter(pk=job.pk).update(state=JobState.DONE)
    return job


def shop_with_work() -> Program:
    program = make_garage()
    make_work(make_car())
    booked(program)
    return program


def test_the_week_shows_who_does_what_in_which_bay(client: Client) -> None:
    shop_with_work()
    sign_in(client, RoleKind.VOLUNTEER)
    text = words(client.get(DAYS))
    assert "26-043 Front brakes 8:00 AM to 9:00 AM Bay" in text
    assert "Final inspection" in text
    assert "Haskell" not in text
    assert "Something went wrong" not in text


def test_a_week_without_bookings_leads_to_the_next_that_has_some(client: Client) -> None:
    shop_with_work()
    sign_in(client, LEAD)
    page = client.get(DAYS, {"from": "2026-11-16"})
    assert "Nothing is booked in this week. The next work is in the week of Nov 30." in words(page)
    assert f'href="{DAYS}?from=2026-11-30"' in page.content.decode()


def test_a_week_without_bookings_says_so(client: Client) -> None:
    sign_in(client, LEAD)
    text = words(client.get(DAYS, {"from": "2027-02-03"}))
    assert "Nothing is booked in this week." in text
    assert "Nothing is booked for you in the next two weeks." in text


def test_an_address_without_a_day_in_it_is_not_found(client: Client) -> None:
    sign_in(client, LEAD)
    assert client.get(DAYS, {"from": "soon"}).status_code == 404


@pytest.mark.parametrize("role", [RoleKind.TREASURER, RoleKind.CASEWORKER, RoleKind.SPONSOR])
def test_who_is_not_of_the_shop_is_refused(client: Client, role: RoleKind) -> None:
    sign_in(client, role)
    assert client.get(DAYS).status_code == 403


@pytest.mark.parametrize("name", ["trouble_list", "replan_ask", "calendar_list"])
def test_only_who_keeps_the_days_changes_them(client: Client, name: str) -> None:
    sign_in(client, RoleKind.TECHNICIAN)
    assert client.post(reverse(f"days:{name}")).status_code in {403, 405}
    client.logout()
    assert client.post(reverse(f"days:{name}")).status_code in {302, 405}


def test_a_bad_day_is_told_laid_out_and_accepted(client: Client) -> None:
    program = shop_with_work()
    sign_in(client, LEAD)
    ill = standing(program)[0].person
    assert ill is not None
    assert "Somebody is away" in words(client.get(reverse("days:trouble_list")))
    sent = {"person": ill.pk, "from_on": "2026-11-30", "until_on": "2026-11-30", "reason": "Flu"}
    response = client.post(tell_url(), sent)
    assert (response.status_code, response["Location"]) == (302, PROPOSAL)
    assert "The days are being laid out anew" in words(client.get(PROPOSAL))
    job = laid_out(program)
    text = words(client.get(PROPOSAL))
    assert "would move" in text
    assert "Proven:" in text
    response = client.post(reverse("days:proposal_accept", args=[job.pk]))
    assert response["Location"] == DAYS
    assert {row.cause for row in standing(program)} == {"replan:1"}
    assert not standing(program).filter(person=ill, begins_at__date=TODAY).exists()
    assert "is away from Monday" in words(client.get(DAYS))


def test_the_waiting_page_looks_again_and_leaves_once_it_is_there(client: Client) -> None:
    program = make_program()
    sign_in(client, LEAD)
    client.post(reverse("days:replan_ask"))
    assert 'hx-trigger="every 2s"' in client.get(PROPOSAL, headers=HTMX).content.decode()
    laid_out(program)
    assert client.get(PROPOSAL, headers=HTMX)["HX-Redirect"] == PROPOSAL


@pytest.mark.parametrize("typed", ["soon", "9999-12-31", "0001-01-01", "2026-02-30"])
def test_a_week_that_cannot_be_is_not_found(client: Client, typed: str) -> None:
    make_program()
    sign_in(client, LEAD)
    assert client.get(DAYS, {"from": typed}).status_code == 404


def test_who_keeps_the_days_stops_the_search(client: Client) -> None:
    program = make_program()
    sign_in(client, LEAD)
    client.post(reverse("days:replan_ask"))
    job = claim(timezone.now())
    assert job is not None
    assert "Take the best found so far" in words(client.get(PROPOSAL))
    stop = reverse("days:replan_stop", args=[job.pk])
    assert client.post(stop)["Location"] == PROPOSAL
    job.refresh_from_db()
    assert job.stop_asked_at is not None
    assert "Take the best found so far" not in words(client.get(PROPOSAL))
    replan(job.payload, program)()
    Job.objects.filter(pk=job.pk).update(state=JobState.DONE, lease_until=None)
    assert "before it had found any days" in words(client.get(PROPOSAL))
    assert "there is nothing to stop" in words(client.post(stop, follow=True))


def test_a_technician_stops_no_search(client: Client) -> None:
    job = ask_replan(program=make_program(), by=None)
    sign_in(client, RoleKind.TECHNICIAN)
    assert client.post(reverse("days:replan_stop", args=[job.pk])).status_code == 403


def test_before_the_first_proposal_and_after_a_failure_the_page_says_so(client: Client) -> None:
    program = make_program()
    sign_in(client, LEAD)
    assert "No days were laid out anew yet" in words(client.get(PROPOSAL))
    client.post(reverse("days:replan_ask"))
    Job.objects.filter(program=program).update(state=JobState.FAILED, error="It broke.")
    text = words(client.get(PROPOSAL))
    assert "The days could not be laid out" in text
    assert "It broke." in text


def test_a_proposal_is_refused_when_something_has_changed(client: Client) -> None:
    program = shop_with_work()
    sign_in(client, LEAD)
    client.post(reverse("days:replan_ask"))
    job = laid_out(program)
    Booking.objects.filter(program=program).order_by("pk").first().delete()  # type: ignore[union-attr]
    response = client.post(reverse("days:proposal_accept", args=[job.pk]))
    assert response.status_code == 422
    assert "Something has changed since these days were laid out." in words(response)
    assert {row.cause for row in standing(program)} == {"plan:1"}


def test_things_may_be_kept_as_they_are_once(client: Client) -> None:
    program = shop_with_work()
    sign_in(client, LEAD)
    client.post(reverse("days:replan_ask"))
    url = reverse("days:proposal_keep", args=[laid_out(program).pk])
    assert client.post(url).status_code == 302
    assert "These days were not taken." in words(client.get(PROPOSAL))
    assert client.post(url).status_code == 422


def test_a_proposal_of_another_program_is_not_found(client: Client) -> None:
    make_program()
    sign_in(client, LEAD)
    other = make_program(name="Another garage")
    job = Job.objects.create(program=other, key="replan_days:1", kind="replan_days")
    for name in ("proposal_accept", "proposal_keep", "replan_stop"):
        assert client.post(reverse(f"days:{name}", args=[job.pk])).status_code == 404


@pytest.mark.parametrize(
    ("sent", "said"),
    [
        (
            {"until_on": "2026-11-01"},
            "The last day is before Monday, November 30, 2026, the first.",
        ),
        ({"until_on": "2026-11-29", "from_on": "2026-11-28"}, "The last day has passed"),
        ({"person": "99999"}, "choose one of the answers offered."),
        ({"from_on": "someday"}, "“someday” is not a date."),
    ],
)
def test_what_makes_no_sense_is_refused_with_what_to_do(
    client: Client, sent: dict[str, Any], said: str
) -> None:
    sign_in(client, LEAD)
    good = {"person": make_person().pk, "from_on": "2026-11-30", "until_on": "2026-11-30"}
    response = client.post(tell_url(), good | sent)
    assert response.status_code == 422
    assert said in words(response)
    assert Trouble.objects.count() == 0


def test_a_form_sent_twice_tells_one_trouble(client: Client) -> None:
    sign_in(client, LEAD)
    sent = {"bay": make_bay().pk, "from_on": "2026-11-30", "until_on": "2026-11-30"}
    key = str(uuid4())
    for _ in range(2):
        assert client.post(tell_url("bay_closed"), sent | {"client_key": key}).status_code == 302
    assert Trouble.objects.count() == 1


def test_an_unknown_kind_of_trouble_is_not_found(client: Client) -> None:
    sign_in(client, LEAD)
    assert client.get(tell_url("rain")).status_code == 404


def test_a_trouble_is_taken_back_once_and_only_ones_own(client: Client) -> None:
    user = sign_in(client, LEAD)
    row = Trouble.objects.create(
        program=make_program(),
        kind="bay_closed",
        bay=make_bay(name="Bay 1"),
        from_on=TODAY,
        until_on=TODAY,
        by=user,
    )
    url = reverse("days:trouble_take_back", args=[row.pk])
    assert "Bay 1 is closed from Monday" in words(client.get(url))
    assert client.post(url)["Location"] == PROPOSAL
    assert client.post(url).status_code == 422
    other = make_program(name="Another garage")
    Trouble.objects.filter(pk=row.pk).update(program=other)
    assert client.get(url).status_code == 404


def test_a_calendar_link_is_made_read_and_taken_back(client: Client) -> None:
    shop_with_work()
    sign_in(client, LEAD)
    page = reverse("days:calendar_list")
    assert client.post(page, {"person": ""}).status_code == 302
    feed = CalendarFeed.objects.get()
    url = link_url(feed.link)
    assert url in words(client.get(page))
    path = url.partition("//")[2].partition("/")[2]
    client.logout()
    response = client.get(f"/{path}")
    assert response["Content-Type"] == "text/calendar; charset=utf-8"
    text = response.content.decode()
    assert text.count("BEGIN:VEVENT\r\n") == 3
    assert "SUMMARY:26-043 Front brakes\r\n" in text
    assert "Haskell" not in text
    sign_in(client, LEAD)
    client.post(reverse("days:calendar_end", args=[feed.pk]))
    assert client.get(f"/{path}").status_code == 404


def test_a_calendar_keeps_its_entries_for_a_month(
    client: Client, monday: time_machine.Traveller
) -> None:
    program = shop_with_work()
    feed = make_calendar(program=program, person=None, by=make_user())
    url = f"/days/calendar/{link_url(feed.link).rpartition('/')[2]}"
    for days, entries in ((29, 3), (31, 0)):
        monday.move_to(dt.datetime(2026, 11, 30, 23, tzinfo=dt.UTC) + dt.timedelta(days=days))
        assert client.get(url).content.decode().count("BEGIN:VEVENT") == entries


def test_a_forged_calendar_link_opens_nothing(client: Client) -> None:
    assert client.get("/days/calendar/nonsense.ics").status_code == 404
