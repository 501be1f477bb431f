"""A page of a diagnosis whose text can't be read any more says so instead."""

from __future__ import annotations

from functools import wraps
from http import HTTPStatus
from typing import TYPE_CHECKING, Concatenate, ParamSpec

from django.shortcuts import render

from vehicles.diagnosis.gathering import UnreadableError

if TYPE_CHECKING:
    from collections.abc import Callable

    from django.http import HttpResponse

    from shared.accounts.access import StaffRequest

P = ParamSpec("P")


def legible(
    view: Callable[Concatenate[StaffRequest, P], HttpResponse],
) -> Callable[Concatenate[StaffRequest, P], HttpResponse]:
    """Return the view, which answers with a sentence where a kept fault model can't be read."""

    @wraps(view)
    def guarded(request: StaffRequest, /, *args: P.args, **kwargs: P.kwargs) -> HttpResponse:
        try:
            return view(request, *args, **kwargs)
        except UnreadableError as error:
            sent = request.method == "POST"
            status = HTTPStatus.UNPROCESSABLE_ENTITY if sent else HTTPStatus.OK
            context = {"sentence": error.messages[0], "stay": kwargs["pk"]} | kwargs
            return render(request, "diagnosis/unreadable.html", context, status=status)

    return guarded
