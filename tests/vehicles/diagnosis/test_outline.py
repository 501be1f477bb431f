"""A fault model as a person reads it."""

from __future__ import annotations

from tests.vehicles.diagnosis.models import A_FILE
from tests.vehicles.diagnosis.rows import HOT
from vehicles.diagnosis.complaints import load
from vehicles.diagnosis.modelfile import problems, read
from vehicles.diagnosis.outline import START, checks_of


def test_a_check_is_read_with_its_rows_in_a_hundred() -> None:
    level = checks_of(read(A_FILE))[0]
    assert level.heads == ("At its mark", "Low", "Not in sight")
    assert level.rows == (
        ("Sound car", ("90", "8", "2")),
        ("Hose leaks", ("20", "50", "30")),
        ("Head gasket leaks", ("30", "50", "20")),
    )
    assert (level.effort, level.setups) == ("3 minutes", ("engine cold",))
    assert [one.code for one in level.cautions] == ["hot-fluids"]


def test_what_proves_bars_breaks_and_comes_first_is_said() -> None:
    level, bubbles = checks_of(read(A_FILE))
    assert [str(one) for one in level.proofs] == ["“Not in sight” proves Hose leaks."]
    assert [str(one) for one in level.codes] == ["P0128: “Low”."]
    assert bubbles.effort == "20 minutes, $1.50"
    assert [str(one) for one in bubbles.minds] == [
        "After “Coolant level, cold”: Without coolant the engine is not run.",
        "Not once “Coolant level, cold” shows Not in sight: Without coolant the engine is not run.",
        "Not where Head gasket leaks is 90 in 100 or more: It would only warp the head.",
        "Costs $200.00 where it is Head gasket leaks: Heat warps the head.",
    ]


def test_every_check_of_every_shipped_model_is_read() -> None:
    for model in load().values():
        assert [one.check for one in checks_of(model)] == list(model.checks)


def test_the_rows_of_a_check_have_a_figure_for_each_outcome() -> None:
    for one in checks_of(read(HOT)):
        assert {len(figures) for _, figures in one.rows} == {len(one.heads)}


def test_a_new_model_begins_with_places_to_fill_in_and_nothing_else_wrong() -> None:
    filled = START.replace('code = ""', 'code = "new"').replace('system = ""', 'system = "engine"')
    filled = filled.replace('verify = [""]', "verify = []").replace('good = ""', 'good = "Good"')
    filled = filled.replace('bad = ""', 'bad = "Bad"').replace('method = ""', 'method = "Look."')
    for n in range(5):
        filled = filled.replace('title = ""', f'title = "Title {n}"', 1)
    assert problems(filled) == []
    assert len(problems(START)) > 5
