"""Photos made here, with what phones and ill will put into them, and what is left of it."""

from __future__ import annotations

import io
import random
import struct
import zlib

import pytest
from hypothesis import given
from hypothesis import strategies as st
from PIL import Image, ImageCms, PngImagePlugin

from vehicles.intake.images import clean_photo

GPS, ORIENTATION, MAKER = 0x8825, 0x0112, 0x010F  # tags of the EXIF standard; from memory
RED, BLUE = (254, 0, 0), (0, 0, 254)
NO_PHOTO = "This file is not a photo that can be read. JPEG, PNG and WebP can."
DAMAGED = "The photo is damaged, or only a part of it arrived. Send it again."
TOO_LARGE = (
    "The photo claims too many dots and is not opened: a JPEG may have 50 megapixels, "
    "PNG and WebP 25. Send a smaller one."
)


def encoded(image: Image.Image, kind: str = "JPEG", **options: object) -> bytes:
    out = io.BytesIO()
    image.save(out, kind, **options)
    return out.getvalue()


def opened(data: bytes) -> Image.Image:
    return Image.open(io.BytesIO(data))


def near(image: Image.Image, at: tuple[int, int], color: tuple[int, int, int]) -> bool:
    seen = image.convert("RGB").getpixel(at)
    assert isinstance(seen, tuple)
    return all(abs(one - other) < 16 for one, other in zip(seen, color, strict=True))


