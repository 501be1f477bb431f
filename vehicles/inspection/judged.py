"""A judgment as the fields that a reading and a finding keep of it.

>>> from vehicles.inspection.catalogue import load
>>> from vehicles.inspection.judge import judge
>>> tread = load().criteria["tire-tread"]
>>> judged_fields(tread, judge(tread, "1/32"))["sentence"]
'1/32 in of tread, the limit is 2/32 in.'
>>> finding_title(tread, "LF", judge(tread, "1/32"))
'Tread depth, LF: 1/32 in of tread'
>>> makes_finding(judge(tread, "9/32"))
False
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from shared.say import Say, say
from vehicles.inspection.criteria import DeficiencyClass

if TYPE_CHECKING:
    from vehicles.inspection.criteria import Criterion
    from vehicles.inspection.judge import Judgment

TITLE_LENGTH = 120


def judged_fields(criterion: Criterion, judgment: Judgment) -> dict[str, object]:
    """Return what is stored of a judgment, so that later catalogues change nothing said before."""
    return {
        "system": criterion.system.value,
        "deficiency": judgment.deficiency.value,
        "severity": judgment.severity,
        "never_release": judgment.never_release,
        "strands": judgment.strands,
        "us_reject": judgment.us_reject,
        "reason_key": judgment.reason.key if judgment.reason else "",
        "sentence": str(judgment.sentence),
        "source": judgment.source,
        "text_seen": judgment.text_seen,
    }


def makes_finding(judgment: Judgment) -> bool:
    """Return whether something is wrong: a class above none, or a car that strands."""
    return judgment.deficiency != DeficiencyClass.NONE or judgment.strands


def driving(deficiency: DeficiencyClass, *, never_release: bool = False) -> Say:
    """Return what a class means for driving now.

    A row that the program never hands back open is not driven, whatever its class.

    Source: the three classes of roadworthiness law, read in Czech Act 56/2001, sections 49 to 52,
    and in the Finnish vehicle act 82/2021, sections 157 and 159. `never_release` is program policy.
    """
    if never_release and deficiency != DeficiencyClass.DANGEROUS:
        return say("Do not drive: the program hands no car back with this open.")
    return _DRIVING[deficiency]


_DRIVING: Final = {
    DeficiencyClass.DANGEROUS: say(
        "Do not drive: it is an immediate danger, and the car stays off the road until repaired."
    ),
    DeficiencyClass.MAJOR: say(
        "The car fails inspection: drive it no further than the repair asks."
    ),
    DeficiencyClass.MINOR: say("The car may be driven; put this right without delay."),
    DeficiencyClass.NONE: say("Nothing here speaks against driving."),
}


_EU: Final = {
    DeficiencyClass.DANGEROUS: say("EU: dangerous."),
    DeficiencyClass.MAJOR: say("EU: major."),
    DeficiencyClass.MINOR: say("EU: minor."),
}


def two_facts(judgment: Judgment) -> tuple[Say, ...]:
    """Return what the EU item says and what 49 CFR 570 says, each by itself.

    Empty where neither has a word on it.
    """
    facts = []
    if judgment.eu_class in _EU:
        facts.append(_EU[judgment.eu_class])
    if judgment.us_reject:
        facts.append(say("49 CFR 570: reject."))
    return tuple(facts)


def finding_title(criterion: Criterion, position: str, judgment: Judgment) -> str:
    """Return what is wrong, short enough for a table: the point, its place, what was read."""
    place = f"{criterion.title}, {position}" if position else criterion.title
    seen = str(judgment.sentence).rstrip(".").split(", the limit")[0].split(", the maker")[0]
    return f"{place}: {seen}"[:TITLE_LENGTH]
