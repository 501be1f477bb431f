"""What the lists of cars, findings and items write into their cells."""

from __future__ import annotations

import pytest

from tests.factories import make_finding, make_intake, make_item, make_need, make_user, make_vehicle
from tests.shared.pages import tidy
from vehicles.inspection.queries import with_sheet_state
from vehicles.models import Intake, RepairItem
from vehicles.repairs.actions import require_first
from vehicles.repairs.queries import after_causes, with_work
from vehicles.repairs.tables import (
    FindingTable,
    ItemTable,
    VehicleTable,
    need_in_words,
    source_of,
    subs,
)

pytestmark = pytest.mark.django_db


def cells(table: VehicleTable | FindingTable | ItemTable) -> dict[str, str]:
    row = next(iter(table.rows))
    return {column.name: tidy(str(row.get_cell(column.name))) for column in table.columns}


def cars() -> VehicleTable:
    return VehicleTable(with_sheet_state(Intake.objects.select_related("vehicle__condition")))


def test_a_car_has_its_step_in_words_and_its_worst_class() -> None:
    stay = make_finding(deficiency="major").intake
    found = cells(cars())
    assert f'href="/cars/{stay.pk}/"' in found["car"]
    assert found["step"] == "In assessment"
    assert (found["read"], found["left"]) == ("0", "280")
    assert found["worst"].endswith("major</span>")


def test_a_car_that_is_not_all_read_is_never_called_good() -> None:
    make_intake()
    assert cells(cars())["worst"].endswith("none so far</span>")


def test_a_car_read_through_without_a_finding_has_none() -> None:
    make_intake()
    table = cars()
    record = next(iter(table.rows)).record
    record.left = 0
    column = table.columns["worst"].column
    assert str(column.render(0, record)).endswith("none</span>")
    assert (column.value(0, record), column.value(3, record)) == ("none", "dangerous")


def test_the_export_has_words_and_no_markup() -> None:
    make_intake(vehicle=make_vehicle(plate="BWK 4471"))
    make_finding()
    head, first, second = cars().as_values()
    assert head[:5] == ["Car", "Plate", "Step", "Place", "Worst open"]
    assert first[:5] == ["2012 Toyota Corolla", "BWK 4471", "In assessment", None, "none so far"]
    assert second[4] == "dangerous"


def test_a_finding_has_its_class_its_sentence_and_its_source() -> None:
    cause = make_finding(title="Bent tie rod")
    finding = make_finding(intake=cause.intake, caused_by=cause)
    found = cells(FindingTable([finding]))
    assert found["deficiency"].endswith("dangerous</span>")
    assert found["sentence"] == (
        "1/32 in of tread, the limit is 2/32 in."
        '<span class="sub">49 CFR 570.9(a) (from memory, text not seen)</span>'
    )
    assert found["caused_by"] == "Bent tie rod"


def test_a_finding_that_keeps_or_strands_a_car_says_so() -> None:
    finding = make_finding(deficiency="none", never_release=True, strands=True)
    assert cells(FindingTable([finding]))["deficiency"].endswith(
        'none</span><span class="sub">never released with this</span>'
        '<span class="sub">leaves the household standing</span>'
    )


def test_a_source_says_whether_its_text_was_read() -> None:
    assert source_of(make_finding(text_seen=True)) == "49 CFR 570.9(a) (text seen)"
    assert source_of(make_finding(source="")) == "judged by the technician"


