from __future__ import annotations

import pytest
from django.core.exceptions import ValidationError

from shared.policy.defaults import DEFAULTS
from shared.policy.models import Policy
from tests.factories import TODAY, make_program, make_user
from tests.refusals import assert_refused

pytestmark = pytest.mark.django_db

KNOWN = min(DEFAULTS)


def policy(**fields: object) -> Policy:
    user = make_user()
    defaults = {
        "program": user.program,
        "name": KNOWN,
        "value": 3,
        "since_on": TODAY,
        "reason": "The board decided so.",
        "by": user,
    }
    return Policy(**defaults | fields)


def test_a_policy_is_set_once_for_a_day() -> None:
    policy().save()
    assert_refused(policy(), "policy_once_a_day", "This policy was set for that day already.")


def test_a_policy_that_nothing_reads_is_refused() -> None:
    with pytest.raises(ValidationError) as refusal:
        policy(name="lucky_number").full_clean()
    assert refusal.value.messages == [
        f"“lucky_number” is not a policy. Use one of: {', '.join(DEFAULTS)}."
    ]


def test_the_newest_policy_that_has_begun_holds() -> None:
    program = make_program()
    old, new = policy(value=1), policy(value=2, since_on=TODAY.replace(day=29))
    new.save()
    old.save()
    in_force = Policy.objects.in_force(program, TODAY)
    assert [row.value for row in in_force] == [2, 1]
