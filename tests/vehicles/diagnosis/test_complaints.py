from __future__ import annotations

import pytest

from tests.vehicles.diagnosis.models import A_FILE
from vehicles.diagnosis.complaints import load, paths, text_of
from vehicles.diagnosis.inference import is_quick
from vehicles.diagnosis.modelfile import problems
from vehicles.diagnosis.problem import line_of
from vehicles.inspection.wording import spanish

MINE = A_FILE.replace('"hot"', '"no-crank"').replace('"Engine runs hot"', '"Dead as a stone"')


@pytest.mark.parametrize("path", paths(), ids=lambda path: str(path.stem))
def test_a_shipped_model_has_no_mistake(path: object) -> None:
    name = getattr(path, "stem", "")
    assert [line_of(one) for one in problems(text_of(name), name=name, shipped=True)] == []


def test_each_file_is_a_complaint_in_the_order_of_titles() -> None:
    titles = [one.title.casefold() for one in load().values()]
    assert sorted(load()) == [path.stem for path in paths()]
    assert titles == sorted(titles)


def test_each_fault_of_a_shipped_model_has_a_name_in_spanish() -> None:
    titles = {one.title for model in load().values() for one in model.faults}
    assert sorted(titles - set(spanish())) == []


def test_a_page_of_each_shipped_model_answers_soon_whatever_is_seen() -> None:
    assert [code for code, model in load().items() if not is_quick(model)] == []


def test_a_program_has_its_own_version_of_a_complaint() -> None:
    found = load({"no-crank": MINE})
    assert found["no-crank"].title == "Dead as a stone"
    assert load()["no-crank"].title == "Engine won’t crank"
    assert len(found) == len(load())


def test_a_program_may_have_a_complaint_more() -> None:
    assert set(load({"hot": A_FILE})) - set(load()) == {"hot"}


def test_a_model_is_parsed_once() -> None:
    assert load({"hot": A_FILE})["hot"] is load({"hot": A_FILE})["hot"]
    assert load()["no-crank"] is load()["no-crank"]


def test_an_own_model_with_a_mistake_is_refused_by_its_complaint() -> None:
    with pytest.raises(ValueError, match="can’t be read") as refused:
        load({"no-crank": A_FILE})
    assert str(refused.value).splitlines() == [
        "The program’s own model “no-crank” can’t be read.",
        "code: The file is named “no-crank”.",
    ]


def test_a_complaint_that_is_not_shipped_has_no_text() -> None:
    with pytest.raises(ValueError, match=r"^No fault model “hot” is shipped\.$"):
        text_of("hot")
