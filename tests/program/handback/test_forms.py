"""What is asked depends on what the stay holds; what was typed becomes one value."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING, Any

import pytest

from program.handback.forms import ReturnForm
from program.handback.queries import case_of, findings_of
from program.handback.sheet import in_language, notice_of
from program.handback.wording import After, How
from program.models import Case, Household
from tests.factories import make_intake, make_vehicle
from tests.program.handback.story import NAME, make_held_case, stay_of

if TYPE_CHECKING:
    from vehicles.models import Intake

pytestmark = pytest.mark.django_db


def form_of(stay: Intake, left: tuple[str, ...] = (), **sent: str) -> ReturnForm:
    words = in_language(notice_of(stay, findings_of(stay)), "en")
    defaults = {
        "because": "Rusted.",
        "on": stay.program.today().isoformat(),
        "after": "decide",
        "taken_by": "Dana Haskell",
        "how": "screen",
        "strokes": json.dumps(NAME),
        "keys_to": "Dana Haskell",
        "tow_answer": "own",
        "language": "en",
        "read": words.digest,
        "version": str(stay.version),
    }
    data: Any = defaults | sent if sent else None
    return ReturnForm(data, stay=stay, case=case_of(stay), words=words, left=left)


def test_only_what_the_stay_asks_is_asked() -> None:
    stay = make_intake(vehicle=make_vehicle())
    assert {"after", "contents_to"} & set(form_of(stay).fields) == set()
    asked = form_of(stay_of(make_held_case()), left=("Booster seat",)).fields
    assert asked["contents_to"].help_text == "Still here: Booster seat"
    assert "after" in asked


def test_only_ways_out_that_the_household_may_take_are_offered() -> None:
    case = make_held_case()
    Household.objects.update(stage="back_on_road")
    choices = form_of(stay_of(case)).fields["after"].choices  # type: ignore[attr-defined]
    assert [value for value, _ in choices] == ["decide"]
    Case.objects.update(closed_on=case.program.today(), closed_because="Done.")
    assert "after" not in form_of(stay_of(case)).fields


def test_a_form_becomes_one_value() -> None:
    form = form_of(stay_of(make_held_case()), because=" Rusted. ", interpreter="Ines Ocampo")
    assert form.is_valid()
    found = form.cleaned_data["returning"]
    assert (found.how, found.after, found.interpreter) == (
        How.SCREEN,
        After.DECIDE,
        "Ines Ocampo",
    )
    assert (found.leaving.strokes, found.leaving.tow, found.leaving.witness) == (NAME, None, "")


def test_a_name_left_on_the_pad_is_not_kept_where_another_way_was_chosen() -> None:
    form = form_of(stay_of(make_held_case()), how="paper", witness="R. Amadi")
    assert form.is_valid()
    found = form.cleaned_data["returning"]
    assert (found.how, found.leaving.strokes, found.leaving.witness) == (How.PAPER, [], "R. Amadi")


def test_a_notice_that_changed_takes_the_old_signature_off_the_form() -> None:
    stay = stay_of(make_held_case())
    form = form_of(stay, read="0" * 64)
    assert form.errors["__all__"] == [
        "The notice has changed since it was read. Read it again, then sign."
    ]
    form.renew()
    assert (form["read"].value(), form["strokes"].value()) == (form.words.digest, "")
    same = form_of(stay, because="")
    same.renew()
    assert same["strokes"].value() == json.dumps(NAME)
