"""Papers are added and never changed."""

from __future__ import annotations

from typing import Any

import pytest

from program.models import Paper
from shared.audit.models import AppendOnlyError
from tests.factories import make_entry, make_program, make_user
from tests.refusals import assert_refused

pytestmark = pytest.mark.django_db


def make_paper(**fields: Any) -> Paper:
    entry = fields.pop("entry", None) or make_entry()
    defaults: dict[str, Any] = {
        "program": make_program(),
        "entry": entry,
        "name": "Bill 4417 of Quayside Auto Parts",
        "path": "papers/ab/ab.pdf",
        "kind": "application/pdf",
        "size": 40,
        "sha256": "a" * 64,
        "by": make_user(),
    }
    return Paper(**defaults | fields)


def test_a_paper_is_behind_an_entry_once() -> None:
    first = make_paper()
    first.save()
    sentence = "This paper is behind this entry already."
    assert_refused(make_paper(entry=first.entry), "paper_once_an_entry", sentence)


def test_a_paper_is_never_changed_or_deleted() -> None:
    paper = make_paper()
    paper.save()
    paper.name = "Another"
    for change in (paper.save, paper.delete, Paper.objects.all().delete):
        with pytest.raises(AppendOnlyError):
            change()
    assert str(Paper.objects.get()) == "Bill 4417 of Quayside Auto Parts"


def test_a_paper_of_another_program_is_nobodys() -> None:
    make_paper().save()
    stranger = make_user(program=make_program(name="Mill Lane Garage"))
    assert list(Paper.objects.for_user(stranger)) == []
