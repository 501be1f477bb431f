"""What a page says of a rule, or of a fund, and the open work."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from program.funds.costing import open_work
from program.funds.lapsing import will_lapse
from program.funds.queries import deadline
from program.funds.trying import Trial, overlaps, tried, unused
from program.ledger.models import Fund
from program.ledger.queries import pure_fund, pure_funds

if TYPE_CHECKING:
    from program.funds.trying import Overlap
    from program.ledger import restrictions
    from program.ledger.rules import Rule
    from shared.accounts.models import Program
    from shared.problems import Problem


@dataclass(frozen=True, kw_only=True)
class FundWork:
    """One fund beside the open work: what of it no work may use, and what lapses when."""

    trial: Trial
    unused: int
    lapse: Problem | None


def trial_of(
    program: Program, fund: restrictions.Fund, rule: Rule, *, in_force: bool = True
) -> Trial:
    """Return what a rule says to all open work, beside what the fund's own rule says.

    A rule that starts later is tried on the day it starts. `in_force` is false for a new fund.
    """
    day = max(program.today(), rule.from_on or program.today())
    return tried(
        open_work(program, day), replace(fund, rule=rule), before=fund if in_force else None
    )


def fund_work(fund: Fund, free: int, there: int) -> FundWork:
    """Return what open work may use of a fund's `free` cents; `there` is with what is set aside."""
    pure, today = pure_fund(fund), fund.program.today()
    trial = tried(open_work(fund.program, today), pure)
    return FundWork(
        trial=trial,
        unused=unused(free, trial),
        lapse=will_lapse(fund.name, there, deadline(fund), today),
    )


def others_for(program: Program, trial: Trial, code: str) -> list[Overlap]:
    """Return the other open funds that may pay some of the work that a trial pays."""
    rows = Fund.objects.filter(program=program, closed_on=None).exclude(code=code)
    return overlaps(trial, pure_funds(rows).values())
