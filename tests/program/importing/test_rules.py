from __future__ import annotations

import pytest

from program.importing.check import check
from program.importing.known import Facts
from tests.program.importing.samples import templates, told, with_cells

#: A row changed in some cells, and the column and sentence of the one fault that follows.
REFUSED = [
    (
        "vehicles",
        {"vin": "2T1BU4EE4AC987564", "vin_note": ""},
        "vin",
        "2T1BU4EE4AC987564 does not pass its check digit: character 9 is 4, the others ask for 3.",
    ),
    (
        "vehicles",
        {"year": "2011", "vin_note": ""},
        "year",
        "The VIN says model year 1980 or 2010, the row 2011.",
    ),
    (
        "people",
        {"skills_since": ""},
        "skills_since",
        "skills_since is empty, though skills is filled.",
    ),
    ("equipment", {"due": "2026-01-01"}, "due", "due is 2026-01-01, before inspected, 2026-02-10."),
    ("households", {"email": ""}, "email", "The channel is email, but email is empty."),
    (
        "households",
        {"channel": "text", "phone": ""},
        "phone",
        "The channel is text, but phone is empty.",
    ),
    ("cases", {"complaint": ""}, "complaint", "complaint is empty, though arrived is filled."),
    ("cases", {"step": "expected"}, "step", "The car has arrived, so it is not expected any more."),
    (
        "cases",
        {"arrived": "", "complaint": "", "step": "on_lot"},
        "arrived",
        "The step is on_lot, but the car has not arrived.",
    ),
    ("cases", {"left": "2026-11-20"}, "step", "The car has left, but its step is awaiting_parts."),
    ("cases", {"step": "handed_back"}, "left", "The step is handed_back, but left is empty."),
    (
        "cases",
        {"closed": "2026-11-20", "closed_because": "Sold."},
        "left",
        "The case is closed, but the car has not left.",
    ),
    (
        "consents",
        {"until": "2026-11-01"},
        "until",
        "until is 2026-11-01, before given, 2026-11-05.",
    ),
    (
        "repair_items",
        {"labor_low_min": "150"},
        "labor_likely_min",
        "labor_likely_min is 120, less than labor_low_min, 150.",
    ),
    ("repair_items", {"state": "done"}, "done", "done is empty, though state is done."),
    (
        "repair_items",
        {"state": "withdrawn"},
        "withdrawn_because",
        "withdrawn_because is empty, though state is withdrawn.",
    ),
    (
        "parts",
        {"price_low_usd": "150.00"},
        "price_usd",
        "price_usd is 140.00, less than price_low_usd, 150.00.",
    ),
    (
        "parts",
        {"price_usd": ""},
        "price_usd",
        "price_usd is empty, though price_low_usd is filled.",
    ),
    ("parts", {"year_to": "2001"}, "year_to", "year_to is 2001, less than year_from, 2009."),
    (
        "pledges",
        {"expires": "2026-01-01"},
        "expires",
        "expires is 2026-01-01, before pledged, 2026-11-16.",
    ),
    ("pledges", {"quantity": "0"}, "quantity", "0 is not possible; it lies between 1 and 99."),
    (
        "funds",
        {"lapses": "2020-01-01"},
        "lapses",
        "lapses is 2020-01-01, before opened, 2025-07-01.",
    ),
    (
        "opening_balances",
        {"account": "4010"},
        "account",
        "Account 4010 Gifts of money from people has no opening balance.",
    ),
]


@pytest.mark.parametrize(("name", "cells", "column", "sentence"), REFUSED)
def test_a_row_that_can_not_be_is_refused(
    name: str, cells: dict[str, str], column: str, sentence: str
) -> None:
    faults = [one for one in told(check(with_cells(name, **cells), Facts())) if one[0] == name]
    assert [fault[:3] for fault in faults][:1] == [(name, 2, column)]
    assert faults[0][3].startswith(sentence)


def test_a_vin_with_two_characters_swapped_is_told_which_was_meant() -> None:
    swapped = "2T1BU4EE4CA987654"  # position 10 and 11 of the template's
    (fault,) = check(with_cells("vehicles", vin=swapped, vin_note=""), Facts()).faults
    assert "does not pass its check digit" in fault.sentence
    assert "Likely meant: " in fault.sentence
    assert fault.remedy == "Correct it, or say in vin_note why it is right."


def test_an_unusual_vin_comes_in_with_its_note() -> None:
    unusual = with_cells("vehicles", vin="SALLHAMV3CA123456", vin_note="Built for Great Britain.")
    assert told(check(unusual, Facts())) == []


def test_a_true_vin_of_the_same_year_needs_no_note() -> None:
    cells = {"vin": "2T1BU4EE3AC987564", "year": "2010", "vin_note": ""}
    assert told(check(with_cells("vehicles", **cells), Facts())) == []


def test_somebody_whom_no_mail_may_reach_needs_no_address() -> None:
    barred = with_cells("households", email="", phone="", barred="yes")
    assert told(check(barred, Facts())) == []


def test_a_case_of_nobody_is_refused() -> None:
    faults = told(check(with_cells("cases", household="", vehicle=""), Facts()))
    assert (
        "cases",
        2,
        "household",
        "A case has a household, a vehicle or both; this has neither.",
    ) in faults


def test_a_cell_that_could_not_be_read_is_told_once() -> None:
    assert told(check(with_cells("cases", left="someday"), Facts())) == [
        ("cases", 2, "left", "“someday” is not a date. Type 2026-12-01 or 12/1/2026.")
    ]


def test_a_car_that_is_only_expected_needs_no_stay() -> None:
    gone = dict.fromkeys(
        (
            *("consents", "papers", "keys", "contents", "inspections", "readings", "not_read"),
            *("findings", "repair_items", "parts", "ledger_entries"),
            *("diagnoses", "observations", "conclusions", "held"),
            *("trouble_codes", "fluid_readings"),
        )
    )
    expected = with_cells("cases", arrived="", complaint="", step="", odometer_mi="")
    kept = {name: content for name, content in expected.items() if name not in gone}
    assert told(check(kept, Facts())) == []
    assert set(templates()) - set(kept) == set(gone)
