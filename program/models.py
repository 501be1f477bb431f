"""The models of the program's rooms, gathered for Django."""

from program.bank.models import BankLayout, BankLine, BankMatch, BankStatement
from program.budget.models import BudgetLine
from program.cases.models import Case
from program.closing.models import CloseStep, DutyDone, YearFile
from program.days.models import Booking, CalendarFeed, Trouble
from program.decisions.models import Authorization, Supplement
from program.gifts.models import Offer
from program.grants.models import Claim, ClaimAnswer, ClaimLine, Grant
from program.households.models import Household, Tie
from program.importing.models import ImportedRow, ImportRun
from program.ledger.kept_models import Balance, DayBalance, Turnover
from program.ledger.models import Commitment, Entry, Fund, Proposal, ShutMonth, Transfer
from program.papers.models import Paper
from program.planning.models import Pin, Plan, PlannedCase, WhatIf
from program.status.models import Question

__all__ = [
    "Authorization",
    "Balance",
    "BankLayout",
    "BankLine",
    "BankMatch",
    "BankStatement",
    "Booking",
    "BudgetLine",
    "CalendarFeed",
    "Case",
    "Claim",
    "ClaimAnswer",
    "ClaimLine",
    "CloseStep",
    "Commitment",
    "DayBalance",
    "DutyDone",
    "Entry",
    "Fund",
    "Grant",
    "Household",
    "ImportRun",
    "ImportedRow",
    "Offer",
    "Paper",
    "Pin",
    "Plan",
    "PlannedCase",
    "Proposal",
    "Question",
    "ShutMonth",
    "Supplement",
    "Tie",
    "Transfer",
    "Trouble",
    "Turnover",
    "WhatIf",
    "YearFile",
]
