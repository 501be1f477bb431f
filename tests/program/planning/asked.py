"""A plan that is asked something, and what it is asked with."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from django.urls import reverse

from program.planning import actions
from program.planning.jobs import try_what_if
from program.planning.trying import Change, ChangeKind
from tests.factories import make_user
from tests.program.planning.weeks import computed, make_money, make_ready, make_shop, make_work

if TYPE_CHECKING:
    from program.models import Plan, WhatIf

MONEY = Change(kind=ChangeKind.MONEY, amount=60_000)


def ready() -> Plan:
    """Return a plan that sends one car home and lets one wait for money."""
    make_shop()
    make_money(50_000)
    make_work(make_ready("26-041", name="Dana Haskell"))
    make_work(make_ready("26-042", name="Karl Iverson", weight=4), sublet_cents=60_000)
    return computed()


def page(plan: Plan, name: str, *arguments: object) -> str:
    return reverse(f"planning:{name}", args=[plan.number, *arguments])


def ask(plan: Plan, *changes: Change, **fields: Any) -> WhatIf:
    defaults: dict[str, Any] = {"changes": changes or [MONEY], "by": make_user()}
    return actions.ask_what_if(plan=plan, **defaults | fields)


def answered(question: WhatIf) -> WhatIf:
    write = try_what_if({"question": question.pk}, question.program)
    assert write is not None
    write()
    question.refresh_from_db()
    return question