def test_an_item_has_its_tier_the_step_that_set_it_and_what_comes_first() -> None:
    finding = make_finding(deficiency="major")
    worse = make_finding(intake=finding.intake)
    item = make_item(
        intake=finding.intake,
        findings=[finding, worse],
        tier_because="Tier 0: the class is dangerous.",
        caution="Stand aside.",
        index_tenths=667,
        net_cost_cents=24_000,
        cell="1C",
    )
    first = make_item(intake=finding.intake, title="Tie rod end")
    require_first(item=item, first=first, by=make_user())
    need = make_need(item=item)
    found = cells(ItemTable([item]))
    assert found["title"] == (
        f'<a href="/cars/{item.intake_id}/items/{item.pk}/">Two front tires</a>'
        '<span class="sub">Tier 0: the class is dangerous.</span>'
        '<span class="sub">After: Tie rod end.</span>'
        '<div class="sub"><p><b>Caution:</b>Stand aside.</p></div>'
    )
    assert found["findings"].endswith("dangerous</span>")
    assert "tier 0," in found["tier"]
    assert (found["cell"], found["points"], found["index_tenths"]) == ("1C", "160", "66.7")
    assert (found["net_cost_cents"], found["needs"]) == (
        "240.00",
        f'<span class="sub"><a href="/needs/{need.pk}/">Radiator, $120.00</a></span>',
    )


def test_an_item_without_finding_or_need_has_a_dash() -> None:
    found = cells(ItemTable([make_item()]))
    assert (found["findings"].endswith("none</span>"), found["needs"]) == (True, "–")


def test_points_and_cash_are_summed() -> None:
    stay = make_intake()
    items = [make_item(intake=stay, net_cost_cents=1_050) for _ in range(2)]
    columns = ItemTable(items).columns
    assert (columns["points"].footer, columns["net_cost_cents"].footer) == ("320", "21.00")


@pytest.mark.parametrize(
    ("fields", "words"),
    [
        ({}, "Radiator, $120.00"),
        ({"quantity": 2}, "2 × Radiator, $120.00 each"),
        ({"state": "filled"}, "Radiator: filled"),
        (
            {"price_cents": None, "price_low_cents": None, "price_high_cents": None},
            "Radiator, can’t be bought",
        ),
    ],
)
def test_a_need_is_said_in_words(fields: dict[str, object], words: str) -> None:
    assert need_in_words(make_need(**fields)) == words


def test_lines_below_a_cell_are_escaped_and_empty_ones_left_out() -> None:
    assert subs(["", "a < b"]) == '<span class="sub">a &lt; b</span>'


def test_an_item_says_after_what_it_comes_and_which_cause_nobody_repairs() -> None:
    killer = make_finding(title="Fan stands still")
    killed = make_finding(intake=killer.intake, title="Gasket leaks", caused_by=killer)
    item = make_item(intake=killer.intake, title="Head gasket", findings=[killed])
    assert "Its cause, “Fan stands still”, has no repair item yet." in title_cell(item)
    make_item(intake=killer.intake, title="Fan motor", findings=[killer])
    assert "After: Fan motor." in title_cell(item)


def title_cell(item: RepairItem) -> str:
    rows = list(with_work(RepairItem.objects.filter(intake=item.intake)))
    table = ItemTable(rows, causes=after_causes(rows))
    return str(next(row.get_cell("title") for row in table.rows if row.record == item))


def items_of(stay: Intake) -> ItemTable:
    rows = list(with_work(stay.items.ranked()).prefetch_related("needs_first__first"))
    return ItemTable(rows, causes=after_causes(rows))


def test_a_list_without_order_gate_or_shared_work_has_no_picture() -> None:
    table = items_of(make_item().intake)
    assert (table.order, table.gate, table.shared) == (None, None, [])


def test_the_picture_says_what_comes_first_and_which_item_is_the_gate() -> None:
    stay = make_intake()
    first = make_item(intake=stay, title="Steering rack", sublet_cents=400_00)
    then = make_item(intake=stay, title="Alignment")
    require_first(item=then, first=first, by=make_user())
    table = items_of(stay)
    assert table.gate is not None
    assert table.gate.title == "Steering rack"
    assert table.order is not None
    assert str(table.order.title) == (
        "What comes first. Steering rack: nothing; Alignment: Steering rack"
    )


def test_what_comes_off_once_is_said_below_the_list() -> None:
    stay = make_intake()
    for title in ("Hose", "Pads"):
        make_item(intake=stay, title=title, access="wheels_front", access_minutes=10)
    assert [str(one.sentence) for one in items_of(stay).shared] == [
        "The front wheels come off once for “Hose” and “Pads”: 10 minutes less."
    ]
