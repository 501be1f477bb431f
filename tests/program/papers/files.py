"""Files as people send them."""

from __future__ import annotations

import io

from django.core.files.uploadedfile import SimpleUploadedFile
from PIL import Image

PDF = b"%PDF-1.7\n1 0 obj\n<<>>\nendobj\ntrailer\n<<>>\n%%EOF\n"
PLACE, MAKER = 0x8825, 0x010F  # tags of the EXIF standard; from memory


def photo(kind: str = "JPEG", **notes: object) -> bytes:
    """Return a small picture of a slip."""
    out = io.BytesIO()
    Image.new("RGB", (60, 80), "white").save(out, kind, **notes)
    return out.getvalue()


def photo_with_notes() -> bytes:
    """Return a picture that says where it was taken, and with what."""
    exif = Image.Exif()
    exif[MAKER] = "Phone of Dana Haskell"
    exif.get_ifd(PLACE)[1] = "N"
    return photo(exif=exif)


def sent(data: bytes, name: str = "scan.pdf") -> SimpleUploadedFile:
    """Return the file as a browser sends it."""
    return SimpleUploadedFile(name, data)
