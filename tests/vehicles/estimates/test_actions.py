"""Prices are recorded, chosen and withdrawn; what jobs took is written down."""

from __future__ import annotations

import datetime as dt
from typing import TYPE_CHECKING, Any
from uuid import UUID

import pytest
from django.core.exceptions import ValidationError

from shared.models import Event, Job
from tests.factories import TODAY, make_intake, make_item, make_need, make_user
from tests.vehicles.estimates.rows import make_quote, recorded, said
from tests.vehicles.intake.shots import jpeg
from vehicles.estimates.actions import (
    choose_quote,
    kept_paper,
    record_actuals,
    record_quote,
    withdraw_quote,
)
from vehicles.intake.actions import RANK
from vehicles.models import Quote

if TYPE_CHECKING:
    from vehicles.models import RepairItem

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("today")]
HOSE = (
    "A used or rebuilt brake hose, line, seal or pipe is not taken: what ages in it can’t be seen."
)
NO_PAPER = (
    "This file is not a photo that can be read. JPEG, PNG and WebP can. A PDF is kept as it is."
)
KEY = UUID("00000000-0000-4000-8000-000000000001")


@pytest.fixture
def today(time_machine: Any) -> None:
    time_machine.move_to(dt.datetime.combine(TODAY, dt.time(12), dt.UTC), tick=False)


def test_a_price_is_recorded_once_however_often_it_is_sent() -> None:
    need = make_need()
    first, second = (recorded(need, client_key=KEY) for _ in range(2))
    assert (first, Quote.objects.count()) == (second, 1)
    assert Event.objects.filter(what="A price was recorded.").count() == 1


def test_a_price_that_ran_out_before_it_was_said_is_refused() -> None:
    with pytest.raises(ValidationError) as refusal:
        recorded(make_need(), good_until_on=TODAY - dt.timedelta(days=1))
    assert refusal.value.message_dict == {"good_until_on": ["It can’t run out before it was said."]}


def test_a_price_of_work_elsewhere_belongs_to_the_item() -> None:
    item = make_item()
    row = recorded(item)
    assert (row.item, row.need) == (item, None)


@pytest.mark.parametrize(
    ("kind", "system", "condition", "sentence"),
    [
        ("brake_pads", "brakes", "used", "A used brake pad, shoe or lining is not taken."),
        ("seat_belt", "restraint", "rebuilt", "A used part of belts or airbags is not taken."),
        (
            "brake_hose",
            "brakes",
            "used",
            HOSE,
        ),
        (
            "tie_rod_end",
            "steering",
            "used",
            "A used ball joint or tie rod is not taken: its wear is inside.",
        ),
    ],
)
def test_what_must_be_new_has_no_used_price(
    kind: str, system: str, condition: str, sentence: str
) -> None:
    need = make_need(kind=kind, system=system)
    fields = {"supplier": "Yard", "source": "phone", "cents": 500, "quoted_on": TODAY}
    assert said(
        record_quote, about=need, client_key=KEY, paper=b"", condition=condition, **fields
    ) == [sentence]


def test_a_need_that_somebody_wants_new_takes_nothing_else() -> None:
    need = make_need(kind="alternator", system="charging", may_be=["rebuilt"])
    assert recorded(need, condition="rebuilt").condition == "rebuilt"
    fields = {"supplier": "Yard", "source": "phone", "cents": 500, "quoted_on": TODAY}
    assert said(
        record_quote, about=need, client_key=KEY, paper=b"", condition="used", **fields
    ) == ["Somebody decided that this one is taken only new, rebuilt."]


def test_a_pdf_is_kept_as_it_is_and_a_picture_is_written_anew() -> None:
    pdf, photo = b"%PDF-1.7 and so on", jpeg() + b"hung on the end"
    assert kept_paper(pdf) == (pdf, "application/pdf")
    kept, kind = kept_paper(photo)
    assert kind == "image/jpeg"
    assert kept is not None
    assert b"hung on the end" not in kept
    assert kept_paper(b"") == (None, "")


@pytest.mark.parametrize(
    ("data", "sentence"),
    [
        (b"%PDF-" + b"x" * 2_000_000, "The PDF has 2.0 MB; at most 2 MB can be kept."),
        (
            b"<script>",
            NO_PAPER,
        ),
    ],
)
def test_another_paper_is_refused(data: bytes, sentence: str) -> None:
    with pytest.raises(ValidationError) as refusal:
        kept_paper(data)
    assert refusal.value.messages == [sentence]


def test_a_price_that_is_named_becomes_the_one_price_of_the_need() -> None:
    need = make_need()
    quote = make_quote(need=need, cents=11_000, quoted_on=TODAY - dt.timedelta(days=2))
    choose_quote(quote=quote, by=make_user())
    need.refresh_from_db()
    assert (need.price_low_cents, need.price_cents, need.price_high_cents) == (11_000,) * 3
    assert need.price_source == "in writing, Quayside Auto Parts"
    assert (need.priced_on, need.version) == (quote.quoted_on, 2)
    assert Job.objects.filter(kind=RANK).exists()


