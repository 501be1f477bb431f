"""The models of the program's rooms, gathered for Django."""

from program.cases.models import Case
from program.days.models import Booking, CalendarFeed, Trouble
from program.decisions.models import Authorization, Supplement
from program.households.models import Household, Tie
from program.importing.models import ImportedRow, ImportRun
from program.ledger.models import Commitment, Entry, Fund, Transfer
from program.planning.models import Pin, Plan, PlannedCase, WhatIf
from program.status.models import Question

__all__ = [
    "Authorization",
    "Booking",
    "CalendarFeed",
    "Case",
    "Commitment",
    "Entry",
    "Fund",
    "Household",
    "ImportRun",
    "ImportedRow",
    "Pin",
    "Plan",
    "PlannedCase",
    "Question",
    "Supplement",
    "Tie",
    "Transfer",
    "Trouble",
    "WhatIf",
]
