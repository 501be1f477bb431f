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

from typing import TYPE_CHECKING

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


def finding_title(criterion: Criterion, position: str, judgment: Judgment) -> str:
    """Return what is wrong, short enough for a table: the point, its place, what was read."""
    place = f"{criterion.title}, {position}" if position else criterion.title
    seen = str(judgment.sentence).rstrip(".").split(", the limit")[0].split(", the maker")[0]
    return f"{place}: {seen}"[:TITLE_LENGTH]
