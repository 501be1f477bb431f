"""Sending photos in pieces, and who sees them.

The header names and answers follow the IETF draft “Resumable Uploads for HTTP”
(draft-ietf-httpbis-resumable-upload), from memory: 201 with Location, 204 with Upload-Offset, 409
for a wrong offset, `application/partial-upload` for a piece.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any
from uuid import UUID, uuid4

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client
from django.urls import reverse

from program.work import WORK
from shared.accounts.roles import RoleKind
from shared.jobs.runner import run_due
from tests.factories import make_intake, make_program, make_user
from tests.vehicles.intake.shots import begun, jpeg, kept, sent
from tests.vehicles.pages import sign_in, words
from vehicles.intake.images import clean_photo
from vehicles.models import Intake, Photo, Upload

if TYPE_CHECKING:
    from shared.models import User

pytestmark = pytest.mark.django_db
PHOTO = jpeg()
HALF = len(PHOTO) // 2


@pytest.fixture
def stay() -> Intake:
    return make_intake()


@pytest.fixture
def technician(client: Client, stay: Intake) -> User:
    return sign_in(client)


def page(name: str, stay: Intake, *args: Any) -> str:
    return reverse(f"intake:{name}", args=[stay.pk, *args])


def begin(client: Client, stay: Intake, key: UUID | None = None, **fields: Any) -> Any:
    about = {"about": "walk_round", "key": "LF", "size": len(PHOTO), "client_key": key or uuid4()}
    return client.post(page("begin_upload", stay), about | fields)


def patch(client: Client, where: str, offset: object, piece: bytes, **headers: str) -> Any:
    kind = headers.pop("kind", "application/partial-upload")
    return client.patch(where, piece, content_type=kind, headers={"Upload-Offset": str(offset)})


def test_a_photo_goes_on_where_the_connection_broke(
    client: Client, stay: Intake, technician: User
) -> None:
    answer = begin(client, stay)
    where = answer.headers["Location"]
    assert (answer.status_code, answer.headers["Upload-Offset"]) == (201, "0")
    assert patch(client, where, 0, PHOTO[:HALF]).status_code == 204
    known = client.head(where)
    assert (known.status_code, known.headers["Upload-Offset"]) == (204, str(HALF))
    assert known.headers["Upload-Complete"] == "?0"
    last = patch(client, where, HALF, PHOTO[HALF:])
    assert (last.status_code, last.headers["Upload-Complete"]) == (204, "?1")
    assert client.get(where).status_code == 202
    run_due(WORK)
    photo = Photo.objects.get()
    assert client.get(where).status_code == 200
    assert f"{page('photo_file', stay, photo.pk)}?size=thumb" in client.get(where).json()["html"]


def test_a_wrong_offset_is_answered_with_the_right_one(
    client: Client, stay: Intake, technician: User
) -> None:
    where = begin(client, stay).headers["Location"]
    patch(client, where, 0, PHOTO[:HALF])
    answer = patch(client, where, 0, PHOTO[:HALF])
    assert (answer.status_code, answer.headers["Upload-Offset"]) == (409, str(HALF))


PARTIAL = "application/partial-upload"
NO_PIECES = {
    "elsewhere": ("-1", b"x", PARTIAL, 400, "Upload-Offset says where a piece begins."),
    "of another kind": ("0", b"x", "image/jpeg", 415, f"A piece is sent as {PARTIAL}."),
    "too large": ("0", b"x" * (1024**2 + 1), PARTIAL, 413, "A piece holds 1 MB at most."),
    "more than announced": (
        "0",
        b"x" * 2000,
        PARTIAL,
        422,
        "More came than the 10 bytes announced. Choose the photo again.",
    ),
}


@pytest.mark.parametrize("case", NO_PIECES)
def test_what_is_no_piece_of_the_photo_is_refused(
    client: Client, stay: Intake, technician: User, case: str
) -> None:
    offset, piece, kind, status, sentence = NO_PIECES[case]
    where = begin(client, stay, size=10).headers["Location"]
    answer = patch(client, where, offset, piece, kind=kind)
    assert (answer.status_code, answer.content.decode()) == (status, sentence)
    assert Upload.objects.get().received == 0


def test_beginning_twice_with_one_key_begins_once(
    client: Client, stay: Intake, technician: User
) -> None:
    key = uuid4()
    where = begin(client, stay, key).headers["Location"]
    patch(client, where, 0, PHOTO[:HALF])
    again = begin(client, stay, key)
    assert (again.headers["Location"], again.headers["Upload-Offset"]) == (where, str(HALF))


def test_too_large_a_photo_is_refused_before_it_is_sent(
    client: Client, stay: Intake, technician: User
) -> None:
    answer = begin(client, stay, size=30_000_000)
    sentence = "A file of 30.0 MB is none to keep. Send a photo of up to 25 MB."
    assert (answer.status_code, answer.content.decode()) == (422, sentence)
    assert begin(client, stay, about="weather").status_code == 422


def test_a_refused_photo_says_why(client: Client, stay: Intake, technician: User) -> None:
    upload = sent(stay, technician, b"<svg/>")
    run_due(WORK)
    answer = client.get(page("upload", stay, upload.client_key))
    assert answer.status_code == 422
    assert answer.content.decode().startswith("This file is not a photo that can be read.")
    assert "Not kept" in words(client.get(page("photo_list", stay)))


def test_nobody_goes_on_with_the_photo_of_another(
    client: Client, stay: Intake, technician: User
) -> None:
    upload = begun(stay, make_user(RoleKind.TECHNICIAN), 10)
    where = page("upload", stay, upload.client_key)
    assert client.head(where).status_code == 404
    assert patch(client, where, 0, b"x").status_code == 404


def test_a_piece_needs_the_token_of_the_form(stay: Intake) -> None:
    careful = Client(enforce_csrf_checks=True)
    upload = begun(stay, sign_in(careful), 10)
    answer = patch(careful, page("upload", stay, upload.client_key), 0, b"x")
    assert (answer.status_code, Upload.objects.get().received) == (403, 0)


def sheet(*tones: int) -> dict[str, Any]:
    files = [SimpleUploadedFile("photo.jpg", jpeg(tone)) for tone in tones]
    return {"about": "contents", "key": "row-1", "photos": files}


def test_without_script_a_form_sends_several(
    client: Client, stay: Intake, technician: User
) -> None:
    answer = client.post(page("photo_list", stay), sheet(10, 20), follow=True)
    assert "Two are being sent or prepared." in words(answer)
    run_due(WORK)
    assert list(Photo.objects.values_list("about", "key")) == [("contents", "row-1")] * 2


@pytest.mark.parametrize(
    ("tones", "sentence"),
    [((), "Photos: an answer is missing."), (range(11), "11 files came at once. Send up to 10.")],
)
def test_without_script_a_form_is_bounded(
    client: Client, stay: Intake, technician: User, tones: range, sentence: str
) -> None:
    answer = client.post(page("photo_list", stay), sheet(*tones))
    assert (answer.status_code, Upload.objects.count()) == (422, 0)
    assert sentence in words(answer)


def test_a_photo_is_private_to_those_who_may_see_the_car(
    client: Client, stay: Intake, technician: User
) -> None:
    photo = kept(stay, technician)
    answer = client.get(page("photo_file", stay, photo.pk))
    assert answer.content == clean_photo(jpeg()).jpeg
    assert answer.headers["Content-Type"] == "image/jpeg"
    assert answer.headers["X-Content-Type-Options"] == "nosniff"
    assert answer.headers["Cache-Control"] == "private, max-age=3600"
    assert answer.headers["Content-Disposition"] == f'inline; filename="photo-{photo.pk}.jpg"'
    thumb = client.get(page("photo_file", stay, photo.pk), {"size": "thumb"})
    assert thumb.content == clean_photo(jpeg()).thumb


def test_the_photos_of_a_withheld_car_are_not_found(
    client: Client, stay: Intake, technician: User
) -> None:
    photo, upload = kept(stay, technician), begun(stay, technician, 10)
    stay.vehicle.withheld_from.add(technician)
    for name, args in (
        ("photo_list", []),
        ("photo_page", [photo.pk]),
        ("photo_file", [photo.pk]),
        ("upload", [upload.client_key]),
    ):
        assert client.get(page(name, stay, *args)).status_code == 404
    assert client.post(page("void_photo", stay, photo.pk), {"because": "x"}).status_code == 404
    assert begin(client, stay).status_code == 404


def test_others_see_no_photos(client: Client, stay: Intake) -> None:
    photo = kept(stay, make_user(RoleKind.TECHNICIAN))
    where = page("photo_file", stay, photo.pk)
    assert client.get(where).status_code == 302
    sign_in(client, RoleKind.SPONSOR)
    assert client.get(where).status_code == 403
    stranger = make_user(RoleKind.TECHNICIAN, program=make_program(name="Weir Street Garage"))
    client.force_login(stranger, "django.contrib.auth.backends.ModelBackend")
    assert client.get(where).status_code == 404


def test_a_photo_is_not_found_below_another_stay(
    client: Client, stay: Intake, technician: User
) -> None:
    photo = kept(stay, technician)
    assert client.get(page("photo_file", make_intake(), photo.pk)).status_code == 404
    too_large = page("photo_file", stay, photo.pk).replace(f"/{stay.pk}/", f"/{'9' * 23}/", 1)
    assert client.get(too_large).status_code == 404


def test_a_photo_page_leads_to_its_neighbors(
    client: Client, stay: Intake, technician: User
) -> None:
    first, second, third = (kept(stay, technician, tone) for tone in (10, 20, 30))
    text = client.get(page("photo_page", stay, second.pk)).content.decode()
    assert page("photo_page", stay, first.pk) in text
    assert page("photo_page", stay, third.pk) in text
    assert "The next photo" not in words(client.get(page("photo_page", stay, third.pk)))


def test_a_caption_is_kept(client: Client, stay: Intake, technician: User) -> None:
    photo = kept(stay, technician)
    where = page("photo_page", stay, photo.pk)
    answer = client.post(where, {"caption": "Dent in the fender"}, follow=True)
    assert words(answer).startswith("Recorded: the caption.")
    assert "Dent in the fender" in words(answer)
    assert client.post(where, {"caption": "x" * 121}).status_code == 422


def test_a_photo_is_taken_away_with_a_reason(
    client: Client, stay: Intake, technician: User
) -> None:
    photo = kept(stay, technician)
    where = page("void_photo", stay, photo.pk)
    refused = client.post(where, {"because": ""})
    assert (refused.status_code, Photo.objects.kept().count()) == (422, 1)
    client.post(where, {"because": "Shows a face"})
    assert "Shows a face. The file is deleted." in words(
        client.get(page("photo_page", stay, photo.pk))
    )
    assert client.get(page("photo_file", stay, photo.pk)).status_code == 404
    assert client.post(where, {"because": "Again"}).status_code == 422


def test_a_photo_whose_file_is_gone_is_not_found(
    client: Client, stay: Intake, technician: User
) -> None:
    photo = kept(stay, technician)
    Photo.objects.filter(pk=photo.pk).update(name="00/gone.jpg")
    assert client.get(page("photo_file", stay, photo.pk)).status_code == 404


def test_an_upload_whose_photo_was_taken_away_shows_none(
    client: Client, stay: Intake, technician: User
) -> None:
    photo = kept(stay, technician)
    client.post(page("void_photo", stay, photo.pk), {"because": "Shows a face"})
    answer = client.get(page("upload", stay, photo.upload.client_key))
    assert (answer.status_code, answer.content.decode()) == (422, "This photo was taken away.")
