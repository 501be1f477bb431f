"""Photos as a phone sends them, and their way through an upload."""

from __future__ import annotations

import io
from typing import TYPE_CHECKING, Any
from uuid import uuid4

from PIL import Image

from program.work import WORK
from shared.jobs.runner import run_due
from vehicles.intake.keeping import Subject, append_piece, begin_upload

if TYPE_CHECKING:
    from shared.models import User
    from vehicles.models import Intake, Photo, Upload

WALK = Subject(about="walk_round", key="LF")


def jpeg(tone: int = 120, side: int = 64) -> bytes:
    """Return a gray photo."""
    packed = io.BytesIO()
    Image.new("RGB", (side, side * 3 // 4), (tone, tone, tone)).save(packed, "JPEG")
    return packed.getvalue()


def begun(stay: Intake, by: User, size: int, **fields: Any) -> Upload:
    """Return an upload that nothing has come of yet."""
    defaults: dict[str, Any] = {"client_key": uuid4(), "subject": WALK}
    return begin_upload(intake=stay, by=by, size=size, **defaults | fields)


def sent(stay: Intake, by: User, data: bytes, **fields: Any) -> Upload:
    """Return an upload whose bytes all came; its job is still to run."""
    upload = begun(stay, by, len(data), **fields)
    return append_piece(upload=upload, offset=0, piece=data)


def kept(stay: Intake, by: User, tone: int = 120, **fields: Any) -> Photo:
    """Return a photo that went all the way."""
    upload = sent(stay, by, jpeg(tone), **fields)
    run_due(WORK)
    upload.refresh_from_db()
    if upload.photo is None:
        raise AssertionError(upload.refused_because)
    return upload.photo
