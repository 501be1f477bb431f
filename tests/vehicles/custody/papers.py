"""A stay with something of everything, and the addresses of its pages."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from django.urls import reverse

from shared.accounts.roles import RoleKind
from tests.factories import (
    make_content,
    make_intake,
    make_key_tag,
    make_standing,
    make_tow,
    make_user,
)
from tests.vehicles.pages import words

if TYPE_CHECKING:
    from django.test import Client

    from vehicles.models import Intake


def to(name: str, *args: Any) -> str:
    return reverse(f"custody:{name}", args=args)


def page(client: Client, stay: Intake) -> str:
    return words(client.get(to("custody_page", stay.pk)))


def full(**fields: Any) -> Intake:
    """Return a stay with something of everything."""
    stay = make_intake(**fields)
    make_standing(stay, lien="in_default")
    make_key_tag(stay).moves.create(program=stay.program, holder="Hook 3", by=sign_up())
    make_content(stay)
    make_content(stay, kind="weapon", what="Hunting rifle")
    make_tow(stay, cost_cents=8_500)
    return stay


def sign_up() -> Any:
    return make_user(RoleKind.TECHNICIAN)
