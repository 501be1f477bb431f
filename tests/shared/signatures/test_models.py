from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from shared.audit.models import AppendOnlyError
from shared.signatures.models import Signature
from tests.factories import make_user
from tests.refusals import assert_refused

if TYPE_CHECKING:
    from shared.accounts.models import User

pytestmark = pytest.mark.django_db


def signature(by: User, **fields: object) -> Signature:
    defaults = {
        "program": by.program,
        "act": "approve_plan",
        "kind": "plan",
        "object_id": 7,
        "by": by,
        "role": "coordinator",
        "content_hash": "0" * 64,
    }
    return Signature(**defaults | fields)


def test_two_signatures_for_one_act_differ_in_person() -> None:
    first, second = make_user(), make_user()
    signature(first).save()
    sentence = "The second signature has to be another person's."
    assert_refused(signature(first), "signature_by_another_person", sentence)
    signature(second).save()
    assert Signature.objects.count() == 2


def test_a_signature_in_an_unknown_role_is_refused() -> None:
    sentence = "This role is not known to the program."
    assert_refused(signature(make_user(), role="king"), "signature_role_known", sentence)


def test_a_signature_is_never_taken_back() -> None:
    row = signature(make_user())
    row.save()
    with pytest.raises(AppendOnlyError):
        row.delete()
    assert str(row).startswith("approve_plan by Imke Rasmus")
