from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile

from tests.factories import make_user

if TYPE_CHECKING:
    from django.test import Client

pytestmark = pytest.mark.django_db

HUGE = "9" * 30


@pytest.mark.parametrize(
    "address",
    [
        # PostgreSQL refuses a NUL in a text, SQLite a number beyond 64 bits.
        *("/cases/%00/", "/week/pin/%00/", "/car/%00/", "/give/%00/", "/give/stop/%00/"),
        *(f"/cars/{HUGE}/", f"/mail/{HUGE}/", f"/week/{HUGE}.pdf", f"/money/entries/{HUGE}/"),
    ],
)
def test_an_address_that_names_nothing_is_a_404(client: Client, address: str) -> None:
    client.force_login(make_user(), "django.contrib.auth.backends.ModelBackend")
    assert client.get(address).status_code == 404


def test_too_many_files_at_once_are_refused_in_a_sentence(client: Client) -> None:
    client.force_login(make_user(), "django.contrib.auth.backends.ModelBackend")
    files = [SimpleUploadedFile(f"{n}.csv", b"ref\n") for n in range(101)]
    response = client.post("/import/", {"sheets": files})
    assert response.status_code == 400
    assert "put the sheets into one zip" in " ".join(response.content.decode().split())
