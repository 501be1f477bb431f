"""A kept text that a later release can't read any more."""

from __future__ import annotations

import pytest

from tests.vehicles.diagnosis.rows import HOT, make_diagnosis
from vehicles.diagnosis.computing import models_of
from vehicles.diagnosis.gathering import (
    UnreadableError,
    is_readable,
    model_behind,
    readable,
    session_of,
)
from vehicles.models import Diagnosis, KeptModel


def spoiled() -> Diagnosis:
    """Return a diagnosis whose text is of a format that is not known any more."""
    row = make_diagnosis()
    KeptModel.objects.filter(pk=row.model_id).update(text=HOT.replace("model 1", "model 0"))
    return Diagnosis.objects.select_related("model", "program").get(pk=row.pk)


def test_only_models_are_readable() -> None:
    assert readable({"hot": HOT, "cold": "?"}) == {"hot": HOT}
    assert (is_readable(HOT), is_readable("?")) == (True, False)


@pytest.mark.django_db
def test_a_diagnosis_says_that_its_text_can_not_be_read() -> None:
    row = spoiled()
    for read in (model_behind, session_of):
        with pytest.raises(UnreadableError) as refusal:
            read(row)
        said = (
            "The fault model of this diagnosis, “Runs hot, 1”, was written for an earlier release"
            " and can’t be read any more. What was recorded stays as it is. End this diagnosis and"
            " begin a new one to go on."
        )
        assert refusal.value.messages == [said]


@pytest.mark.django_db
def test_the_other_texts_of_the_program_stay_in_force() -> None:
    row = spoiled()
    own = HOT.replace('code = "hot"', 'code = "warm"').replace("Runs hot", "Runs warm")
    KeptModel.objects.create(
        program=row.program,
        complaint="warm",
        number=1,
        version="1",
        title="Runs warm",
        text=own,
        origin="own",
        in_use=True,
        by=row.begun_by,
    )
    found = models_of(row.program)
    assert ("warm" in found, "hot" in found, "overheats" in found) == (True, False, True)
