"""A photo from a phone, made safe to keep: upright, small, and nothing left but its dots.

The picture is decoded and written anew, so that position, time, camera, profile, comments and
whatever was hung on the end of the file are gone.

>>> clean_photo(b"<svg/>")
Traceback (most recent call last):
ValueError: This file is not a photo that can be read. JPEG, PNG and WebP can.
>>> clean_photo(b"")
Traceback (most recent call last):
ValueError: The file is empty. Send the photo again.
"""

from __future__ import annotations

import io
import struct
from dataclasses import dataclass
from typing import Final

from PIL import Image, UnidentifiedImageError

MOST_BYTES: Final = 25 * 1000 * 1000
# A JPEG is decoded small; the others only whole, at 4 bytes a dot and several copies.
MOST_MEGAPIXELS: Final = {"JPEG": 50, "PNG": 25, "WEBP": 25}
LONGEST_SIDE: Final = 1600
THUMB_SIDE: Final = 320
_QUALITY: Final = 82  # no difference seen on a screen at this size; own trial
_FORMATS: Final = tuple(MOST_MEGAPIXELS)
_PHONE_BOXES: Final = {b"heic", b"heix", b"hevc", b"heim", b"heis", b"mif1", b"msf1", b"avif"}

_ORIENTATION: Final = 0x0112
# Source: the EXIF standard, JEITA CP-3451, tag Orientation; from memory.
_UPRIGHT: Final = {
    2: Image.Transpose.FLIP_LEFT_RIGHT,
    3: Image.Transpose.ROTATE_180,
    4: Image.Transpose.FLIP_TOP_BOTTOM,
    5: Image.Transpose.TRANSPOSE,
    6: Image.Transpose.ROTATE_270,
    7: Image.Transpose.TRANSVERSE,
    8: Image.Transpose.ROTATE_90,
}
# What Pillow raises on files that are cut off, damaged or made to harm.
_DAMAGE: Final = (
    OSError,
    SyntaxError,
    ValueError,
    EOFError,
    IndexError,
    KeyError,
    TypeError,
    OverflowError,
    ZeroDivisionError,
    struct.error,
    UserWarning,
)


@dataclass(frozen=True, kw_only=True)
class CleanPhoto:
    """A photo as it is kept: two JPEG files and the size of the larger in dots."""

    jpeg: bytes
    thumb: bytes
    width: int
    height: int


def clean_photo(data: bytes) -> CleanPhoto:
    """Return the photo upright, at most 1600 dots long, with a thumbnail of 320, without metadata.

    Of several frames the first is kept; what is transparent becomes white. The size that the file
    claims is looked at before a dot is decoded, and a JPEG is decoded small, so that memory stays
    bounded.

    Raises:
        ValueError: the file is empty, over 25 MB or 50 megapixels (25 as PNG or WebP), none of
            these formats, or cut off; the sentence says which.
    """
    _check_bytes(data)
    photo = _decoded(data)
    thumb = photo.copy()
    thumb.thumbnail((THUMB_SIDE, THUMB_SIDE), Image.Resampling.LANCZOS)
    width, height = photo.size
    return CleanPhoto(jpeg=_jpeg(photo), thumb=_jpeg(thumb), width=width, height=height)


def _check_bytes(data: bytes) -> None:
    if not data:
        raise ValueError("The file is empty. Send the photo again.")
    if len(data) > MOST_BYTES:
        raise ValueError(
            f"The photo has {len(data) / 1_000_000:,.1f} MB; at most "
            f"{MOST_BYTES // 1_000_000} MB can be kept. Send a smaller one."
        )
    if data[4:8] == b"ftyp" and data[8:12] in _PHONE_BOXES:
        raise ValueError(
            "This photo is in a format that can’t be read here (HEIC or AVIF). JPEG, PNG and WebP "
            "can: set the phone’s camera to JPEG, or send a screenshot of the photo."
        )


def _decoded(data: bytes) -> Image.Image:
    """Return the dots alone, upright and small enough."""
    try:
        with Image.open(io.BytesIO(data), formats=_FORMATS) as source:
            _check_pixels(source)
            turn = _UPRIGHT.get(_orientation(source))
            small = _shrunk(source)
    except (Image.DecompressionBombError, Image.DecompressionBombWarning):
        raise ValueError(
            "The photo claims too many dots and is not opened: a JPEG may have 50 megapixels, "
            "PNG and WebP 25. Send a smaller one."
        ) from None
    except UnidentifiedImageError:
        raise ValueError(
            "This file is not a photo that can be read. JPEG, PNG and WebP can."
        ) from None
    except _DAMAGE:
        raise ValueError(
            "The photo is damaged, or only a part of it arrived. Send it again."
        ) from None
    return small if turn is None else small.transpose(turn)


def _check_pixels(source: Image.Image) -> None:
    """Refuse what Pillow would still open: its own limit is higher."""
    kind = "JPEG" if source.format == "MPO" else source.format  # what some phones call theirs
    if source.width * source.height > MOST_MEGAPIXELS[kind or ""] * 1_000_000:
        raise Image.DecompressionBombError


def _orientation(source: Image.Image) -> int:
    """Return how the camera was held, 1 to 8; upright where the note can't be read."""
    try:
        return int(source.getexif().get(_ORIENTATION, 1))
    except _DAMAGE:
        return 1


def _shrunk(source: Image.Image) -> Image.Image:
    """Return the first frame on white, in plain colors, with nothing of the file's notes."""
    size = _fitted(*source.size)
    source.draft(source.mode, size)
    source.load()
    clear = source.has_transparency_data
    image: Image.Image = source
    if clear or source.mode not in {"RGB", "L", "CMYK"}:
        image = source.convert("RGBA" if clear else "RGB")
    if image.size != size:
        image = image.resize(size, Image.Resampling.LANCZOS, reducing_gap=3.0)
    plain = Image.new("RGB", size, "white")
    plain.paste(image.convert("RGB"), mask=image.getchannel("A") if clear else None)
    return plain


def _fitted(width: int, height: int) -> tuple[int, int]:
    """Return the size at which the longest side is short enough; never enlarged."""
    scale = min(1.0, LONGEST_SIDE / max(width, height))
    return max(1, round(width * scale)), max(1, round(height * scale))


def _jpeg(image: Image.Image) -> bytes:
    out = io.BytesIO()
    image.save(out, "JPEG", quality=_QUALITY, optimize=True)
    return out.getvalue()
