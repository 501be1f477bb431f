from __future__ import annotations

import pytest

from sponsors.models import Gives
from sponsors.register.forms import SponsorForm, as_typed
from tests.factories.sponsors import make_sponsor

TYPED = {"name": "Crane Street", "language": "en", "gives": "cooling"}


@pytest.mark.parametrize(
    ("typed", "codes"),
    [
        ("cooling", ["cooling"]),
        ("Cooling; battery/battery, tires", ["cooling", "battery/battery", "tires"]),
        ("cooling;; cooling ;", ["cooling"]),
        ("brakes / Brake_Pads", ["brakes/brake_pads"]),
    ],
)
def test_what_is_given_is_read_as_codes(typed: str, codes: list[str]) -> None:
    form = SponsorForm(TYPED | {"gives": typed})
    assert form.is_valid()
    assert form.cleaned_data["gives"] == codes


@pytest.mark.parametrize(
    ("typed", "sentence"),
    [
        ("sails", "“sails” is not a system. Use one of: brakes, steering,"),
        ("brakes/?", "“?” is not the code of a part, such as brake_pads."),
        ("", "What they give: an answer is missing."),
    ],
)
def test_what_is_no_code_is_refused_with_the_value(typed: str, sentence: str) -> None:
    form = SponsorForm(TYPED | {"gives": typed})
    assert str(form.errors["gives"][0]).startswith(sentence)


@pytest.mark.django_db
def test_a_sponsor_is_shown_as_they_would_be_typed() -> None:
    sponsor = make_sponsor(ask_every_days=30)
    Gives.objects.create(
        program=sponsor.program, sponsor=sponsor, system="battery", part_kind="battery"
    )
    Gives.objects.create(program=sponsor.program, sponsor=sponsor, system="cooling")
    typed = as_typed(sponsor)
    assert (typed["gives"], typed["ask_every_days"]) == ("battery/battery; cooling", 30)
    assert SponsorForm(typed).is_valid()
