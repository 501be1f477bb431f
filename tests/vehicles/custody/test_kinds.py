"""Words of custody: each choice reads as an answer, and two kinds of contents stop the work."""

from __future__ import annotations

import pytest

from vehicles.custody.kinds import (
    ContentKind,
    Hold,
    Joined,
    Lien,
    NoticeHow,
    Paper,
    SignedHow,
    Stolen,
    TowAnswer,
    TowDirection,
    TowKind,
    TowPayer,
)

ALL = (
    *(Paper, Joined, Lien, Hold, Stolen, SignedHow),
    *(ContentKind, TowDirection, TowKind, TowPayer, TowAnswer, NoticeHow),
)


@pytest.mark.parametrize("kinds", ALL)
def test_each_choice_has_words_of_its_own_that_begin_a_sentence(kinds: type[Paper]) -> None:
    labels = [kind.label for kind in kinds]
    assert len(set(labels)) == len(kinds)
    assert [label for label in labels if not label[0].isupper() or "_" in label] == []


@pytest.mark.parametrize(
    ("kind", "label"),
    [
        (Paper.NONE, "Neither was seen"),
        (Paper.REGISTRATION, "Registration"),
        (Joined.ALL, "All names have to sign (“and”)"),
        (Joined.ANY, "One name is enough (“or”)"),
        (Lien.IN_DEFAULT, "Lien in default"),
        (Hold.UNKNOWN, "Nobody knows"),
        (Stolen.REPORTED, "Reported stolen"),
        (SignedHow.PHONE, "Said on the phone, with a witness"),
        (ContentKind.BIOHAZARD, "Needles or other biohazard"),
        (TowDirection.IN, "Tow in"),
        (TowDirection.OUT, "Tow out"),
        (TowKind.WHEEL_LIFT, "Wheel lift"),
        (TowPayer.HOUSEHOLD, "Household"),
        (TowAnswer.OWN, "They arrange their own tow"),
        (NoticeHow.DECLINED, "Declined to sign, before a witness"),
    ],
)
def test_a_choice_reads_as_the_answer_to_its_question(kind: Paper, label: str) -> None:
    assert kind.label == label


def test_only_a_weapon_and_a_biohazard_stop_the_work() -> None:
    stopping = [kind for kind in ContentKind if kind.stops_work]
    assert stopping == [ContentKind.WEAPON, ContentKind.BIOHAZARD]


def test_what_people_live_by_goes_back_at_once_and_what_stops_the_work_does_not() -> None:
    essential = [kind.value for kind in ContentKind if kind.is_essential]
    assert essential == ["child_seat", "medicine", "papers", "work_tools", "mobility_aid"]
