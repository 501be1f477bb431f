from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from vehicles.diagnosis.setups import Ends, Setup, load

if TYPE_CHECKING:
    from pathlib import Path


WORDS = "Use one of: session, moved, cooled, started."


def test_the_shipped_setups_are_read_in_the_order_of_their_file() -> None:
    found = load()
    assert list(found)[:4] == ["cold", "warm", "running", "level"]
    assert found["charged"] == Setup(
        code="charged",
        title="battery charged and rested",
        minutes=60,
        how=(
            "Charged to 12.6 volts and rested, surface charge taken off; the minutes are work,"
            " the charger runs by itself."
        ),
        ends=Ends.SESSION,
    )


def test_a_cold_engine_costs_no_work_and_ends_when_it_is_started() -> None:
    assert (load()["cold"].minutes, load()["cold"].ends) == (0, Ends.STARTED)


def test_a_damaged_file_names_every_mistake(tmp_path: Path) -> None:
    path = tmp_path / "setups.toml"
    path.write_text('[cold]\ntitle = "engine cold"\nminute = 3\nhow = "Wait."\nends = "late"\n')
    with pytest.raises(ValueError, match="minutes: This is missing") as refused:
        load(path)
    assert str(refused.value).splitlines() == [
        "setups.toml, cold.minutes: This is missing.",
        (
            "setups.toml, cold.ends: “late” is not known here."
            " Use one of: session, moved, cooled, started."
        ),
        "setups.toml, cold.minute: “minute” is not known here. Did you mean “minutes”?",
    ]


def test_a_file_that_is_no_toml_is_refused_by_name(tmp_path: Path) -> None:
    path = tmp_path / "setups.toml"
    path.write_text("[cold")
    with pytest.raises(ValueError, match=r"^setups\.toml can’t be read: Expected '\]'"):
        load(path)
