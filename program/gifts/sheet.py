"""What the page of a gift says of it, tested on the open work."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from program.funds.sheet import others_for, trial_of
from program.funds.trying import kinds_refused, unused
from program.gifts.queries import against, fund_of, to_know
from program.ledger.restrictions import in_words

if TYPE_CHECKING:
    from program.funds.trying import Overlap, Trial
    from program.gifts.models import Offer
    from shared.problems import Problem
    from shared.say import Say


@dataclass(frozen=True, kw_only=True)
class Tested:
    """A gift beside the open work: what it may pay, what it can't, who else may, what bars it."""

    trial: Trial
    words: tuple[Say, ...]
    unused: int
    kinds: tuple[str, ...]
    overlaps: tuple[Overlap, ...]
    against: tuple[Problem, ...]
    to_know: tuple[Problem, ...]


def tested(offer: Offer) -> Tested:
    """Return the test of a gift as it stands now, on every open repair item."""
    fund, program = fund_of(offer), offer.program
    trial = trial_of(program, fund, fund.rule)
    return Tested(
        trial=trial,
        words=tuple(in_words(fund.rule)),
        unused=unused(offer.cents, trial),
        kinds=tuple(kind.value for kind in kinds_refused(fund, program.today())),
        overlaps=tuple(others_for(program, trial, fund.code)),
        against=tuple(against(offer)),
        to_know=tuple(to_know(offer, program.today())),
    )