def corner(size: tuple[int, int] = (320, 160)) -> Image.Image:
    """Return a blue picture whose upper left quarter is red."""
    image = Image.new("RGB", size, BLUE)
    image.paste(RED, (0, 0, size[0] // 2, size[1] // 2))
    return image


def refusal(data: bytes) -> str:
    with pytest.raises(ValueError, match=r".") as caught:
        clean_photo(data)
    return str(caught.value)


def png(width: int, height: int) -> bytes:
    """Return a small file that claims a size."""

    def chunk(kind: bytes, data: bytes) -> bytes:
        check = struct.pack(">I", zlib.crc32(kind + data))
        return struct.pack(">I", len(data)) + kind + data + check

    head = struct.pack(">IIBBBBB", width, height, 8, 2, 0, 0, 0)
    body = chunk(b"IHDR", head) + chunk(b"IDAT", zlib.compress(b"\0" * 999)) + chunk(b"IEND", b"")
    return b"\x89PNG\r\n\x1a\n" + body


def test_a_large_photo_becomes_small_with_a_thumbnail() -> None:
    photo = clean_photo(encoded(corner((4000, 3000))))
    assert (photo.width, photo.height) == opened(photo.jpeg).size == (1600, 1200)
    assert opened(photo.thumb).size == (320, 240)
    assert {opened(photo.jpeg).format, opened(photo.thumb).format} == {"JPEG"}


def test_a_small_photo_is_never_enlarged() -> None:
    photo = clean_photo(encoded(corner((40, 30))))
    assert opened(photo.jpeg).size == opened(photo.thumb).size == (40, 30)


def test_the_same_photo_gives_the_same_bytes() -> None:
    data = encoded(corner())
    assert clean_photo(data) == clean_photo(data)


def test_no_note_of_the_file_is_kept() -> None:
    notes = Image.Exif()
    notes[MAKER] = "Osier Phone"
    notes.get_ifd(GPS).update({1: "N", 2: (40.0, 26.0, 46.0), 3: "W", 4: (79.0, 58.0, 56.0)})
    profile = ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes()
    data = encoded(
        corner(), exif=notes, icc_profile=profile, comment=b"by hand", xmp=b"<x:xmpmeta/>"
    )
    assert opened(data).getexif().get_ifd(GPS)[1] == "N"
    photo = clean_photo(data)
    for kept in (photo.jpeg, photo.thumb):
        assert dict(opened(kept).getexif()) == {}
        assert set(opened(kept).info) == {"jfif", "jfif_version", "jfif_unit", "jfif_density"}
        assert [word for word in (b"Osier", b"xmp", b"by hand", b"Exif") if word in kept] == []


def test_the_text_of_a_png_is_not_kept() -> None:
    notes = PngImagePlugin.PngInfo()
    notes.add_text("Location", "17 Osier Street")
    data = encoded(corner(), "PNG", pnginfo=notes)
    assert b"Osier" in data
    assert b"Osier" not in clean_photo(data).jpeg


@pytest.mark.parametrize("turn", range(1, 9))
def test_a_photo_taken_in_any_position_stands_upright(turn: int) -> None:
    # EXIF, tag Orientation: where row 0 and column 0 of the stored dots are seen; from memory.
    upright = corner((320, 160))
    stored = {
        1: [],
        2: [Image.Transpose.FLIP_LEFT_RIGHT],
        3: [Image.Transpose.ROTATE_180],
        4: [Image.Transpose.FLIP_TOP_BOTTOM],
        5: [Image.Transpose.TRANSPOSE],
        6: [Image.Transpose.ROTATE_90],
        7: [Image.Transpose.TRANSVERSE],
        8: [Image.Transpose.ROTATE_270],
    }[turn]
    held = upright
    for step in stored:
        held = held.transpose(step)
    note = Image.Exif()
    note[ORIENTATION] = turn
    seen = opened(clean_photo(encoded(held, quality=95, exif=note)).jpeg)
    assert seen.size == (320, 160)
    assert near(seen, (40, 40), RED)
    assert near(seen, (280, 40), BLUE)
    assert near(seen, (40, 120), BLUE)


def test_a_senseless_position_is_passed_over() -> None:
    note = Image.Exif()
    note[ORIENTATION] = 77
    assert near(opened(clean_photo(encoded(corner(), exif=note)).jpeg), (40, 40), RED)


@pytest.mark.parametrize("kind", ["JPEG", "PNG", "WEBP"])
def test_each_format_of_phones_is_read(kind: str) -> None:
    assert near(opened(clean_photo(encoded(corner(), kind)).jpeg), (40, 40), RED)


@pytest.mark.parametrize("mode", ["L", "1", "LA", "CMYK", "P", "RGBA", "I;16"])
def test_each_mode_becomes_plain_colors(mode: str) -> None:
    kind = "JPEG" if mode == "CMYK" else "PNG"
    picture = Image.new(mode, (64, 48)) if mode == "I;16" else corner((64, 48)).convert(mode)
    seen = opened(clean_photo(encoded(picture, kind)).jpeg)
    assert (seen.mode, seen.size) == ("RGB", (64, 48))


def test_what_is_transparent_becomes_white() -> None:
    picture = corner((64, 48)).convert("P")
    red = picture.getpixel((4, 4))
    seen = opened(clean_photo(encoded(picture, "PNG", transparency=red)).jpeg)
    assert near(seen, (8, 8), (255, 255, 255))
    assert near(seen, (60, 40), BLUE)


def test_of_moving_pictures_the_first_is_kept() -> None:
    frames = [Image.new("RGB", (64, 48), BLUE)]
    data = encoded(corner((64, 48)), "WEBP", save_all=True, append_images=frames, lossless=True)
    assert near(opened(clean_photo(data).jpeg), (8, 8), RED)


@pytest.mark.parametrize("size", [(60_000, 60_000), (12_000, 9_000), (5_001, 5_000)])
def test_a_file_that_claims_too_many_dots_is_not_opened(size: tuple[int, int]) -> None:
    assert refusal(png(*size)) == TOO_LARGE


def test_a_jpeg_may_claim_fifty_megapixels_and_no_more() -> None:
    # ITU-T T.81, B.2.2: height and width follow the precision in the frame header; from memory.
    data = encoded(corner((320, 160)))
    claim = data.index(struct.pack(">HH", 160, 320))
    larger = struct.pack(">HH", 8_001, 6_250)
    assert refusal(data[:claim] + larger + data[claim + 4 :]) == TOO_LARGE
    within = struct.pack(">HH", 8_000, 6_250)
    photo = clean_photo(data[:claim] + within + data[claim + 4 :])  # what is missing stays gray
    assert (photo.width, photo.height) == (1250, 1600)


def test_a_phones_jpeg_of_several_pictures_keeps_the_first() -> None:
    second = Image.new("RGB", (64, 48), BLUE)
    data = encoded(corner((64, 48)), "MPO", save_all=True, append_images=[second])
    assert opened(data).format == "MPO"
    assert near(opened(clean_photo(data).jpeg), (8, 8), RED)


def test_a_file_of_too_many_bytes_is_refused_with_its_size() -> None:
    assert refusal(b"\xff\xd8" + b"\0" * 31_400_000) == (
        "The photo has 31.4 MB; at most 25 MB can be kept. Send a smaller one."
    )


@pytest.mark.parametrize("kind", ["JPEG", "PNG", "WEBP"])
@pytest.mark.parametrize("share", [0.3, 0.6, 0.95])
def test_a_photo_cut_off_is_refused(kind: str, share: float) -> None:
    data = encoded(Image.effect_noise((400, 300), 90).convert("RGB"), kind)
    assert refusal(data[: int(len(data) * share)]) == DAMAGED


@pytest.mark.parametrize(
    "data",
    [
        b"<html><script>alert(1)</script></html>",
        b'<svg xmlns="http://www.w3.org/2000/svg" onload="alert(1)"/>',
        b"PK\x03\x04" + bytes(400),
        b"MZ\x90\x00" + bytes(400),
        b"%PDF-1.7\n" + bytes(400),
        b"a text of some length, named photo.jpg",
        encoded(corner(), "GIF"),
        encoded(corner(), "TIFF"),
        encoded(corner(), "BMP"),
    ],
    ids=["html", "svg", "zip", "exe", "pdf", "text", "gif", "tiff", "bmp"],
)
def test_a_file_that_only_calls_itself_a_photo_is_refused(data: bytes) -> None:
    assert refusal(data) == NO_PHOTO


@pytest.mark.parametrize("brand", [b"heic", b"mif1", b"avif"])
def test_the_format_of_some_phones_is_refused_with_what_to_do(brand: bytes) -> None:
    # ISO/IEC 14496-12: the brand follows the word ftyp; from memory.
    assert refusal(b"\0\0\0\x18ftyp" + brand + bytes(200)) == (
        "This photo is in a format that can’t be read here (HEIC or AVIF). JPEG, PNG and WebP "
        "can: set the phone’s camera to JPEG, or send a screenshot of the photo."
    )


def test_an_empty_file_is_refused() -> None:
    assert refusal(b"") == "The file is empty. Send the photo again."


def test_what_hangs_on_the_end_of_a_photo_is_not_kept() -> None:
    data = encoded(corner()) + b"PK\x03\x04<script>alert(1)</script>"
    photo = clean_photo(data)
    assert b"script" not in photo.jpeg + photo.thumb
    assert photo.jpeg.endswith(b"\xff\xd9")


def test_every_refusal_fits_the_row_that_keeps_it() -> None:
    texts = [refusal(b"\0\0\0\x18ftypheic"), refusal(png(9_000, 9_000)), NO_PHOTO, DAMAGED]
    assert max(map(len, texts)) <= 200


@given(st.sampled_from(["JPEG", "PNG", "WEBP"]), st.integers(0, 10**6))
def test_a_photo_with_wrong_bytes_is_cleaned_or_refused_in_a_sentence(kind: str, seed: int) -> None:
    chance = random.Random(seed)
    data = bytearray(encoded(corner((48, 32)), kind))
    for _ in range(chance.randint(1, 9)):
        data[chance.randrange(len(data))] = chance.randrange(256)
    try:
        photo = clean_photo(bytes(data))
    except ValueError as stopped:
        said = str(stopped)
    else:
        said = "" if opened(photo.jpeg).size == (photo.width, photo.height) else "another size"
    assert said in {"", NO_PHOTO, DAMAGED, TOO_LARGE}
