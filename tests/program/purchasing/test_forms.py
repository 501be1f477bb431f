"""What may be typed of a need."""

from __future__ import annotations

import pytest

from program.purchasing.forms import AskForm, ConditionsForm, FitForm
from tests.factories import make_need

pytestmark = pytest.mark.django_db


def choices(form: ConditionsForm) -> list[str]:
    return [str(box.data["value"]) for box in form["may_be"]]


def test_only_conditions_that_the_rules_take_can_be_ticked() -> None:
    assert choices(ConditionsForm(need=make_need())) == ["new", "rebuilt", "used"]
    pads = ConditionsForm(need=make_need(kind="brake_pads", system="brakes"))
    assert (choices(pads), pads.is_choice) == (["new"], False)


def test_a_condition_that_is_not_offered_is_refused() -> None:
    form = ConditionsForm({"may_be": ["golden"], "version": "1"}, need=make_need())
    assert form.errors == {
        "may_be": ["What may be bought or taken for it: choose one of the answers offered."]
    }


def test_a_day_that_is_none_is_refused() -> None:
    assert set(AskForm({"until": "soon"}).errors) == {"until"}
    assert AskForm({}).errors == {"until": ["I find it out by: an answer is missing."]}


def test_how_it_was_found_out_is_one_of_two_ways() -> None:
    assert set(FitForm({"how": "guessed", "part_number": "1" * 41}, need=make_need()).errors) == {
        "how",
        "part_number",
    }
    assert FitForm({"how": "OLD_PART"}, need=make_need()).is_valid()