def test_a_guess_keeps_the_range_in_proportion() -> None:
    need = make_need()  # 100, 120, 160 dollars
    choose_quote(quote=make_quote(need=need, source="guess", cents=15_000), by=make_user())
    need.refresh_from_db()
    assert (need.price_low_cents, need.price_cents, need.price_high_cents) == (
        12_500,
        15_000,
        20_000,
    )


def test_a_rebuilt_part_says_so_in_its_source() -> None:
    need = make_need(kind="alternator", system="charging")
    choose_quote(quote=make_quote(need=need, condition="rebuilt"), by=make_user())
    need.refresh_from_db()
    assert need.price_source == "in writing, rebuilt, Quayside Auto Parts"


def test_the_next_choice_takes_the_place_of_the_last() -> None:
    need = make_need()
    first, second = make_quote(need=need), make_quote(need=need, cents=9_000)
    for quote in (first, second):
        choose_quote(quote=quote, by=make_user())
    chosen = Quote.objects.exclude(chosen_at=None)
    assert [row.pk for row in chosen] == [second.pk]


def test_a_price_of_work_elsewhere_sets_its_cost_and_its_days() -> None:
    item = make_item(outside_days=3)
    choose_quote(quote=make_quote(item=item, cents=7_500, lead_days=4), by=make_user())
    item.refresh_from_db()
    assert (item.sublet_cents, item.outside_days, item.version) == (7_500, 4, 2)


def test_what_has_run_out_or_is_withdrawn_or_closed_is_not_chosen() -> None:
    eve = TODAY - dt.timedelta(days=1)
    out = make_quote(quoted_on=eve, good_until_on=eve)
    assert said(choose_quote, quote=out) == [
        f"This price was good until {eve}. Ask again, and record what is said."
    ]
    assert said(choose_quote, quote=make_quote(withdrawn_because="Sold")) == [
        "This price was withdrawn."
    ]
    filled = make_quote(need=make_need(state="filled"))
    closed = "This is not open any more, so no price is asked for it."
    assert said(choose_quote, quote=filled) == [closed]
    gone = make_need(item=make_item(intake=make_intake(left_on=TODAY)))
    assert said(choose_quote, quote=make_quote(need=gone)) == [closed]


def test_a_chosen_price_that_is_withdrawn_leaves_its_figure_and_says_so() -> None:
    need = make_need()
    quote = choose_quote(quote=make_quote(need=need), by=make_user())
    withdraw_quote(quote=quote, because=" Sold out ", by=make_user())
    need.refresh_from_db()
    quote.refresh_from_db()
    assert (quote.withdrawn_because, quote.chosen_at) == ("Sold out", None)
    assert (need.price_cents, need.price_source) == (
        11_000,
        "taken back: in writing, Quayside Auto Parts",
    )
    assert said(withdraw_quote, quote=quote, because="Again") == [
        "This price was withdrawn already."
    ]


@pytest.mark.parametrize(
    ("because", "sentence"),
    [(" ", "Say why."), ("x" * 201, "Say it in 200 characters at most.")],
)
def test_a_price_is_withdrawn_with_a_reason(because: str, sentence: str) -> None:
    assert said(withdraw_quote, quote=make_quote(), because=because) == [sentence]


def done(**fields: Any) -> RepairItem:
    return make_item(state="done", done_on=TODAY, **fields)


def test_what_a_job_took_is_written_down_even_after_the_stay() -> None:
    item = done(intake=make_intake(left_on=TODAY))
    record_actuals(item=item, version=1, took_minutes=75, cost_cents=0, because="", by=make_user())
    item.refresh_from_db()
    assert (item.took_minutes, item.cost_cents, item.version) == (75, 0, 2)
    event = Event.objects.get(what="What the job took was recorded.")
    assert event.fields == ["took_minutes", "cost_cents"]


def test_what_is_on_record_changes_with_a_reason() -> None:
    item = done(took_minutes=75)
    fields: dict[str, Any] = {"item": item, "version": 1, "took_minutes": 57, "cost_cents": None}
    assert said(record_actuals, because=" ", **fields) == ["Say why."]
    record_actuals(because="Digits swapped", by=make_user(), **fields)
    item.refresh_from_db()
    assert item.took_minutes == 57


def test_what_took_nothing_new_or_is_open_or_stale_is_refused() -> None:
    fields: dict[str, Any] = {"took_minutes": None, "cost_cents": None, "because": ""}
    assert said(record_actuals, item=done(), version=1, **fields) == ["Nothing was changed."]
    assert said(record_actuals, item=make_item(), version=1, **fields) == [
        "“Two front tires” is not done."
    ]
    assert said(record_actuals, item=done(version=2), version=1, **fields) == [
        "Somebody else changed this item meanwhile. Look at it again."
    ]
