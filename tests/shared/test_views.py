"""The answer to a bug: a number for the person, the same number in the log, no private link."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from django.urls import ResolverMatch

from shared.views import server_error

if TYPE_CHECKING:
    import pytest
    from django.test import RequestFactory


def test_the_number_on_the_page_is_in_the_log(
    rf: RequestFactory, caplog: pytest.LogCaptureFixture
) -> None:
    request = rf.get("/status/3f2c-a-private-link/")
    request.resolver_match = ResolverMatch(server_error, (), {}, "car", namespaces=["status"])
    response = server_error(request)
    number = re.search(r'<b class="code">([0-9a-f]{8})</b>', response.content.decode())
    assert response.status_code == 500
    assert number is not None
    assert caplog.messages == [f"Error {number[1]} on status:car"]
    assert "private-link" not in caplog.text


def test_a_bug_before_any_page_was_found_is_answered_too(rf: RequestFactory) -> None:
    assert server_error(rf.get("/")).status_code == 500
