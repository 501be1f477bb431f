"""One of the processes that spend from the same fund at once: `python -m … FUND NAME SECONDS FILE`.

It writes what it was told was booked, so that the test can find all of it in the books. SQLite
lets a writer wait for the lock without a queue: one that waits too long is told so, and goes on.
"""

from __future__ import annotations

import json
import sys
from pathlib import Path
from random import Random
from time import monotonic
from typing import Final

import django

MOST: Final = 400  # cents of one bill; every sixth entry is a gift of that much
LEAST: Final = 30  # entries of each process, however slow the machine: more than the fund has


def hammer(fund_id: int, name: str, seconds: float) -> dict[str, int]:
    """Book bills and gifts as fast as they go; return how many and what they come to."""
    from django.core.exceptions import ValidationError  # noqa: PLC0415  # settings come first
    from django.db import OperationalError  # noqa: PLC0415  # as above

    from program.ledger.actions import Event, Line, post_entry  # noqa: PLC0415  # as above
    from program.models import Fund  # noqa: PLC0415  # as above

    fund = Fund.objects.select_related("program").get(pk=fund_id)
    chance, end, at = Random(name), monotonic() + seconds, 0
    told = {"booked": 0, "refused": 0, "waited": 0, "cents": 0}
    while monotonic() < end or at < LEAST:
        at += 1
        gift = at % 6 == 0
        cents = MOST if gift else chance.randint(1, MOST)
        debit, credit = ("1010", "4010") if gift else ("6010", "1010")
        try:
            post_entry(
                program=fund.program,
                event=Event(key=f"{name}:{at}", on=fund.program.today(), what="As fast as it goes"),
                lines=[Line(debit=debit, credit=credit, cents=cents, fund=fund)],
                by=None,
            )
        except ValidationError:
            told["refused"] += 1
        except OperationalError as busy:
            if str(busy) != "database is locked":
                raise
            told["waited"] += 1
        else:
            told["booked"] += 1
            told["cents"] += cents if gift else -cents
    return told


if __name__ == "__main__":
    django.setup()
    fund_pk, name, seconds, file = sys.argv[1:]
    Path(file).write_text(json.dumps(hammer(int(fund_pk), name, float(seconds))), encoding="utf-8")
