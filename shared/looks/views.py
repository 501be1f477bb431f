"""Every piece of the house on one page, for whoever writes the next one."""

from __future__ import annotations

from typing import TYPE_CHECKING

from shared import htmx
from shared.accounts.access import requires
from shared.accounts.roles import STAFF
from shared.looks import samples
from shared.looks.forms import SampleForm
from shared.looks.tables import SampleTable
from shared.tables import table_page

if TYPE_CHECKING:
    from django.http import HttpResponse

    from shared.accounts.access import StaffRequest


@requires(*STAFF)
def piece_list(request: StaffRequest) -> HttpResponse:
    """Show every piece with invented figures; sending the form shows how a refusal looks."""
    sent = request.method == "POST"
    form = SampleForm(request.POST if sent else None)
    extra = samples.pieces() | {"form": form}
    if sent and not form.is_valid():
        return htmx.refused(request, "looks/piece_list.html", extra | samples.table(request))
    return table_page(request, SampleTable, samples.NEEDS, "looks/piece_list.html", extra=extra)
