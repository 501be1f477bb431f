"""Tokens of private links: a row's id, its version, and a seal over both. Nothing secret is stored.

>>> from uuid import UUID
>>> token = make(UUID(int=7), 1, "a secret")
>>> token
'AAAAAAAAAAAAAAAAAAAABwAAAAE7TLyzqpdKoN1id7TC8aY2'
>>> read(token, "a secret"), read(token, "another secret"), read("nonsense", "a secret")
((UUID('00000000-0000-0000-0000-000000000007'), 1), None, None)
"""

from __future__ import annotations

import base64
import hashlib
import hmac
from uuid import UUID

# The id's 16 bytes, 4 of the version, 16 of the seal: a multiple of three, so that the text has no
# padding and no idle bits, and a token can't be spelled in two ways.
ID_BYTES = 16
VERSION_BYTES = 4
SEAL_BYTES = 16
TOKEN_BYTES = ID_BYTES + VERSION_BYTES + SEAL_BYTES

_PURPOSE = b"handback private link\x00"


def seal(key: bytes, data: bytes) -> bytes:
    """Return the first 128 bits of HMAC-SHA-256.

    Source: RFC 2104, section 5: a cut seal keeps at least half of the hash's length.
    """
    return hmac.new(key, data, hashlib.sha256).digest()[:SEAL_BYTES]


def _key(secret: str) -> bytes:
    """Return a key of this purpose alone, so that no other signature can stand in for a token."""
    return hashlib.sha256(_PURPOSE + secret.encode()).digest()


def make(public_id: UUID, version: int, secret: str) -> str:
    """Return the token, 48 characters that are safe in an address. The same row, the same token."""
    data = public_id.bytes + version.to_bytes(VERSION_BYTES, "big")
    return base64.urlsafe_b64encode(data + seal(_key(secret), data)).decode()


def read(token: str, secret: str) -> tuple[UUID, int] | None:
    """Return the id and version that a token names, or None when its seal is not ours."""
    try:
        raw = base64.b64decode(token, altchars=b"-_", validate=True)
    except ValueError:
        return None
    data, found = raw[:-SEAL_BYTES], raw[-SEAL_BYTES:]
    if len(raw) != TOKEN_BYTES or not hmac.compare_digest(seal(_key(secret), data), found):
        return None
    return UUID(bytes=data[:ID_BYTES]), int.from_bytes(data[ID_BYTES:], "big")
