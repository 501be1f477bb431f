"""The coordinator's pages of mail: what was written, what went, what is held back and why."""

from __future__ import annotations

from typing import TYPE_CHECKING

from django.contrib import messages
from django.core.exceptions import ValidationError
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_http_methods, require_POST

from shared.accounts.access import requires
from shared.accounts.roles import RoleKind
from shared.outbox import actions, queries
from shared.outbox.contact import MessageKind, MessageState
from shared.outbox.filters import MessageFilter
from shared.outbox.forms import ReadForm
from shared.outbox.tables import KINDS, STATES, MessageTable
from shared.tables import table_page

if TYPE_CHECKING:
    from collections.abc import Callable

    from django.http import HttpResponse

    from shared.accounts.access import StaffRequest
    from shared.outbox.models import Message


@requires(RoleKind.COORDINATOR)
def message_list(request: StaffRequest) -> HttpResponse:
    rows = queries.messages_for(request.user)
    extra = {
        "undecided": rows.undecided().count(),
        "held": rows.held().count(),
        "to_read": rows.to_read().count(),
    }
    return table_page(
        request,
        MessageTable,
        rows,
        "outbox/message_list.html",
        filterset=MessageFilter,
        extra=extra,
    )


@requires(RoleKind.COORDINATOR)
def message_page(request: StaffRequest, pk: int) -> HttpResponse:
    message = get_object_or_404(queries.messages_for(request.user), pk=pk)
    context = {
        "message": message,
        "kind": KINDS[MessageKind(message.kind)],
        "state": STATES[MessageState(message.state)],
        "may_be_tried": message.state in actions.UNDECIDED,
        "may_have_arrived": message.state == MessageState.UNKNOWN,
    }
    return render(request, "outbox/message_page.html", context)


@require_http_methods(["GET", "POST"])
@requires(RoleKind.COORDINATOR)
def to_read(request: StaffRequest) -> HttpResponse:
    """Show the messages that wait to be read through, whole; let the ticked ones go, or not."""
    rows = queries.messages_for(request.user).to_read()
    form = ReadForm(request.POST or None, messages=rows)
    if form.is_valid() and form.perform(actions.decide_read, by=request.user) is not None:
        said = "What you ticked is on its way." if form.lets_go else "What you ticked is held back."
        messages.success(request, said)
        return redirect("outbox:to_read")
    status = 422 if form.errors else 200
    return render(request, "outbox/to_read.html", {"rows": rows, "form": form}, status=status)


@require_POST
@requires(RoleKind.COORDINATOR)
def send_again(request: StaffRequest, pk: int) -> HttpResponse:
    return _decide(request, pk, actions.send_again, "The message waits to be sent.")


@require_POST
@requires(RoleKind.COORDINATOR)
def mark_arrived(request: StaffRequest, pk: int) -> HttpResponse:
    return _decide(request, pk, actions.mark_arrived, "Recorded: the message arrived.")


def _decide(
    request: StaffRequest, pk: int, action: Callable[..., Message], said: str
) -> HttpResponse:
    """Call an action on one message, and say on its page what came of it."""
    message = get_object_or_404(queries.messages_for(request.user), pk=pk)
    try:
        action(message=message, by=request.user)
    except ValidationError as refusal:
        messages.error(request, refusal.messages[0])
    else:
        messages.success(request, said)
    return redirect("outbox:message_page", pk=message.pk)
