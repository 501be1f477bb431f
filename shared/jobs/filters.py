"""Narrowing the list of jobs."""

from __future__ import annotations

import django_filters

from shared.jobs.models import Job
from shared.jobs.states import JobState
from shared.jobs.tables import WORDS


class JobFilter(django_filters.FilterSet):
    """Jobs in one state."""

    state = django_filters.ChoiceFilter(
        label="State",
        empty_label="all",
        choices=[(state.value, WORDS[state]) for state in JobState],
    )

    class Meta:
        model = Job
        fields = ["state"]
