"""Narrowing the list of messages."""

from __future__ import annotations

import django_filters

from shared.outbox.models import Message
from shared.outbox.tables import KINDS, STATES


class MessageFilter(django_filters.FilterSet):
    """Messages of one kind, in one state."""

    state = django_filters.ChoiceFilter(
        label="State",
        empty_label="all",
        choices=[(state.value, words) for state, words in STATES.items()],
    )
    kind = django_filters.ChoiceFilter(
        label="Kind",
        empty_label="all",
        choices=[(kind.value, words) for kind, words in KINDS.items()],
    )

    class Meta:
        model = Message
        fields = ["state", "kind"]
