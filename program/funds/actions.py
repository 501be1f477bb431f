"""Opening, changing and closing funds, and what they may pay for."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from django.core.exceptions import ValidationError
from django.db import transaction

from program.funds.queries import left_in
from program.funds.trying import changed, loosened
from program.ledger.models import Fund
from program.ledger.queries import held
from program.ledger.rules import NO_LIMITS, from_dict
from shared.accounts.models import Program
from shared.audit.actions import log_event
from shared.dates import full_date

if TYPE_CHECKING:
    import datetime as dt

    from program.ledger.rules import Rule
    from shared.accounts.models import User

STALE = "Somebody else changed this fund. Open the page again."


@dataclass(frozen=True, kw_only=True)
class Agreed:
    """That the donor agreed to fewer limits: when, and the paper that says so."""

    on: dt.date | None = None
    paper: str = ""

    @property
    def whole(self) -> bool:
        return bool(self.on and self.paper.strip())

    def __str__(self) -> str:
        return f"The donor agreed on {full_date(self.on)}: {self.paper.strip()}" if self.on else ""


NOT_ASKED = Agreed()


@transaction.atomic
def open_fund(  # noqa: PLR0913, a fund has this many sides
    *,
    program: Program,
    code: str,
    name: str,
    purpose: str,
    restricted: bool,
    opened_on: dt.date,
    lapses_on: dt.date | None,
    rule: Rule = NO_LIMITS,
    by: User,
) -> Fund:
    """Open a fund that holds nothing.

    Raises:
        ValidationError: the code is taken, or it would lapse before it opens.
    """
    fund = Fund(
        program=program,
        code=code,
        name=name,
        purpose=purpose,
        restricted=restricted,
        opened_on=opened_on,
        lapses_on=lapses_on,
        rule=rule.to_dict(),
    )
    if Fund.objects.filter(program=program, code=code).exists():
        raise ValidationError({"code": "There is a fund of this code already."})
    _in_order(fund)
    fund.full_clean()
    fund.save()
    log_event(fund, "The fund was opened.", by=by)
    return fund


@transaction.atomic
def change_fund(  # noqa: PLR0913, a fund has this many sides
    *,
    fund: Fund,
    name: str,
    purpose: str,
    opened_on: dt.date,
    lapses_on: dt.date | None,
    agreed: Agreed = NOT_ASKED,
    version: int,
    by: User,
) -> Fund:
    """Change what a fund is called and when it lapses.

    Raises:
        ValidationError: somebody else changed it, a date is impossible, or money that a donor gave
            would lapse later than they said and nothing shows that they agreed.
    """
    found = _current(fund, version)
    _has_come(found, agreed)
    later = found.lapses_on and (lapses_on is None or lapses_on > found.lapses_on)
    if later and not agreed.whole and _holds_given_money(found):
        raise ValidationError({"lapses_on": "The donor set this day. Say when they agreed, below."})
    new = {"name": name, "purpose": purpose, "opened_on": opened_on, "lapses_on": lapses_on}
    fields = [field for field, value in new.items() if getattr(found, field) != value]
    for field, value in new.items():
        setattr(found, field, value)
    _in_order(found)
    return _save(found, fields, "The fund was changed.", by=by, reason=str(agreed))


@transaction.atomic
def set_rule(*, fund: Fund, rule: Rule, version: int, by: User, agreed: Agreed = NOT_ASKED) -> Fund:
    """Put a rule in the place of the one in force.

    Raises:
        ValidationError: somebody else changed the fund, or money that a donor gave would be freed
            of a limit and nothing shows that the donor agreed.
    """
    found = _current(fund, version)
    _has_come(found, agreed)
    old = from_dict(found.rule)
    if loosened(old, rule) and not agreed.whole and _holds_given_money(found):
        raise ValidationError(
            f"The {found.name} holds money that was given under this rule. Fewer limits need the "
            "donor: say when they agreed, and in which paper."
        )
    fields = changed(old, rule)
    found.rule = rule.to_dict()
    return _save(found, fields, "The rule of the fund was changed.", by=by, reason=str(agreed))


@transaction.atomic
def close_fund(*, fund: Fund, version: int, by: User) -> Fund:
    """Close a fund that holds nothing, owes nothing and has nothing set aside.

    Raises:
        ValidationError: something is left in it, or somebody else changed it.
    """
    found = _current(fund, version)
    if left := left_in(found, held(found.program)):
        raise ValidationError(f"The {found.name} still has {', '.join(left)}. {_what_to_do(found)}")
    found.closed_on = found.program.today()
    return _save(found, ["closed_on"], "The fund was closed.", by=by)


def _what_to_do(fund: Fund) -> str:
    if fund.restricted:
        return (
            "Spend it as the donor meant it, give it back, or ask the donor where it may go; "
            "then close the fund."
        )
    return "Spend it or move it to another fund; then close this one."


def _current(fund: Fund, version: int) -> Fund:
    """Return the fund as it stands, its books locked: nothing is booked in it meanwhile."""
    Program.objects.select_for_update(no_key=True).get(pk=fund.program_id)
    found = Fund.objects.select_for_update(of=("self",)).select_related("program").get(pk=fund.pk)
    if found.version != version:
        raise ValidationError(STALE)
    if found.closed_on:
        raise ValidationError(f"The {found.name} was closed on {full_date(found.closed_on)}.")
    return found


def _has_come(fund: Fund, agreed: Agreed) -> None:
    """Refuse a donor's word of a day that lies ahead."""
    if agreed.on and agreed.on > fund.program.today():
        raise ValidationError({"agreed_on": f"{full_date(agreed.on)}, has not come yet."})


def _in_order(fund: Fund) -> None:
    """Refuse the days of a fund in the wrong order, at the field where the second one stands."""
    if fund.lapses_on and fund.lapses_on < fund.opened_on:
        raise ValidationError({"lapses_on": "A fund can't lapse before it opens."})


def _holds_given_money(fund: Fund) -> bool:
    """Return whether a fund of donors has something left, free or set aside."""
    return fund.restricted and bool(left_in(fund, held(fund.program)))


def _save(fund: Fund, fields: list[str], what: str, *, by: User, reason: str = "") -> Fund:
    fund.version += 1
    fund.full_clean()
    fund.save()
    log_event(fund, what, by=by, reason=reason, fields=fields)
    return fund
