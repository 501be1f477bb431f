"""A proposal is read back as it was written."""

from __future__ import annotations

import json

from program.days.bookings import Car
from program.days.day_board import lay_out
from program.days.hours import moment
from program.days.revision import Revision
from tests.program.days.shops import MONDAY, job, person, shop


def test_a_revision_survives_being_kept() -> None:
    board = lay_out([Car(id="1")], [job("a", rest_minutes=30)], shop(person("p")))
    made = Revision(
        laid_out_at=moment(32, MONDAY),
        fingerprint="abc",
        slots=board.slots,
        changes=("a moves",),
        dropped=("26-043",),
        ready=("26-044 is ready on Monday.",),
        value=3,
        bound=3,
    )
    assert Revision.from_json(json.loads(json.dumps(made.to_json()))) == made
    assert made.proven


def test_where_better_may_exist_it_is_not_proven() -> None:
    assert not Revision(laid_out_at=moment(0, MONDAY), fingerprint="", value=3, bound=2).proven


def test_what_was_kept_by_an_earlier_version_is_read() -> None:
    kept = Revision(laid_out_at=moment(0, MONDAY), fingerprint="").to_json()
    del kept["dropped"], kept["ready"]
    assert Revision.from_json(kept).dropped == Revision.from_json(kept).ready == ()


def test_what_moves_stands_beside_its_car() -> None:
    made = Revision(
        laid_out_at=moment(0, MONDAY),
        fingerprint="",
        changes=("26-044 Wipers: Bay 2 instead of Bay 1",),
        ready=("26-044 is ready on Monday.",),
    )
    assert made.moves == [("26-044", "Wipers: Bay 2 instead of Bay 1")]
    assert made.other_days == [("26-044", "is ready on Monday.")]
