from __future__ import annotations

import datetime as dt

import pytest

from sponsors.portal.forms import PledgeForm, nearest_pause
from sponsors.portal.offering import offered
from sponsors.portal.queries import Wish
from sponsors.register.models import Sponsor
from vehicles.repairs.open_needs import Car, OpenNeed, Part, System

TODAY = dt.date(2026, 11, 30)


@pytest.mark.parametrize(
    ("own", "choice"), [(None, 30), (1, 14), (21, 14), (30, 30), (60, 30), (90, 91), (400, 365)]
)
def test_the_choice_shown_is_the_one_that_comes_nearest(own: int | None, choice: int) -> None:
    assert nearest_pause(Sponsor(ask_every_days=own), 28) == choice


def test_the_form_begins_with_what_is_needed_and_two_weeks() -> None:
    need = OpenNeed(
        id=1, title="Radiator", part=Part(kind="radiator", system=System.COOLING), car=Car()
    )
    form = PledgeForm(wish=Wish(need=need, units=3, part=offered(need)), today=TODAY)
    assert (form["quantity"].value(), form["expires_on"].value()) == (3, "2026-12-14")
    assert form.fields["quantity"].help_text == "Needed: 3"
