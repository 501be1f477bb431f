"""What one text of a fault model changes in another."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from tests.vehicles.diagnosis.rows import HOT
from vehicles.diagnosis.modelfile import read
from vehicles.diagnosis.revision import MOST_LINES, changes, hundred, line_changes


def told(new: str, old: str = HOT) -> list[tuple[str, str, str]]:
    found = changes(read(old), read(new))
    return [(str(one.of), one.before, one.after) for one in found.all]


def test_a_weight_that_moved_is_told_with_both_figures() -> None:
    new = HOT.replace("weight = 0.50", "weight = 0.45").replace("weight = 0.40", "weight = 0.45")
    assert told(new) == [("Fan stands still", "50", "45"), ("Hose leaks", "40", "45")]
    assert str(changes(read(HOT), read(new)).summary) == "Changed: 2 weights."


def test_the_share_of_what_is_not_listed_is_a_weight() -> None:
    new = HOT.replace("unlisted = 0.05", "unlisted = 0.10").replace(
        "weight = 0.50", "weight = 0.45"
    )
    assert told(new) == [("Fan stands still", "50", "45"), ("Cause not listed", "5", "10")]


def test_rows_links_and_work_are_told_apart() -> None:
    new = HOT.replace("sound = [0.95, 0.05]", "sound = [0.90, 0.10]")
    new = new.replace("hose = [0.05, 0.95]", "hose = [0.10, 0.90]")
    new = new.replace("fan = 0.30", "fan = 0.25").replace("minutes = 3\n", "minutes = 4\n")
    assert told(new) == [
        ("Fan stands still brings about Head gasket leaks", "30", "25"),
        ("Coolant level, cold, on a sound car", "95, 5", "90, 10"),
        ("Coolant level, cold, with Hose leaks", "5, 95", "10, 90"),
        ("Coolant level, cold", "3 min", "4 min"),
    ]
    said = "Changed: 1 link between faults, 2 rows of checks, 1 figure of work."
    assert str(changes(read(HOT), read(new)).summary) == said


def test_a_check_that_came_in_or_went_has_a_dash_on_one_side() -> None:
    road = HOT.index("[checks.road]")
    without = told(HOT[:road])
    assert ("Twenty minutes on the road, on a sound car", "90, 10", "–") in without
    assert [(of, after, before) for of, before, after in without] == told(HOT, HOT[:road])


def test_other_words_change_no_figure() -> None:
    new = HOT.replace("Ask.", "Ask the driver.")
    assert told(new) == []
    assert str(changes(read(HOT), read(new)).summary) == "No figure changed, only words."


def test_without_a_model_before_all_is_new() -> None:
    found = changes(None, read(HOT))
    assert [one.before for one in found.weights] == ["–"] * 4
    assert [one.after for one in found.weights] == ["50", "40", "5", "5"]


def test_a_rare_outcome_keeps_its_digits() -> None:
    assert [hundred(one) for one in (0.005, 0.0125, 1.0, 0.0)] == ["0.5", "1.25", "100", "0"]


def test_lines_far_from_a_change_are_left_out() -> None:
    old = [str(n) for n in range(30)]
    new = [*old[:5], "five", *old[6:25], *old[26:]]
    found = line_changes("\n".join(old), "\n".join(new))
    assert found is not None
    said = [
        "  3",
        "  4",
        "− 5",
        "+ five",
        "  6",
        "  7",
        "… ",
        "  23",
        "  24",
        "− 25",
        "  26",
        "  27",
    ]
    assert [f"{one.sign} {one.text}" for one in found] == said


def test_texts_that_are_too_long_are_not_compared() -> None:
    assert line_changes("", "\n" * (MOST_LINES + 1)) is None
    assert line_changes("", "\n" * MOST_LINES) is not None


@given(st.lists(st.sampled_from("abc"), max_size=12), st.lists(st.sampled_from("abc"), max_size=12))
def test_what_was_taken_out_and_put_in_leads_from_one_text_to_the_other(
    old: list[str], new: list[str]
) -> None:
    found = line_changes("\n".join(old), "\n".join(new)) or ()
    taken = sorted(one.text for one in found if one.sign == "−")
    put = sorted(one.text for one in found if one.sign == "+")
    assert sorted([*old, *put]) == sorted([*new, *taken])
    assert (found == ()) == (old == new)
