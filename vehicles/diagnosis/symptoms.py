"""Which complaint a household means, from its own words, English or Spanish.

>>> plain("It won’t crank — ¡está muerto!")
['it', 'wont', 'crank', 'esta', 'muerto']
>>> [alike(*pair) for pair in [("gaskit", "gasket"), ("brakes", "brake"), ("oil", "oils")]]
[0.7, 1.0, 1.0]

Words are compared without case, accents and a plural s; those of five letters or more also where
they are nearly alike. A phrase found word for word counts more than its words found apart, and a
rare word more than one that many complaints share. There is no stemming and no meaning.
"""

from __future__ import annotations

import re
import unicodedata
from collections import Counter
from dataclasses import dataclass
from difflib import SequenceMatcher
from functools import lru_cache
from math import log
from typing import TYPE_CHECKING, Final

from shared.say import Say, say

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping, Sequence

    from vehicles.diagnosis.fault_model import FaultModel

LONGEST: Final = 400  # characters that are read; a household says it in fewer
_STOP_WORDS: Final = (
    "a an and are as at be been but by can cant car do does doesnt for from get gets getting had"
    " has have i ive if im in is isnt it its just like me my of on or our so some that the there"
    " they this to too truck very was we what when whenever while will with you"
    " al algo carro coche como con cuando de del el ella en es esta este hace hay la las le lo los"
    " me mi mucho muy no nos o para pero por que se si su sus tiene un una uno va y ya yo"
)
_STOPS: Final = frozenset(_STOP_WORDS.split())
_PLURAL_FROM: Final = 4  # letters: “gas” and “has” are none
_TYPO_FROM: Final = 5  # letters; a shorter word has too many neighbors
_NEARLY: Final = 0.8
_TYPO_WORTH: Final = 0.7
_STOP_WORTH: Final = 0.15  # “it does not go” is still told by such words alone, but barely
_PHRASE_WORTH: Final = 1.5
_REST_WORTH: Final = 0.25  # of what other phrases of the same complaint find
_LEAST: Final = 0.15  # of the best score, that another is worth a line


@dataclass(frozen=True, kw_only=True)
class Hit:
    """A complaint that the words may mean: the phrase that fits best, and the words it fits."""

    code: str
    title: str
    score: float
    phrase: str
    typed: tuple[str, ...]

    @property
    def reason(self) -> Say:
        """Which words hit, and what they hit."""
        typed = " ".join(self.typed)
        if " ".join(plain(self.phrase)) == typed:
            return say("“{phrase}” is one of its words.", phrase=self.phrase)
        return say("“{typed}” fits “{phrase}”.", typed=typed, phrase=self.phrase)


@dataclass(frozen=True)
class _Phrase:
    """One phrase of a complaint: as written, and its plain words."""

    code: str
    text: str
    words: tuple[str, ...]


@dataclass(frozen=True)
class _Index:
    """All phrases of some models, how much each of their words tells, and those by first letter."""

    phrases: tuple[_Phrase, ...]
    worth: Mapping[str, float]
    by_letter: Mapping[str, Sequence[str]]


def search(words: str, models: Mapping[str, FaultModel], limit: int = 5) -> tuple[Hit, ...]:
    """Return the complaints that fit words best, best first; ties in the order of their codes."""
    typed = plain(words[:LONGEST])
    index = _index(
        tuple((code, (one.title, *one.words, *one.words_es)) for code, one in models.items())
    )
    found: dict[str, list[tuple[float, _Phrase, tuple[str, ...]]]] = {}
    near = _near(typed, index.by_letter)
    for phrase in index.phrases:
        score, hit = _score(phrase, typed, near, index.worth)
        if score > 0:
            found.setdefault(phrase.code, []).append((score, phrase, hit))
    hits = [_hit(models[code], scored) for code, scored in found.items()]
    least = _LEAST * max((one.score for one in hits), default=0.0)
    hits = [one for one in hits if one.score >= least]
    return tuple(sorted(hits, key=lambda one: (-one.score, one.code))[:limit])


