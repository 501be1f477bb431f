r"""Trouble codes out of a text that a person typed or pasted from a scan tool.

>>> found = parse("p0301, P0420-00 pending\nPO128\nall good")
>>> [(one.code, one.storage.value) for one in found.entered]
[('P0301', ''), ('P0420-00', 'pending')]
>>> for one in found.unread: print(one.sentence)
Line 2: “PO128” is not a code. Is it P0128?
Line 3: “all good” holds no code.

Words beside a code are kept as its remark; a line such as `Pending codes:` says of the lines after
it how the car stored them, until the next such line or an empty one.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from enum import StrEnum
from typing import Final

from shared.say import Say, say
from vehicles.codes.trouble_codes import FORM

LONGEST: Final = 20_000
MOST_UNREAD: Final = 50  # nobody reads more of them, and a wrong file could hold thousands


class Storage(StrEnum):
    """How the car keeps a code. Source: SAE J1979 modes 07, 03 and 0A, from memory."""

    PENDING = "pending"
    CONFIRMED = "confirmed"
    PERMANENT = "permanent"
    UNKNOWN = ""

    @property
    def label(self) -> Say:
        """The kind at the start of a sentence."""
        return _LABELS[self]


@dataclass(frozen=True, kw_only=True)
class Entered:
    """One code as it was entered; `code` has its failure type behind a hyphen, if it has one."""

    code: str
    storage: Storage
    line: int
    remark: str = ""
    times: int = 1  # how often it stood in the text, stored the same way


@dataclass(frozen=True, kw_only=True)
class Unread:
    """What could not be read; `suggestion` is the code it may be, for a person to accept."""

    line: int
    typed: str
    suggestion: str
    sentence: Say


@dataclass(frozen=True, kw_only=True)
class Pasted:
    """The codes of a text in the order they stand there, and what could not be read."""

    entered: tuple[Entered, ...]
    unread: tuple[Unread, ...]


def parse(text: str) -> Pasted:
    """Return the codes of a text, each once for each way it is stored.

    Raises:
        ValueError: the text is longer than 20,000 characters.
    """
    if len(text) > LONGEST:
        raise ValueError(f"Paste at most {LONGEST:,} characters: the codes, not the whole report.")
    entered: dict[tuple[str, Storage], Entered] = {}
    unread: list[Unread] = []
    heading = Storage.UNKNOWN
    for line, typed in enumerate(text.splitlines(), start=1):
        tokens = _tokens(typed)
        said = _heading(tokens)
        if not tokens or said is not None:
            heading = said or Storage.UNKNOWN
            continue
        codes, doubtful = _line(tokens, line, heading)
        for one in codes:
            _fold(entered, one)
        unread += doubtful or ([] if codes else [_no_code(line, typed)])
    return Pasted(entered=tuple(entered.values()), unread=tuple(unread[:MOST_UNREAD]))


def _tokens(line: str) -> list[str]:
    """Return the words of a line without the marks around them."""
    plain = line.replace("–", "-").replace("‑", "-")
    return [
        bare for word in re.split(r"[\s,;/|]+", plain) if (bare := word.strip("()[]{}<>\"'“”.:*-#"))
    ]


def _heading(tokens: list[str]) -> Storage | None:
    """Return the storage that a line announces for the lines after it; None if it does not."""
    said = [_STORAGES[word.lower()] for word in tokens if word.lower() in _STORAGES]
    rest = [word for word in tokens if word.lower() not in _STORAGES and not word.isdigit()]
    only = said and all(word.lower() in _ANNOUNCING for word in rest)
    return said[0] if only else None


def _line(tokens: list[str], line: int, heading: Storage) -> tuple[list[Entered], list[Unread]]:
    """Return the codes of one line, each with the words behind it, and the doubtful ones."""
    stored = _STORAGES.get(tokens[0].lower(), heading)
    codes: list[Entered] = []
    unread: list[Unread] = []
    words: list[list[str]] = []
    for token in tokens:
        code = _code(token)
        if code:
            codes.append(Entered(code=code, storage=stored, line=line))
            words.append([])
        elif _looks_like_one(token):
            unread.append(_doubtful(line, token))
        elif words:
            words[-1].append(token)
    return [_with_words(one, said) for one, said in zip(codes, words, strict=True)], unread


def _with_words(one: Entered, said: list[str]) -> Entered:
    stored = [_STORAGES[word.lower()] for word in said if word.lower() in _STORAGES]
    rest = " ".join(word for word in said if word.lower() not in _STORAGES)
    return Entered(
        code=one.code,
        storage=stored[0] if stored else one.storage,
        line=one.line,
        remark=rest[:200],
    )


def _code(token: str) -> str:
    """Return the code that a token is, as it is written here; empty if it is none."""
    plain = token.upper().replace(":", "-").replace(".", "-")
    if re.fullmatch(r"[A-Z][0-9A-F]{6}", plain):
        plain = f"{plain[:5]}-{plain[5:]}"
    return plain if FORM.fullmatch(plain) and plain[:5] != NO_CODE else ""


def _looks_like_one(token: str) -> bool:
    """Return whether somebody meant a code: its letter, a digit, and about its length."""
    plain = token.upper()
    return bool(re.fullmatch(r"[PCBU](?=.*[0-9])[0-9A-Z.:-]{2,9}", plain))


def _doubtful(line: int, token: str) -> Unread:
    """Return a token that is nearly a code, with the code it may be."""
    if token.upper()[:5] == NO_CODE:
        sentence = say("Line {line}: {code} stands for no code at all.", line=line, code=NO_CODE)
        return Unread(line=line, typed=token, suggestion="", sentence=sentence)
    suggestion = _code(token[0] + token[1:].upper().translate(_MISTYPED))
    sentence = (
        say(
            "Line {line}: “{typed}” is not a code. Is it {code}?",
            line=line,
            typed=token,
            code=suggestion,
        )
        if suggestion
        else say(
            "Line {line}: “{typed}” is not a code. Write it as P0301 or C0035-0F.",
            line=line,
            typed=token,
        )
    )
    return Unread(line=line, typed=token, suggestion=suggestion, sentence=sentence)


def _no_code(line: int, typed: str) -> Unread:
    short = " ".join(typed.split())[:60]
    sentence = say("Line {line}: “{typed}” holds no code.", line=line, typed=short)
    return Unread(line=line, typed=short, suggestion="", sentence=sentence)


def _fold(entered: dict[tuple[str, Storage], Entered], one: Entered) -> None:
    """Add a code, or count it once more where it stands already."""
    old = entered.get((one.code, one.storage))
    entered[one.code, one.storage] = Entered(
        code=one.code,
        storage=one.storage,
        line=old.line if old else one.line,
        remark=(old.remark if old else "") or one.remark,
        times=old.times + 1 if old else 1,
    )


NO_CODE: Final = "P0000"  # two empty bytes, what a car sends where it has none; from memory
#: Letters that are typed for a digit.
_MISTYPED: Final = str.maketrans("OIL", "011")
_STORAGES: Final = {
    "pending": Storage.PENDING,
    "confirmed": Storage.CONFIRMED,
    "stored": Storage.CONFIRMED,
    "current": Storage.CONFIRMED,
    "active": Storage.CONFIRMED,
    "permanent": Storage.PERMANENT,
}
_ANNOUNCING: Final = frozenset({"code", "codes", "dtc", "dtcs", "fault", "faults", "trouble"})
_LABELS: Final = {
    Storage.PENDING: say("Pending: seen once, not confirmed"),
    Storage.CONFIRMED: say("Confirmed"),
    Storage.PERMANENT: say("Permanent: no tool can erase it"),
    Storage.UNKNOWN: say("Not said how it was stored"),
}
