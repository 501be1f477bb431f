"""Setting a policy from today on."""

from __future__ import annotations

from typing import Any

import pytest
from django.core.exceptions import ValidationError

from shared.models import Event
from shared.policy.actions import set_policies
from shared.policy.models import Policy
from shared.policy.queries import policies
from tests.factories import make_program, make_user

pytestmark = pytest.mark.django_db


def refused(values: dict[str, int], because: str = "Vote of the board") -> list[str]:
    before = Policy.objects.count()
    with pytest.raises(ValidationError) as refusal:
        set_policies(program=make_program(), values=values, because=because, by=make_user())
    assert Policy.objects.count() == before
    return refusal.value.messages


def test_a_policy_counts_from_today_on_with_its_reason() -> None:
    program, user = make_program(), make_user()
    rows = set_policies(
        program=program,
        values={"shipped_worth_cars": 50, "learn_from_repairs": 1},
        because=" Vote of November 25 ",
        by=user,
    )
    assert [(row.name, row.value, row.reason) for row in rows] == [
        ("shipped_worth_cars", 50, "Vote of November 25")
    ]
    assert policies(program, program.today())["shipped_worth_cars"] == 50
    line = Event.objects.about("program", program.pk).first()
    assert line is not None
    assert (line.what, line.fields) == ("A policy was set.", ["shipped_worth_cars"])


def test_what_does_not_change_is_refused() -> None:
    assert refused({"shipped_worth_cars": 100}) == ["Nothing was changed."]


def test_a_policy_has_its_reason() -> None:
    assert refused({"shipped_worth_cars": 7}, " ") == ["Say who decided it, and why."]


def test_what_nothing_reads_is_refused() -> None:
    [said] = refused({"lucky_number": 7})
    assert said.startswith("“lucky_number” is not a policy.")


def test_a_policy_is_set_once_a_day() -> None:
    program = make_program()
    fields: dict[str, Any] = {"program": program, "because": "Vote", "by": make_user()}
    set_policies(values={"shipped_worth_cars": 50}, **fields)
    with pytest.raises(ValidationError, match="This policy was set for that day already"):
        set_policies(values={"shipped_worth_cars": 60}, **fields)
