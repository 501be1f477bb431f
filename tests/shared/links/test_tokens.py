from __future__ import annotations

from uuid import UUID

from hypothesis import given
from hypothesis import strategies as st

from shared.links.tokens import make, read, seal

SECRET = "a key of this installation"
ALPHABET = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789-_+/=. "
ids = st.uuids()
versions = st.integers(1, 2**31 - 1)


def test_the_seal_is_hmac_sha_256_cut_to_128_bits() -> None:
    # Source: RFC 4231, section 4.6 (test case 5, "Test With Truncation"); text seen.
    key, data = bytes([0x0C] * 20), b"Test With Truncation"
    assert seal(key, data).hex() == "a3b6167473100ee06e0c796c2955552b"


def test_a_short_key_and_a_long_one_are_sealed_as_the_standard_says() -> None:
    # Source: RFC 4231, sections 4.3 and 4.7 (test cases 2 and 6), their first 128 bits; text seen.
    assert seal(b"Jefe", b"what do ya want for nothing?").hex() == (
        "5bdcc146bf60754e6a042426089575c7"
    )
    long = seal(bytes([0xAA] * 131), b"Test Using Larger Than Block-Size Key - Hash Key First")
    assert long.hex() == "60e431591ee0b67f0d8a26aacbf5b77f"


@given(ids, versions)
def test_what_was_made_can_be_read(public_id: UUID, version: int) -> None:
    token = make(public_id, version, SECRET)
    assert (len(token), read(token, SECRET)) == (48, (public_id, version))


@given(ids, versions, st.integers(0, 47), st.sampled_from(ALPHABET))
def test_one_altered_character_opens_nothing(
    public_id: UUID, version: int, place: int, letter: str
) -> None:
    token = make(public_id, version, SECRET)
    altered = token[:place] + letter + token[place + 1 :]
    assert read(altered, SECRET) == ((public_id, version) if altered == token else None)


@given(st.text(max_size=60) | st.text(ALPHABET, min_size=48, max_size=48))
def test_no_text_makes_the_reader_stumble(text: str) -> None:
    assert read(text, SECRET) is None


@given(ids, versions)
def test_another_installation_reads_nothing(public_id: UUID, version: int) -> None:
    assert read(make(public_id, version, "another key"), SECRET) is None


def test_padding_and_spaces_are_not_a_second_spelling() -> None:
    token = make(UUID(int=5), 1, SECRET)
    spellings = [token + "=", token + "====", " " + token, token + "\n", token[:-1], token + "A"]
    assert [read(spelling, SECRET) for spelling in spellings] == [None] * 6
