"""Rows for tests: plain functions whose every default is valid; a test passes what it is about.

Each function takes any field of its model. Rows made without a program share one.
"""

from tests.factories.program import make_case, make_entry, make_fund, make_household, make_plan
from tests.factories.shared import (
    TODAY,
    make_able,
    make_address,
    make_hours,
    make_link,
    make_person,
    make_program,
    make_user,
)
from tests.factories.sponsors import make_contact, make_pledge, make_sponsor, make_supply
from tests.factories.vehicles import (
    make_bay,
    make_consent,
    make_content,
    make_finding,
    make_inspection,
    make_intake,
    make_item,
    make_key_tag,
    make_limit,
    make_need,
    make_owner,
    make_reading,
    make_scan,
    make_standing,
    make_tow,
    make_vehicle,
    make_vin,
)

__all__ = [
    "TODAY",
    "make_able",
    "make_address",
    "make_bay",
    "make_case",
    "make_consent",
    "make_contact",
    "make_content",
    "make_entry",
    "make_finding",
    "make_fund",
    "make_hours",
    "make_household",
    "make_inspection",
    "make_intake",
    "make_item",
    "make_key_tag",
    "make_limit",
    "make_link",
    "make_need",
    "make_owner",
    "make_person",
    "make_plan",
    "make_pledge",
    "make_program",
    "make_reading",
    "make_scan",
    "make_sponsor",
    "make_standing",
    "make_supply",
    "make_tow",
    "make_user",
    "make_vehicle",
    "make_vin",
]
