"""Pages of fault models: sending them to another program, and taking those of one."""

from __future__ import annotations

import io
import zipfile
from typing import TYPE_CHECKING, Any

import pytest
from django.core import signing
from django.core.files.uploadedfile import SimpleUploadedFile

from shared.accounts.roles import RoleKind
from tests.factories import make_program
from tests.vehicles.diagnosis.rows import HOT
from tests.vehicles.diagnosis.test_library import CHANGED, STALLS, save, url
from tests.vehicles.pages import sign_in, words
from vehicles.diagnosis.archive import MANIFEST, MOST_UPLOAD_BYTES, packed
from vehicles.diagnosis.complaints import load
from vehicles.diagnosis.library import SALT
from vehicles.models import KeptModel

if TYPE_CHECKING:
    from django.test import Client

pytestmark = pytest.mark.django_db
TAKE = url("take_models")


def send(client: Client, content: bytes | str, name: str = "all.zip") -> Any:
    raw = content.encode() if isinstance(content, str) else content
    return client.post(TAKE, {"file": SimpleUploadedFile(name, raw)})


def office(client: Client) -> None:
    sign_in(client, RoleKind.COORDINATOR)


def parcel_of(response: Any) -> str:
    parcel: str = response.context["take"].initial["parcel"]
    return parcel


def test_one_text_is_sent_under_a_safe_name(client: Client) -> None:
    save()
    sign_in(client)
    response = client.get(url("model_file", "stalls"))
    assert response.content.decode() == CHANGED
    assert response["Content-Type"] == "text/plain; charset=utf-8"
    assert response["Content-Disposition"] == 'attachment; filename="stalls-2026.1.toml"'


def test_all_in_force_are_sent_as_a_zip(client: Client) -> None:
    save()
    save("hot", HOT)
    sign_in(client)
    response = client.get(url("all_models"))
    assert response["Content-Disposition"] == 'attachment; filename="fault-models.zip"'
    with zipfile.ZipFile(io.BytesIO(response.content)) as bundle:
        assert len(bundle.namelist()) == len(load()) + 2
        assert bundle.read("hot-1.toml").decode() == HOT
        assert bundle.read("stalls-2026.1.toml").decode() == CHANGED
        assert MANIFEST in bundle.namelist()


def test_what_one_program_sends_another_takes_over(client: Client) -> None:
    save("hot", HOT)
    sign_in(client)
    sent = client.get(url("all_models")).content
    KeptModel.objects.all().delete()
    office(client)
    shown = send(client, sent)
    assert shown.status_code == 200
    assert "Runs hot new version 1" in words(shown)
    assert words(shown).count("the same as here") == len(load())
    assert not KeptModel.objects.exists()
    taken = {"parcel": parcel_of(shown), "because": "From Harrow Lane"}
    response = client.post(TAKE, taken, follow=True)
    assert response.redirect_chain == [(url("model_list"), 302)]
    assert "Taken over: Runs hot." in words(response)
    row = KeptModel.objects.get()
    assert (row.text, row.origin, row.because) == (HOT, "imported", "From Harrow Lane")


def test_what_would_change_is_shown_in_numbers_and_lines(client: Client) -> None:
    office(client)
    text = words(send(client, CHANGED, "stalls.toml"))
    assert "Stalls changed version 2026.1" in text
    assert "Specialist 30 min, $450.00 35 min, $450.00" in text
    assert "− minutes = 30 + minutes = 35" in text


def test_windows_files_are_taken_with_a_word_about_it(client: Client) -> None:
    office(client)
    shown = send(client, "\ufeff" + STALLS.replace("\n", "\r\n"), "stalls.toml")
    text = words(shown)
    assert "Its byte order mark or Windows line ends were taken out." in text
    assert "Stalls the same as here" in text
    assert "All of it is in force here already." in text
    assert shown.context["take"] is None


def test_one_file_with_mistakes_holds_all_of_them_back(client: Client) -> None:
    office(client)
    bad = STALLS.replace('system = "engine"', 'system = "motor"', 1)
    shown = send(client, packed({"hot.toml": HOT, "stalls.toml": bad}))
    assert shown.status_code == 422
    text = words(shown)
    assert "stalls.toml 1 mistake" in text
    assert "system: “motor” is not known here." in text
    assert "A file has mistakes, so nothing is taken over." in text
    assert shown.context["take"] is None


@pytest.mark.parametrize(
    ("name", "content", "said"),
    [
        ("a.zip", packed({"a.toml": HOT})[:-30], "This zip can’t be read: it is cut off"),
        ("a.zip", packed({"a.toml": HOT, "b.toml": HOT}), "“hot” is in more than one file."),
        ("a.toml", HOT.encode("utf-16"), "This is UTF-16. Save it as UTF-8."),
        ("a.toml", HOT.encode() + b"# \xe9", "This is not UTF-8"),
        ("a.toml", HOT[: len(HOT) // 2].encode(), "1 mistake"),
        ("a.toml", b"", "This file is empty. Choose it again."),
        ("a.toml", b"#" * 200_001, "The file has more than 200,000 bytes"),
        ("a.zip", b"0" * (MOST_UPLOAD_BYTES + 1), "“a.zip” is larger than 4 MB."),
        ("a.pdf", b"%PDF", "“a.pdf” is no fault model."),
    ],
    ids=lambda one: str(one)[:12] if isinstance(one, str) else "",
)
def test_what_can_not_be_taken_is_said_and_changes_nothing(
    client: Client, name: str, content: bytes, said: str
) -> None:
    office(client)
    response = send(client, content, name)
    assert response.status_code == 422
    assert said in words(response)
    assert response.context["take"] is None
    assert not KeptModel.objects.exists()


def test_taking_over_needs_a_reason_and_keeps_what_was_shown(client: Client) -> None:
    office(client)
    parcel = parcel_of(send(client, HOT, "a.toml"))
    response = client.post(TAKE, {"parcel": parcel, "because": ""})
    assert response.status_code == 422
    assert "Because: an answer is missing." in words(response)
    assert response.context["take"]["parcel"].value() == parcel
    assert client.post(TAKE, {"parcel": parcel, "because": "Now"}).status_code == 302


def test_what_was_changed_here_since_it_was_shown_is_not_overwritten(client: Client) -> None:
    office(client)
    parcel = parcel_of(send(client, packed({"hot.toml": HOT, "stalls.toml": CHANGED})))
    mine = save("stalls", STALLS + "# mine\n")
    response = client.post(TAKE, {"parcel": parcel, "because": "Now"})
    assert response.status_code == 422
    assert "stalls: Somebody else changed this fault model meanwhile." in words(response)
    assert list(KeptModel.objects.all()) == [mine]


@pytest.mark.parametrize("spoil", ["other", "forged", "broken"])
def test_only_what_was_shown_here_is_taken_over(client: Client, spoil: str) -> None:
    office(client)
    given = {"program": make_program().pk, "texts": {"hot": (HOT, 0)}}
    parcels = {
        "other": signing.dumps(given | {"program": 0}, salt=SALT, compress=True),
        "forged": signing.dumps(given, salt="another", compress=True),
        "broken": signing.dumps(given, salt=SALT, compress=True)[:-1],
    }
    response = client.post(TAKE, {"parcel": parcels[spoil], "because": "Now"})
    assert response.status_code == 422
    assert "What was shown can’t be taken over any more. Send the file again." in words(response)
    assert not KeptModel.objects.exists()
