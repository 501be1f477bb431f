"""What a booking is for, and what can go wrong with a day."""

from __future__ import annotations

from program.days.states import Answered, BookingKind, TroubleKind


def test_each_kind_is_said_in_words() -> None:
    assert [kind.label for kind in BookingKind] == [
        "Work",
        "Curing or drying",
        "Away",
        "Final inspection",
    ]
    assert [kind.label for kind in TroubleKind] == [
        "Somebody is away",
        "A bay is closed",
        "A part is late",
        "Work ran over",
    ]


def test_what_a_person_made_of_a_proposal_stands_in_a_sentence() -> None:
    assert [f"These days were {answer}." for answer in Answered] == [
        "These days were accepted.",
        "These days were not taken.",
    ]
