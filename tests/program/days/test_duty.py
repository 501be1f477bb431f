"""Work on a car as jobs: what has begun, what is done, what is still to come."""

from __future__ import annotations

import datetime as dt
from typing import Any

from program.days.bookings import Place
from program.days.duty import Booked, Over, Rules, Told, Work, jobs_of

NOON = dt.datetime.combine(dt.date(2026, 11, 30), dt.time(12))
HOUR = dt.timedelta(hours=1)


def work(name: str = "1", **fields: Any) -> Work:
    defaults: dict[str, Any] = {"item_id": name, "title": f"Work {name}", "minutes": 60}
    return Work(**defaults | fields)


def piece(begin: float, end: float, **fields: Any) -> Booked:
    defaults: dict[str, Any] = {
        "job_id": "1",
        "begins_at": NOON + begin * HOUR,
        "ends_at": NOON + end * HOUR,
        "made_at": NOON - 48 * HOUR,
        "bay_id": "b",
        "person_id": "p",
    }
    return Booked(**defaults | fields)


def told(*pieces: Booked, rules: Rules | None = None, rows: list[Work] | None = None) -> Told:
    return jobs_of("26-043", rows or [work()], pieces, rules or Rules(), NOON)


def test_the_drive_and_a_second_person_end_every_stay() -> None:
    rules = Rules(final_minutes=45, road_skills=("road_test",), final_skills=("sign_off",))
    _, road, last = told(rules=rules).jobs
    assert (road.minutes, road.skills, road.after) == (15, ("road_test",), ("1",))
    assert (last.minutes, last.by_second, last.after) == (30, True, (road.id,))


def test_access_that_two_jobs_share_counts_once() -> None:
    rows = [
        work("1", access="wheels", access_minutes=20),
        work("2", access="wheels", access_minutes=10),
    ]
    assert [job.minutes for job in told(rows=rows).jobs[:2]] == [60, 50]


def test_work_in_another_shop_is_a_job_after_the_work_here() -> None:
    rows = [work("1", away_days=3), work("2", after=("1",))]
    here, away, then, *_ = told(rows=rows).jobs
    assert (here.place, away.place, away.away_days) == (Place.FLAT, Place.AWAY, 3)
    assert (away.after, then.after) == (("1",), ("1 away",))


def test_what_goes_on_keeps_its_person_and_bay_and_what_is_left() -> None:
    job = told(piece(-1, 2)).jobs[0]
    assert job.begun is not None
    assert (job.minutes, job.begun.person_ids, job.begun.bay_id) == (120, ("p",), "b")


def test_between_two_evenings_a_job_goes_on() -> None:
    job = told(piece(-3, -1), piece(5, 6)).jobs[0]
    assert (job.begun is not None, job.minutes) == (True, 60)


def test_what_is_left_is_counted_at_the_persons_pace() -> None:
    job = told(piece(-1, 1), rules=Rules(percents={"p": 5_000})).jobs[0]
    assert job.minutes == 30


def test_whoever_fell_ill_leaves_the_rest_to_others() -> None:
    job = told(piece(-1, 1), rules=Rules(gone=frozenset({"p"}))).jobs[0]
    assert (job.begun, job.minutes) == (None, 60)


def test_a_bay_that_was_shut_is_left() -> None:
    job = told(piece(-1, 1), rules=Rules(shut=frozenset({"b"}))).jobs[0]
    assert job.begun is not None
    assert job.begun.bay_id == ""


def test_what_ran_over_is_added_once() -> None:
    over = (Over(item_id="1", minutes=45, told_at=NOON),)
    assert told(piece(-1, 1), rules=Rules(over=over)).jobs[0].minutes == 105
    booked_since = piece(-1, 1, made_at=NOON + HOUR)
    assert told(booked_since, rules=Rules(over=over)).jobs[0].minutes == 60
    assert told(piece(3, 4), rules=Rules(over=over)).jobs[0].minutes == 105


def test_what_is_past_and_not_ticked_off_is_laid_out_again_and_said() -> None:
    answer = told(piece(-3, -2))
    assert answer.jobs[0].minutes == 60
    assert str(answer.notes[0].sentence) == (
        "“Work 1” of 26-043 was booked until Mon 10:00 AM and is not ticked off: it is laid out "
        "again."
    )


def test_of_what_is_past_only_what_was_told_is_left() -> None:
    over = (Over(item_id="1", minutes=20, told_at=NOON),)
    assert told(piece(-3, -2), rules=Rules(over=over)).jobs[0].minutes == 20


def test_what_lies_ahead_stands_as_booked() -> None:
    [row] = told(piece(20, 21)).standing
    assert (row.job_id, row.day, row.person_ids, row.bay_id) == (
        "1",
        dt.date(2026, 12, 1),
        ("p",),
        "b",
    )


def test_a_car_that_is_away_comes_back_as_booked() -> None:
    away = piece(-12, 60, job_id="1 away", person_id="", bay_id="")
    job = told(away, rows=[work("1", minutes=0, away_days=3)]).jobs[0]
    assert (job.place, job.away_days, job.begun is not None) == (Place.AWAY, 3, True)


def test_a_drive_that_was_done_is_not_driven_again() -> None:
    drive = piece(-2, -1, job_id="26-043 road test")
    answer = jobs_of("26-043", [], [drive], Rules(), NOON)
    assert [(job.title, job.after) for job in answer.jobs] == [("Final inspection", ())]
