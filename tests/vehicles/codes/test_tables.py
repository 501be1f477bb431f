"""How one code is listed."""

from __future__ import annotations

from typing import Any

import pytest

from shared.templatetags import handback
from tests.factories import make_intake, make_scan
from vehicles.codes.computing import codes_page
from vehicles.codes.tables import MARKS, CodeTable, structure
from vehicles.codes.trouble_codes import Severity, decode

pytestmark = pytest.mark.django_db


def cells(codes: str, **fields: Any) -> list[dict[str, str]]:
    stay = make_intake()
    make_scan(stay, codes, **fields)
    table = CodeTable(codes_page(stay).scans[0])
    return [{column.name: str(cell) for column, cell in row.items()} for row in table.rows]


def sub(text: str) -> str:
    return f'<span class="sub">{text}</span>'


def test_each_severity_has_a_mark() -> None:
    assert list(MARKS) == list(Severity)


def test_a_known_code_says_what_it_means_how_urgent_it_is_and_whence_that_comes() -> None:
    (row,) = cells("P0217")
    assert row["code"] == f'<span class="code">P0217</span>{sub("Confirmed")}'
    assert row["says"].startswith("Engine over-temperature.")
    assert row["severity"] == handback.mark("dangerous", "stop driving") + sub(
        "Not driven until it has been checked."
    )
    assert row["thought"] == "Overheating: do not drive."


def test_a_source_that_was_not_read_says_so() -> None:
    stay = make_intake()
    make_scan(stay, "P0217").codes.update(source="SAE J2012", seen=False)
    table = CodeTable(codes_page(stay).scans[0])
    assert table.render_source(codes_page(stay).scans[0].rows[0]) == (
        "SAE J2012 (from memory, text not seen)"
    )


def test_a_makers_own_code_is_kept_and_not_guessed() -> None:
    (row,) = cells("P1345")
    assert row["says"] == "Not in this table." + sub(
        "Powertrain, maker’s own: ignition or misfire."
    ) + sub("Maker’s own code: look it up in the maker’s book.")
    assert row["severity"] == handback.mark("unread", "not known")
    assert (row["thought"], row["source"]) == (handback.NOTHING, handback.NOTHING)


def test_what_the_tool_said_is_escaped() -> None:
    (row,) = cells("P0217", pasted="P0217 confirmed <b>hot</b>")
    assert sub("The tool says: b&gt;hot b.") in row["says"]


def test_a_structure_without_a_group_is_said_without_one() -> None:
    assert structure(decode("U0100")) == "Network, standard."
