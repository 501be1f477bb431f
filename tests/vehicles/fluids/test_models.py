"""What the database refuses of fluids."""

from __future__ import annotations

import pytest
from django.utils import timezone

from tests.factories import make_intake
from tests.refusals import assert_refused
from tests.vehicles.fluids.rows import read, say_maker, top_up
from tests.vehicles.rows import unsaved
from vehicles.fluids.levels import Level
from vehicles.models import FluidReading

pytestmark = pytest.mark.django_db


def test_one_answer_of_the_maker_stands_for_each_fluid() -> None:
    rule = say_maker(make_intake())
    said = "Somebody else recorded this meanwhile."
    assert_refused(unsaved(rule), "fluid_rule_one_stands", said)
    rule.ended_at = timezone.now()
    rule.save()
    unsaved(rule, ended_at=None).save()


def test_a_reading_taken_back_stands_no_more() -> None:
    row = read(make_intake(), Level.LOW)
    assert FluidReading.objects.standing().get() == row
    row.withdrawn_at = timezone.now()
    row.save()
    assert not FluidReading.objects.standing().exists()


def test_rows_say_what_they_hold() -> None:
    stay = make_intake()
    rule = say_maker(stay)
    row = read(stay, Level.LOW)
    shown = [str(one) for one in (rule, row, top_up(row), top_up_in_words())]
    assert shown == ["engine-oil: 5W-30 API SN", "engine-oil: low", "1/2 qt", "1/4 L"]


def top_up_in_words() -> str:
    """Return an amount whose unit was typed with it, as its row says it."""
    stay = make_intake()
    say_maker(stay)
    return str(top_up(read(stay, Level.LOW), "1/4 L"))
