from __future__ import annotations

from datetime import date

from program.importing.known import Facts, Stay, World, fund_of
from program.importing.rows import Key, Row
from program.ledger.restrictions import Fund, Rule

ARRIVED = date(2026, 11, 5)
CASE = Row(
    sheet="cases", number=2, ref="c1", values={"vehicle": "v1", "arrived": ARRIVED, "number": "1"}
)
FUND = Row(
    sheet="funds",
    number=2,
    ref="g1",
    values={
        "code": "PRU",
        "name": "Pruitt gift",
        "restricted": True,
        "systems": ("brakes",),
        "counties": ("alder",),
        "until": date(2027, 6, 30),
    },
)


def world(*rows: Row, facts: Facts | None = None) -> World:
    return World(rows={row.key: row for row in rows}, facts=facts or Facts())


def test_a_stay_is_that_of_the_sheet_or_of_an_earlier_import() -> None:
    there = world(CASE, facts=Facts(stays={"c0": Stay("v0", None)}))
    assert there.stay("c1") == Stay("v1", ARRIVED)
    assert there.stay("c0") == Stay("v0", None)
    assert there.stay("c9") is None


def test_a_row_belongs_to_the_vehicle_of_its_case() -> None:
    reading = Row(sheet="readings", number=2, ref="r1", values={"case": "c1"})
    owner = Row(sheet="owners", number=2, ref="o1", values={"vehicle": "v2"})
    there = world(CASE, reading, owner, facts=Facts(vehicles={Key("findings", "f0"): "v3"}))
    keys = (reading.key, owner.key, Key("findings", "f0"), Key("findings", "f9"))
    assert [there.vehicle(key) for key in keys] == ["v1", "v2", "v3", ""]


def test_a_fund_carries_its_restriction() -> None:
    rule = Rule(
        systems=frozenset({"brakes"}), counties=frozenset({"alder"}), until_on=date(2027, 6, 30)
    )
    fund = Fund(code="PRU", name="Pruitt gift", restricted=True, rule=rule)
    assert fund_of(FUND) == world(FUND).fund("g1") == fund
    assert world(facts=Facts(funds={"g0": fund})).fund("g0") == fund
