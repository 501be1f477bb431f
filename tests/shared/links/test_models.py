from __future__ import annotations

from uuid import uuid4

import pytest

from shared.links.models import AccessLink
from shared.links.purposes import LinkPurpose
from tests.factories import make_program
from tests.refusals import assert_refused

pytestmark = pytest.mark.django_db


def link(**fields: object) -> AccessLink:
    defaults = {"program": make_program(), "public_id": uuid4(), "purpose": LinkPurpose.STATUS}
    return AccessLink(**defaults | fields)


def test_a_link_of_an_unknown_purpose_is_refused() -> None:
    sentence = "This purpose is not known to the program."
    assert_refused(link(purpose="spy"), "link_purpose_known", sentence)


def test_versions_count_from_one() -> None:
    assert_refused(link(version=0), "link_version_counts_up", "A link's versions count from 1.")


def test_a_link_is_written_without_its_token() -> None:
    row = link()
    row.save()
    assert str(row) == f"status link {row.pk}"
