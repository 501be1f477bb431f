"""Two processes that spend from one fund as fast as they can: nothing is lost, nothing overdrawn.

`HANDBACK_HAMMER_SECONDS` says for how long, 3 where it is not set.
"""

from __future__ import annotations

import json
import os
import sys
from contextlib import ExitStack
from typing import TYPE_CHECKING

import pytest

from program.ledger.queries import free_cents, held
from program.ledger.tallies import tallies
from program.models import Balance, Entry, Transfer
from tests.factories import make_entry, make_fund, make_program
from tests.workers import worker

if TYPE_CHECKING:
    from pathlib import Path

    from program.models import Fund

SECONDS = os.environ.get("HANDBACK_HAMMER_SECONDS", "3")
START = 500


def lowest_seen(fund: Fund, folder: Path) -> int:
    """Let two processes spend from a fund; return the least that was ever free meanwhile."""
    script = [sys.executable, "-m", "tests.program.ledger.hammer", str(fund.pk)]
    with ExitStack() as running:
        both = [
            running.enter_context(
                worker([*script, name, SECONDS, str(folder / f"{name}.json")], folder / name)
            )
            for name in ("one", "two")
        ]
        lowest = START
        while any(process.poll() is None for process in both):
            lowest = min(lowest, free_cents([fund], held(fund.program))[fund.code])
        assert [process.returncode for process in both] == [0, 0]
    return lowest


@pytest.mark.slow
@pytest.mark.django_db(transaction=True)
def test_two_processes_spend_from_one_fund_and_nothing_is_lost_or_overdrawn(tmp_path: Path) -> None:
    fund = make_fund(code="GEN")
    make_entry(("1010", "4010", START, fund))
    lowest = lowest_seen(fund, tmp_path)
    told = [json.loads((tmp_path / f"{name}.json").read_text()) for name in ("one", "two")]
    print(f"\n{told}, never less than {lowest} cents free")  # noqa: T201  # read when run by hand
    booked = sum(one["booked"] for one in told)
    left = START + sum(one["cents"] for one in told)
    assert min(one["booked"] for one in told) > 0
    assert sum(one["refused"] for one in told) > 0
    assert (Entry.objects.count(), Transfer.objects.count()) == (booked + 1, booked + 1)
    assert Balance.objects.get(fund=fund, account="1010").cents == left
    assert lowest >= 0
    assert free_cents([fund], held(make_program())) == {"GEN": left}
    assert [tally.wrong for tally in tallies(make_program())] == [()] * 8
