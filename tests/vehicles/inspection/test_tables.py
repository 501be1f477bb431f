"""Local limits in a table, each beside the shipped one."""

from __future__ import annotations

from tests.factories import TODAY
from tests.shared.pages import tidy
from vehicles.inspection.queries import LimitLine
from vehicles.inspection.tables import LimitTable
from vehicles.models import LocalLimit


def cells(*, fits: bool = True, **fields: object) -> dict[str, str]:
    defaults = {
        "pk": 7,
        "criterion": "tire-tread",
        "reason": "5.2.3 e.2",
        "typed": "4/32 in",
        "since_on": TODAY,
        "because": "The state asks for more.",
    }
    row = LocalLimit(**defaults | fields)
    table = LimitTable([LimitLine(row=row, title="Tread depth", shipped="< 2/32 in", fits=fits)])
    line = next(iter(table.rows))
    return {column.name: tidy(str(line.get_cell(column.name))) for column in table.columns}


def test_a_limit_stands_beside_the_shipped_one_with_its_reason() -> None:
    found = cells()
    assert (found["typed"], found["shipped"]) == ("4/32 in", "< 2/32 in")
    assert found["title"].startswith("Tread depth")
    assert found["because"] == "The state asks for more."
    assert found["ended_on"] == '<a href="/cars/limits/7/end/">End it</a>'


def test_a_limit_names_its_law_its_end_and_that_it_no_longer_fits() -> None:
    assert "State code 7" in cells(source="State code 7")["because"]
    assert cells(ended_on=TODAY)["ended_on"] == "Nov 30"
    assert "No longer fits the catalogue: end it" in cells(fits=False)["ended_on"]
