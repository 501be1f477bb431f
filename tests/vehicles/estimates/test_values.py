"""Small words about prices."""

from __future__ import annotations

import pytest

from vehicles.estimates.values import PartPrice, up_to_five


@pytest.mark.parametrize(
    ("cents", "said"), [(0, 0), (1, 500), (500, 500), (501, 1_000), (48_263, 48_500)]
)
def test_odds_are_rounded_up_to_five_dollars(cents: int, said: int) -> None:
    assert up_to_five(cents) == said


@pytest.mark.parametrize(("days", "is_old"), [(None, False), (59, False), (60, True)])
def test_a_price_of_sixty_days_is_asked_again(
    days: int | None,
    is_old: bool,  # noqa: FBT001 (a case of the table)
) -> None:
    part = PartPrice(
        need_id=1, title="Radiator", quantity=1, likely_cents=1, source="guess", days=days
    )
    assert part.is_old == is_old
