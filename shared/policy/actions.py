"""Setting what the board has decided, from today on."""

from __future__ import annotations

from typing import TYPE_CHECKING

from django.core.exceptions import ValidationError
from django.db import transaction

from shared.accounts.models import Program
from shared.audit.actions import log_event
from shared.policy.models import Policy
from shared.policy.queries import policies

if TYPE_CHECKING:
    from collections.abc import Mapping

    from shared.accounts.models import User


@transaction.atomic
def set_policies(
    *, program: Program, values: Mapping[str, int], because: str, by: User
) -> list[Policy]:
    """Set these policies from today on and return the rows of those that change.

    Raises:
        ValidationError: nothing changes, no reason is given, a name is no policy, or one of them
            was set today already.
    """
    Program.objects.select_for_update().get(pk=program.pk)
    today = program.today()
    now = policies(program, today)
    changed = {name: value for name, value in values.items() if now.get(name) != value}
    if not changed:
        raise ValidationError("Nothing was changed.")
    if not because.strip():
        raise ValidationError({"because": "Say who decided it, and why."})
    rows = [
        Policy(
            program=program,
            name=name,
            value=value,
            since_on=today,
            reason=because.strip(),
            by=by,
        )
        for name, value in changed.items()
    ]
    for row in rows:
        row.full_clean()
        row.save()
    log_event(program, "A policy was set.", by=by, reason=because.strip(), fields=sorted(changed))
    return rows
