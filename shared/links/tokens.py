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

# Together a multiple of three bytes, so that the text needs no padding.
ID_BYTES = 16
VERSION_BYTES = 4
SEAL_BYTES = 16

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
    """Return the id and version that a token names, or None when its seal is not ours.

    The whole text is compared, so that no second spelling of a token opens anything.
    """
    try:
        raw = base64.urlsafe_b64decode(token)
        public_id = UUID(bytes=raw[:ID_BYTES])
    except ValueError:
        return None
    version = int.from_bytes(raw[ID_BYTES:][:VERSION_BYTES], "big")
    ours = make(public_id, version, secret)
    return (public_id, version) if hmac.compare_digest(ours, token) else None
