"""The texts of fault models that a program holds."""

from __future__ import annotations

from typing import Any

import pytest
from django.core.exceptions import ValidationError

from shared.accounts.roles import RoleKind
from tests.factories import make_program, make_user
from tests.vehicles.diagnosis.rows import HOT
from vehicles.diagnosis.complaints import text_of
from vehicles.diagnosis.keeping import save_model, use_shipped
from vehicles.diagnosis.kinds import Origin
from vehicles.diagnosis.queries import text_in_use
from vehicles.models import KeptModel

pytestmark = pytest.mark.django_db

HEAD = (
    HOT[: HOT.index("[faults.fan]")]
    .replace('causes = "one"', 'causes = "several"')
    .replace("unlisted = 0.05\n", "")
)
FAULT = """
[faults.f{n}]
title = "Fault {n}"
system = "cooling"
weight = 0.1
repair = {{ minutes = 60 }}
"""
CHECK = (
    """
[checks.c{n}]
title = "Check {n}"
method = "Look."
minutes = 5
outcomes = {{ good = "Good", bad = "Bad" }}
sound = [0.9, 0.1]
[checks.c{n}.given]
"""
    + "\n".join(f"f{fault} = [0.1, 0.9]" for fault in range(25))
    + "\n"
)


def save(**fields: Any) -> KeptModel:
    defaults: dict[str, Any] = {
        "program": make_program(),
        "complaint": "hot",
        "text": HOT,
        "because": "Ours",
        "seen_number": 0,
        "by": make_user(RoleKind.LEAD_TECHNICIAN),
    }
    return save_model(**defaults | fields)


def refused(**fields: Any) -> list[str]:
    before = list(KeptModel.objects.values())
    with pytest.raises(ValidationError) as refusal:
        save(**fields)
    assert list(KeptModel.objects.values()) == before
    return refusal.value.messages


def test_a_text_of_its_own_stands_in_place_of_the_shipped_one() -> None:
    own = text_of("overheats") + "\n# Ours\n"
    row = save(complaint="overheats", text=own)
    assert (row.number, row.origin, row.in_use) == (1, "own", True)
    assert text_in_use(row.program, "overheats") == (own, row)


def test_each_change_is_a_new_row_and_one_is_in_use() -> None:
    save()
    second = save(text=HOT + "\n# Again\n", seen_number=1, origin=Origin.IMPORTED)
    rows = KeptModel.objects.order_by("number").values_list("number", "in_use", "origin")
    assert list(rows) == [(1, False, "own"), (2, True, "imported")]
    assert second.because == "Ours"


@pytest.mark.parametrize(
    ("fields", "said"),
    [
        ({"because": " "}, "Say why the fault model changes."),
        (
            {"complaint": "overheats"},
            "This text is of “hot”, and the page of “overheats”.",
        ),
        (
            {"text": HOT.replace("0.40", "0.60", 1)},
            None,
        ),
        ({"seen_number": 3}, "Somebody else changed this fault model meanwhile. Look, then save."),
    ],
)
def test_what_can_not_be_saved_changes_nothing(fields: dict[str, Any], said: str | None) -> None:
    found = refused(**fields)
    assert found[0] == said if said else "sum to" in found[0]


def test_a_text_that_a_page_could_not_compute_in_time_is_refused() -> None:
    dense = HEAD + "".join(
        [
            *(FAULT.format(n=n) for n in range(25)),
            *(CHECK.format(n=n) for n in range(30)),
        ]
    )
    (sentence,) = refused(text=dense)
    assert sentence.startswith("Its checks tell of so many faults each that a page could take")


def test_saving_what_stands_already_is_refused() -> None:
    save()
    assert refused(seen_number=1, text=HOT.replace("\n", "\r\n")) == ["Nothing was changed."]


def test_going_back_to_the_shipped_text_keeps_the_history() -> None:
    row = save(complaint="overheats", text=text_of("overheats") + "\n# Ours\n")
    with pytest.raises(ValidationError) as refusal:
        use_shipped(program=row.program, complaint="overheats", because="", by=row.by)
    assert refusal.value.message_dict == {
        "because": ["Say why the shipped fault model is used again."]
    }
    for _ in "ab":
        use_shipped(program=row.program, complaint="overheats", because="Tried it", by=row.by)
    assert text_in_use(row.program, "overheats") == (text_of("overheats"), None)
    assert KeptModel.objects.count() == 1


def test_a_complaint_of_its_own_has_no_shipped_text_to_go_back_to() -> None:
    row = save()
    with pytest.raises(ValidationError, match="No fault model “hot” is shipped"):
        use_shipped(program=row.program, complaint="hot", because="Tried it", by=row.by)
