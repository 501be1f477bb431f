"""Each lock pins what pyproject.toml names, with hashes and without an address to fetch it from."""

from __future__ import annotations

import re
import tomllib
from typing import Any

import pytest

from tests.house.tree import ROOT, text_of

LOCKS = {
    "requirements.txt": None,
    "requirements-dev.txt": "dev",
    "requirements-e2e.txt": "e2e",
    "requirements-oracles.txt": "oracles",
    "requirements-decode.txt": "decode",
}
PIN = re.compile(
    r"^([a-z0-9-]+)==(\S+)(.*?)\\\n(?:    --hash=sha256:[0-9a-f]{64}(?: \\)?\n)+", re.MULTILINE
)


def settings() -> dict[str, Any]:
    return tomllib.loads(text_of(ROOT / "pyproject.toml"))


def named(group: str | None) -> list[str]:
    """Return what a group names, as `name~=version`, with the groups that it includes."""
    if group is None:
        return list(settings()["project"]["dependencies"])
    names: list[str] = []
    for entry in settings()["dependency-groups"][group]:
        names += [entry] if isinstance(entry, str) else named(entry["include-group"])
    return names


def pins(lock: str) -> dict[str, str]:
    return {found[1]: found[2] for found in PIN.finditer(text_of(ROOT / lock))}


@pytest.mark.parametrize("lock", LOCKS)
def test_a_lock_pins_what_is_named(lock: str) -> None:
    wanted = {re.split(r"[~\[]", entry)[0].lower() for entry in named(LOCKS[lock])}
    assert wanted - set(pins(lock)) == set()


@pytest.mark.parametrize("lock", LOCKS)
def test_a_lock_holds_pins_with_hashes_and_nothing_else(lock: str) -> None:
    assert PIN.sub("", text_of(ROOT / lock)) == ""


def test_two_locks_never_pin_two_versions_of_one_package() -> None:
    versions: dict[str, set[str]] = {}
    for lock in LOCKS:
        for package, version in pins(lock).items():
            versions.setdefault(package, set()).add(version)
    assert {package: found for package, found in versions.items() if len(found) > 1} == {}