def plain(text: str) -> list[str]:
    """Return the words of a text without case, accents, apostrophes and other signs."""
    apart = unicodedata.normalize("NFKD", text.casefold())
    bare = "".join(one for one in apart if not unicodedata.combining(one))
    return re.findall(r"[a-z0-9]+", re.sub(r"['’`´]", "", bare))


def alike(typed: str, known: str) -> float:
    """Return 1 for the same word, less for one that is nearly the same, 0 for another."""
    mine, other = _singular(typed), _singular(known)
    if mine == other:
        return 1.0
    if min(len(mine), len(other)) < _TYPO_FROM or mine[0] != other[0]:
        return 0.0
    matcher = SequenceMatcher(None, mine, other, autojunk=False)
    nearly = matcher.real_quick_ratio() >= _NEARLY and matcher.ratio() >= _NEARLY
    return _TYPO_WORTH if nearly else 0.0


def _singular(word: str) -> str:
    plural = len(word) >= _PLURAL_FROM and word.endswith("s") and not word.endswith("ss")
    return word[:-1] if plural else word


@lru_cache(maxsize=32)
def _index(texts: tuple[tuple[str, tuple[str, ...]], ...]) -> _Index:
    phrases = tuple(
        _Phrase(code, text, tuple(plain(text))) for code, several in texts for text in several
    )
    holders = Counter(word for _, words in _words_of(phrases).items() for word in words)
    worth = {
        word: _STOP_WORTH if word in _STOPS else log(1 + len(texts) / count)
        for word, count in holders.items()
    }
    by_letter: dict[str, list[str]] = {}
    for word in worth:
        by_letter.setdefault(word[0], []).append(word)
    return _Index(phrases, worth, by_letter)


def _words_of(phrases: Iterable[_Phrase]) -> dict[str, set[str]]:
    found: dict[str, set[str]] = {}
    for phrase in phrases:
        found.setdefault(phrase.code, set()).update(phrase.words)
    return found


def _near(
    typed: Sequence[str], by_letter: Mapping[str, Sequence[str]]
) -> dict[str, dict[str, float]]:
    """Return for each word of the phrases those typed that are like it, and how much."""
    found: dict[str, dict[str, float]] = {}
    for one in dict.fromkeys(typed):
        for word in by_letter.get(one[0], ()):
            if share := alike(one, word):
                found.setdefault(word, {})[one] = share
    return found


def _score(
    phrase: _Phrase,
    typed: Sequence[str],
    near: Mapping[str, Mapping[str, float]],
    worth: Mapping[str, float],
) -> tuple[float, tuple[str, ...]]:
    """Return what a phrase is worth, and the words typed that it fits, in their order.

    The worth of the words found, times the share of the phrase that they are; times half as much
    again where the whole phrase stands there in a row.
    """
    got = [word for word in phrase.words if word in near]
    if not got:
        return 0.0, ()
    stands = _stands(phrase.words, typed, near)
    if not stands and all(word in _STOPS for word in got):
        return 0.0, ()
    total = sum(worth[word] for word in phrase.words)
    part = sum(worth[word] * max(near[word].values()) for word in got)
    score = part * part / total * (_PHRASE_WORTH if stands else 1)
    used = {one for word in got for one in near[word]}
    return score, tuple(dict.fromkeys(one for one in typed if one in used))


def _stands(
    words: Sequence[str], typed: Sequence[str], near: Mapping[str, Mapping[str, float]]
) -> bool:
    """Return whether the words stand in a row among those typed."""
    size = len(words)
    return any(
        all(typed[start + k] in near.get(words[k], ()) for k in range(size))
        for start in range(len(typed) - size + 1)
    )


def _hit(model: FaultModel, scored: Sequence[tuple[float, _Phrase, tuple[str, ...]]]) -> Hit:
    """Return the hit of a model: its best phrase, and a little for the words only others fit."""
    score, phrase, typed = max(scored, key=lambda one: (one[0], one[1].text))
    rest = sum(one[0] for one in scored if not set(one[2]) <= set(typed))
    return Hit(
        code=model.code,
        title=model.title,
        score=round(score + _REST_WORTH * min(rest, score), 6),
        phrase=phrase.text,
        typed=typed,
    )
