"""Writing an award down and changing its terms."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from django.core.exceptions import ValidationError
from django.db import transaction
from django.db.models import Max, Sum

from program.grants.models import Claim, Grant
from program.grants.queries import answered
from program.grants.states import ClaimState, GrantPays
from program.ledger.models import Fund
from program.ledger.queries import free_cents, held
from program.ledger.writing import lock
from shared.audit.actions import log_event
from shared.dates import full_date
from shared.money import usd

if TYPE_CHECKING:
    import datetime as dt
    from collections.abc import Sequence
    from uuid import UUID

    from shared.accounts.models import Program, User

FIXED = ("pays", "own_percent", "cycle", "begins_on")  # once a claim was begun


@dataclass(frozen=True, kw_only=True)
class Award:
    """What a person typed of an award; each name is a field of the grant."""

    funder: str
    number: str
    cents: int
    pays: str
    own_percent: int
    accounts: Sequence[str]
    cycle: str
    due_days: int
    begins_on: dt.date
    ends_on: dt.date
    terms: str

    def write(self, grant: Grant) -> None:
        """Put every field into the grant."""
        for name, value in vars(self).items():
            setattr(grant, name, list(value) if name == "accounts" else value)


@transaction.atomic
def add_grant(  # noqa: PLR0913  # the award, its fund and who
    *,
    program: Program,
    award: Award,
    fund: Fund | None,
    fund_code: str,
    fund_name: str,
    client_key: UUID,
    by: User,
) -> Grant:
    """Write an award down on a fund that is there, or open one for it; sent twice, it is one.

    Raises:
        ValidationError: the fund has a grant or no restriction, holds money though this grant pays
            after, its code is taken, or the award is not possible.
    """
    lock(program)
    there = Grant.objects.filter(program=program, client_key=client_key).first()
    if there:
        return there
    grant = Grant(program=program, client_key=client_key)
    award.write(grant)
    _check(award)
    grant.fund = fund or _open(program, award, fund_code, fund_name)
    _check_fund(grant, program)
    grant.full_clean()
    grant.save()
    log_event(grant, "A grant was written down.", by=by)
    return grant


def _open(program: Program, award: Award, code: str, name: str) -> Fund:
    """Return a new restricted fund with the days of the award; its rule is written on its page."""
    if not (code.strip() and name.strip()):
        raise ValidationError({"fund": "Choose a fund, or give a new one its code and name."})
    fund = Fund(
        program=program,
        code=code.strip(),
        name=name.strip(),
        restricted=True,
        opened_on=award.begins_on,
        lapses_on=award.ends_on,
    )
    try:
        fund.full_clean()
    except ValidationError as refusal:
        raise ValidationError({"fund_code": refusal.messages}) from refusal
    fund.save()
    return fund


def _check(award: Award) -> None:
    if award.pays == GrantPays.AHEAD and award.own_percent:
        raise ValidationError(
            {"own_percent": "Money that came ahead pays its costs whole: the own share is 0."}
        )
    if award.ends_on < award.begins_on:
        raise ValidationError({"ends_on": "A grant can't end before it begins."})


def _check_fund(grant: Grant, program: Program) -> None:
    """Refuse a fund that this grant can't hang on."""
    fund = grant.fund
    if not fund.restricted:
        raise ValidationError({"fund": f"The {fund.name} has no donor restriction."})
    free = free_cents([fund], held(program))[fund.code]
    if grant.pays == GrantPays.AFTER and free:
        raise ValidationError(
            {
                "fund": f"The {fund.name} has {usd(free)} free. The fund of a grant that pays after"
                " stays empty."
            }
        )


@transaction.atomic
def edit_grant(*, grant: Grant, award: Award, version: int, by: User) -> Grant:
    """Change the terms of an award; what a claim was begun on stays as it was.

    Raises:
        ValidationError: somebody else changed it since `version`, a claim was begun on the old
            terms, or the award falls below what was claimed.
    """
    lock(grant.program)
    found = Grant.objects.select_related("fund").get(pk=grant.pk)
    if found.version != version:
        raise ValidationError("Somebody else changed this grant. Open the page again.")
    _check(award)
    _check_claims(found, award)
    changed = [name for name, value in vars(award).items() if getattr(found, name) != value]
    if found.pays != award.pays:
        found.pays = award.pays
        _check_fund(found, found.program)
    award.write(found)
    found.version += 1
    found.full_clean()
    found.save()
    log_event(found, "The terms of the grant were changed.", by=by, fields=changed)
    return found


def _check_claims(grant: Grant, award: Award) -> None:
    """Refuse terms under which claims that stand would not have been possible."""
    claims = Claim.objects.filter(grant=grant).exclude(state=ClaimState.WITHDRAWN)
    told = claims.aggregate(cents=Sum("cents", default=0), until_on=Max("until_on"))
    if told["until_on"] is None:
        return
    for name in FIXED:
        if getattr(grant, name) != getattr(award, name):
            raise ValidationError({name: "Claims stand on this. Withdraw them first."})
    claimed = told["cents"] - sum(one.refused for one in answered(claims).values())
    if award.cents < claimed:
        raise ValidationError({"cents": f"{usd(claimed)} was claimed already."})
    if award.ends_on < told["until_on"]:
        raise ValidationError({"ends_on": f"A claim goes to {full_date(told['until_on'])}."})
