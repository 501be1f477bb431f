"""The items of a plan's cars: hours, money, parts and days elsewhere."""

from __future__ import annotations

import datetime as dt
from typing import TYPE_CHECKING

import pytest

from shared.policy.models import Policy
from tests.factories import make_hours, make_need, make_person
from tests.program.planning.gathered import gathered
from tests.program.planning.weeks import make_ready, make_shop, make_work

if TYPE_CHECKING:
    from program.planning.problem import Item
    from shared.models import Program

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("monday")]

EXACT = {"price_low_cents": 10_000, "price_cents": 10_000, "price_high_cents": 10_000}


def rule(program: Program, **values: int) -> None:
    """Let the board have set these policies at the beginning of the year."""
    for name, value in values.items():
        Policy.objects.create(program=program, name=name, value=value, since_on=dt.date(2026, 1, 1))


def items() -> dict[str, Item]:
    return {item.label: item for item in gathered().items}


def test_an_item_carries_its_labor_its_money_and_what_comes_first() -> None:
    make_shop()
    case = make_ready()
    first = make_work(case, title="Left hub")
    second = make_work(case, title="Alignment", tier=2, points=40, labor_likely_minutes=60)
    second.needs_first.create(program=case.program, first=first)
    items = {item.label: item for item in gathered().items}
    assert items["Left hub"].minutes == 60
    assert items["Left hub"].cash_cents == 20_000
    assert items["Left hub"].prerequisites == ()
    assert items["Alignment"].prerequisites == (str(first.pk),)
    assert (items["Alignment"].tier, items["Alignment"].points) == (2, 40)


def test_a_need_of_four_becomes_four_parts_that_cost_what_it_costs() -> None:
    make_shop()
    item = make_work(make_ready(), sublet_cents=0)
    prices = {"price_low_cents": 9_000, "price_cents": 9_000, "price_high_cents": 9_000}
    need = make_need(item=item, quantity=4, **prices)
    parts = gathered().items[0].parts
    assert [part.id for part in parts] == [f"{need.pk}.{n}" for n in (1, 2, 3, 4)]
    assert [part.price_cents for part in parts] == [9_000] * 4


def test_a_part_without_a_price_can_only_be_given() -> None:
    make_shop()
    none = dict.fromkeys(("price_low_cents", "price_cents", "price_high_cents"))
    make_need(item=make_work(make_ready()), **none)
    assert [part.price_cents for part in gathered().items[0].parts] == [None]


def test_parts_chosen_by_size_are_of_one_kind_in_any_car() -> None:
    make_shop()
    tire = {"kind": "tire", "title": "Tire 205/55R16", "fitment": {"tire_size": "205/55R16"}}
    make_need(item=make_work(make_ready("26-041")), car={"make": "Toyota"}, **tire)
    make_need(item=make_work(make_ready("26-042")), car={"make": "Ford"}, **tire)
    make_need(item=make_work(make_ready("26-043")), car={"make": "Ford", "year": 2012})
    kinds = [part.kind for item in gathered().items for part in item.parts]
    assert kinds[0] == kinds[1]
    assert len(set(kinds)) == 2


def test_only_work_done_elsewhere_takes_the_days_of_the_policy() -> None:
    rule(make_shop(), outside_days=3)
    case = make_ready()
    make_work(case, title="Alignment")
    make_work(case, title="Machined head", outside_days=5)
    make_work(case, title="Front pads", sublet_cents=0)
    days = {label: item.outside_days for label, item in items().items()}
    assert days == {"Alignment": 3, "Machined head": 5, "Front pads": 0}


def test_only_work_done_here_takes_the_hours_of_those_who_may_do_it() -> None:
    make_hours(person=make_person(program=make_shop(), name="Femi Oyelaran"), minutes=600)
    case = make_ready()
    make_work(case, title="Front pads", system="brakes", sublet_cents=0)
    make_work(case, title="Machined rotors", system="brakes")
    uses = {label: item.uses for label, item in items().items()}
    assert uses == {"Front pads": {"minutes of Rosalind Amadi": 60}, "Machined rotors": {}}


def test_what_only_comes_off_and_on_again_is_anybodys() -> None:
    make_hours(person=make_person(program=make_shop(), name="Femi Oyelaran"), minutes=600)
    make_work(make_ready(), system="brakes", sublet_cents=0, access="wheels", access_minutes=20)
    (item,) = gathered().items
    assert item.uses == {"minutes of Rosalind Amadi": 40}
    assert (item.minutes, item.access, item.access_minutes) == (60, "wheels", 20)


def test_supplies_are_asked_once_a_car() -> None:
    rule(make_shop(), supplies_percent=10)
    case = make_ready()
    for title in ("Radiator", "Thermostat"):
        make_need(item=make_work(case, title=title, sublet_cents=0), title=title, **EXACT)
    found = items()
    prices = [item.parts[0].price_cents for item in found.values()]
    assert ([item.cash_cents for item in found.values()], prices) == ([2_000, 0], [10_000] * 2)


def test_the_tax_on_a_part_is_in_its_price() -> None:
    rule(make_shop(), parts_tax_hundredths=825)
    make_need(item=make_work(make_ready(), sublet_cents=0), **EXACT)
    (item,) = gathered().items
    assert (item.cash_cents, item.parts[0].price_cents) == (0, 10_825)


def test_what_has_to_dry_stays_longer_in_the_bay_and_takes_nobody() -> None:
    make_shop()
    case = make_ready()
    make_work(case, title="Windshield", rest_minutes=90)
    make_work(case, title="Front pads")
    minutes = {label: (item.minutes, item.in_bay_minutes) for label, item in items().items()}
    assert minutes == {"Windshield": (60, 150), "Front pads": (60, 60)}


def test_a_car_without_an_open_item_has_none() -> None:
    make_shop()
    make_ready()
    assert gathered().items == ()
