"""Narrowing the list of pledges."""

from __future__ import annotations

import django_filters

from shared.choices import choices_of
from sponsors.pledges.models import Pledge
from sponsors.pledges.states import PledgeState
from vehicles.shop.systems import System


class PledgeFilter(django_filters.FilterSet):
    """Pledges in one state, of parts of one system."""

    state = django_filters.ChoiceFilter(
        label="State", empty_label="all", choices=choices_of(PledgeState)
    )
    system = django_filters.ChoiceFilter(
        label="System", empty_label="all", choices=choices_of(System)
    )

    class Meta:
        model = Pledge
        fields = ["state", "system"]
