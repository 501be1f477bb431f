"""Bottles held against what the maker demands.

Oil grades and classes: SAE J300 and J306, the API and ILSAC lines, from memory. DOT grades: 49 CFR
571.116, from memory. That names are never taken for each other: common practice, no source.
"""

from __future__ import annotations

import pytest

from vehicles.fluids.specifications import LINES, Bottle, Kind, compare

OILS = [
    ("5W-30 API SN", "Full Synthetic SAE 5W-30 API SP/SN PLUS, dexos1 Gen 3", "right"),
    ("5W-30 API SP", "5W-30 API SN", "wrong"),
    ("5W-30 API SN", "10W-30 API SP", "wrong"),
    ("5W-20 or 5W-30 API SP", "5w30 API SQ", "right"),
    ("0W-20 ILSAC GF-5", "0W-20 ILSAC GF-6A", "right"),
    ("0W-16 ILSAC GF-6A", "0W-16 ILSAC GF-6B", "wrong"),
    ("0W-16 ILSAC GF-6B", "0W-16 ILSAC GF-7B", "right"),
    ("15W-40 API CJ-4", "15W-40 API CK-4", "right"),
    ("15W-40 API CK-4", "15W-40 API FA-4", "wrong"),
    ("5W-30 ACEA C3", "5W-30 ACEA C3, API SN", "right"),
    ("5W-30 ACEA C3", "5W-30 ACEA A3/B4. Not for ACEA C3", "wrong"),
    ("5W-30 dexos1 Gen 2", "5W-30 API SP, dexos1™ Gen 3", "right"),
    ("5W-30 dexos1 Gen 2", "5W-30 API SP", "wrong"),
    ("5W-40 VW 502 00", "5W-40 API SN; VW 502 00/505 00", "right"),
    ("75W-90 API GL-4", "75W-90 GL-5", "wrong"),
    ("75W-90 API GL-4", "SAE 75W-90 GL-4/5", "right"),
    ("5W-30", "5W-30 API SN", "ask"),
    ("5W-30 API SN", "5W-35 API SN", "ask"),
    ("5W-30 API SN racing", "5W-30 API SN", "ask"),
    ("", "5W-30 API SN", "ask"),
    ("5W-30 API SN", " ", "ask"),
]
LISTED = [
    ("ATF+4", "Mopar ATF +4", "right"),
    ("WS", "Toyota ATF WS", "right"),
    ("SP-IV", "Multi-vehicle ATF: DEXRON-VI, SP IV (WS)", "right"),
    ("DEXRON VI or MERCON LV", "MERCON LV", "right"),
    ("MERCON", "MERCON V", "wrong"),
    ("MERCON V", "MERCON LV", "wrong"),
    ("DEXRON", "DEXRON VI", "wrong"),
    ("CVT NS-3", "CVT NS-2", "wrong"),
    ("SP-IV", "Universal ATF. Not for use in SP-IV", "wrong"),
    ("ATF+4", "DEXRON VI, not for ATF+4", "wrong"),
    ("SP-IV", "SP-IV; not for SP-IV", "wrong"),
    ("WS", "WS premium", "ask"),
    ("P-HOAT", "HOAT", "wrong"),
    ("OAT", "Si-OAT", "wrong"),
    ("P-HOAT", "P-HOAT, pink", "right"),
    ("pink", "pink antifreeze", "ask"),
    ("P-HOAT", "pink coolant for all makes", "ask"),
]
BRAKES = [
    ("DOT 3", "DOT 3", "right"),
    ("DOT 3 or DOT 4", "DOT-4", "right"),
    ("DOT 3", "DOT 4", "ask"),
    ("DOT 4", "DOT 5.1", "ask"),
    ("DOT 4", "DOT 3", "wrong"),
    ("DOT 4 LV", "DOT 4", "wrong"),
    ("DOT 3", "DOT 5", "wrong"),
    ("DOT 5", "DOT 5.1", "wrong"),
    ("DOT 5", "DOT 5 silicone", "right"),
    ("mineral oil", "DOT 4", "ask"),
]


@pytest.mark.parametrize(
    ("kind", "demanded", "says", "answer"),
    [
        *[("oil", *one) for one in OILS],
        *[("listed", *one) for one in LISTED],
        *[("dot", *one) for one in BRAKES],
    ],
)
def test_a_bottle_is_right_wrong_or_asked(kind: str, demanded: str, says: str, answer: str) -> None:
    assert compare(Kind(kind), demanded, Bottle(says=says, opened=False)).answer == answer


@pytest.mark.parametrize("line", LINES)
def test_a_later_class_covers_those_before_it_and_never_those_after(
    line: tuple[str, ...],
) -> None:
    for wanted, demanded in enumerate(line):
        for there, says in enumerate(line):
            verdict = compare(Kind.OIL, f"0W-16 {demanded}", Bottle(says=f"0W-16 {says}"))
            assert verdict.answer == ("right" if there >= wanted else "wrong")


@pytest.mark.parametrize(
    ("opened", "answer", "because"),
    [
        (True, "wrong", "An opened can has drawn water: take a fresh sealed one."),
        (None, "ask", "Whether the can was sealed is not noted."),
    ],
)
def test_brake_fluid_comes_from_a_sealed_can(
    *,
    opened: bool | None,
    answer: str,
    because: str,
) -> None:
    verdict = compare(Kind.DOT, "DOT 3", Bottle(says="DOT 3", opened=opened))
    assert (verdict.answer, str(verdict.because)) == (answer, because)


def test_a_refused_bottle_says_why() -> None:
    because = compare(Kind.LISTED, "SP-IV", Bottle(says="DEXRON VI")).because
    assert str(because) == "The bottle does not list SP-IV: never take one for the other."
