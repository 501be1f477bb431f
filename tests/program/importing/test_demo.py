"""The demonstration: its counts, that nobody is meant, that it loads and ties, and its story."""

from __future__ import annotations

import csv
import re
from collections import Counter
from datetime import date, timedelta
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from program.budget.fiscal import year_as_of
from program.budget.queries import rows_of
from program.budget.variance import report
from program.cases.models import Case
from program.households.models import Household
from program.importing import archive
from program.importing.actions import import_folder
from program.importing.check import Checked, check
from program.importing.known import Facts
from program.importing.sheets import SHEETS
from program.importing.states import ImportState
from program.ledger import chart, ledger, posting, queries
from program.ledger.models import Fund
from program.planning.asking import ask_first
from program.planning.explain import why_not
from program.planning.gathering import gather
from program.planning.problem import MINUTES, PlanInput
from program.planning.selection import select
from program.statements.queries import Report
from program.statements.statements import fund_lines
from shared.accounts.models import Program
from shared.accounts.roles import RoleKind
from sponsors.matching.matching import Cause, match
from sponsors.matching.queries import need_line, supply_line, usable_supplies
from tests.factories import make_user
from vehicles.custody.models import Condition
from vehicles.inspection.criteria import DeficiencyClass
from vehicles.inspection.judged import makes_finding
from vehicles.intake import vin
from vehicles.repairs.actions import rank_items
from vehicles.repairs.charges import Rates
from vehicles.repairs.models import Need, RepairItem

if TYPE_CHECKING:
    from program.planning.plan import Plan

FOLDER = Path(__file__).resolve().parents[3] / "fixtures" / "demo"
MONDAY = date(2026, 11, 30)  # the base Monday of fixtures/demo/README.md
LAST_DAY = date(2026, 11, 25)  # what has happened is dated this day or earlier
#: Columns of days that lie ahead.
AHEAD = {
    "due",
    "waiver_until",
    "license_until",
    "insurer_list_until",
    "certificate_until",
    "until",
    "expires",
    "available",
    "lapses",
    "promised",
    "next_word",
    "threat_on",
    "year_of",
}
ISO = re.compile(r"\d{4}-\d{2}-\d{2}")
MONTHS = re.compile(
    r"\b(January|February|March|April|May|June|July|August|September|October|November|December)\b"
)


@pytest.fixture(scope="module")
def sheets() -> dict[str, list[dict[str, str]]]:
    found = {}
    for name in SHEETS:
        with (FOLDER / f"{name}.csv").open(encoding="utf-8", newline="") as file:
            found[name] = list(csv.DictReader(file))
    return found


@pytest.fixture(scope="module")
def checked() -> Checked:
    return check(archive.from_folder(FOLDER), Facts())


@pytest.fixture
def program(db: None) -> Program:
    run = import_folder(FOLDER, program=None, by=None)
    assert (run.state, run.problems) == (ImportState.DONE, [])
    return Program.objects.get()


@pytest.fixture
def week(program: Program) -> tuple[PlanInput, Plan]:
    rank_items(program=program, given=frozenset(), rates=Rates(), today=LAST_DAY)
    plan_input = gather(program, first_week_on=MONDAY, weeks=3)
    return plan_input, select(plan_input)


def test_it_holds_what_the_main_line_is_shown_with(
    sheets: dict[str, list[dict[str, str]]],
) -> None:
    count = {name: len(rows) for name, rows in sheets.items()}
    closed = {row["ref"] for row in sheets["cases"] if row["closed"]}
    open_items = [row for row in sheets["repair_items"] if row["case"] not in closed]
    restricted = [row["code"] for row in sheets["funds"] if row["restricted"] == "yes"]
    assert (count["cases"], count["sponsors"], count["funds"]) == (76, 14, 5)
    assert restricted == ["PRU", "ORR", "WIN"]
    assert len(open_items) >= 90
    assert count["pledges"] >= 40
    assert 150 <= count["ledger_entries"] <= 300


def test_more_than_110_findings_of_all_four_classes_stand_behind_the_work(checked: Checked) -> None:
    shown = [one for one in checked.judgments.values() if makes_finding(one)]
    assert len(shown) + len(checked.new["findings"]) >= 110
    assert {one.deficiency for one in shown} == set(DeficiencyClass)


def test_every_vin_is_valid_fits_its_year_and_is_marked_as_invented(
    sheets: dict[str, list[dict[str, str]]],
) -> None:
    for row in sheets["vehicles"]:
        assert vin.validate(row["vin"]) == row["vin"]
        assert row["vin_note"] == "invented"
        assert vin.model_year(row["vin"]) == int(row["year"])
        assert vin.model_year_is_sure(row["vin"])
        assert vin.region(row["vin"]) == ""


def test_no_phone_number_or_mail_address_reaches_anybody(
    sheets: dict[str, list[dict[str, str]]],
) -> None:
    rows = [row for name in ("program", "households", "sponsors") for row in sheets[name]]
    phones = [row["phone"] for row in rows if row["phone"]]
    assert [one for one in phones if not re.fullmatch(r"555-01\d\d", one)] == []
    assert [one for one, times in Counter(phones).items() if times > 1] == []
    mails = [row["email"] for row in rows if row["email"]]
    assert [one for one in mails if not one.endswith(".example")] == []


def test_what_sponsors_read_names_no_household(sheets: dict[str, list[dict[str, str]]]) -> None:
    names = {word for row in sheets["households"] for word in row["name"].split()}
    texts = [row["text_for_sponsors"] for row in sheets["parts"]]
    assert [text for text in texts if names & set(re.findall(r"\w+", text))] == []


def test_every_date_can_be_moved_and_the_past_ends_on_the_wednesday(
    sheets: dict[str, list[dict[str, str]]],
) -> None:
    for name, rows in sheets.items():
        for row in rows:
            for column, cell in row.items():
                if not ISO.fullmatch(cell):
                    assert not ISO.search(cell), (name, row["ref"], column)
                    assert not MONTHS.search(cell), (name, row["ref"], column)
                elif column == "week":
                    assert date.fromisoformat(cell) >= MONDAY, (name, row["ref"])
                elif column not in AHEAD:
                    assert date.fromisoformat(cell) <= LAST_DAY, (name, row["ref"], column)


def test_six_households_read_spanish_and_three_may_not_be_written_to(program: Program) -> None:
    rows = Household.objects.select_related("address")
    assert rows.filter(address__language="es").count() == 6
    silent = rows.filter(address__says="nothing").order_by("name")
    assert [(one.name, one.address.barred) for one in silent] == [
        ("Pilar Quist", False),
        ("Pola Ostrowski", True),
    ]
    assert [one.name for one in rows.filter(safe_contact_on=None)] == ["Declan Rourke"]


def test_loaded_twice_it_changes_nothing(program: Program) -> None:
    again = import_folder(FOLDER, program=program, by=None)
    assert again.state == ImportState.DONE
    assert [(name, one["new"]) for name, one in again.counts.items() if one["new"]] == []


def test_a_comeback_stands_where_its_open_case_says(program: Program) -> None:
    old, back = Case.objects.filter(number__in=("26-028", "26-050"))
    assert old.vehicle == back.vehicle
    assert Condition.objects.get(vehicle=back.vehicle).step == "assessment"


def test_the_books_tie_and_all_restricted_spending_is_released(program: Program) -> None:
    funds = queries.pure_funds(Fund.objects.all())
    rows = queries.transfers(program)
    first = min(row.on for row in rows)
    reader = make_user(RoleKind.TREASURER, program=program)
    report = Report(reader, program, first, LAST_DAY)
    assert [str(tie.what) for tie in report.ties if not tie.holds] == []
    assert posting.overdrawn(funds.values(), ledger.balances(rows), chart.load()) == []
    assert LAST_DAY - first >= timedelta(days=350)
    for line in fund_lines(report.books):
        assert line.opening + line.income - line.spending + line.moved == line.closing


def test_some_lines_of_the_budget_are_kept_and_some_are_not(program: Program) -> None:
    year = year_as_of(2026, first_month=1, today=LAST_DAY)
    found = report(rows_of(program, year))
    worse = [row for row in (*found.income, *found.expense) if row.line and row.difference < 0]
    better = [row for row in (*found.income, *found.expense) if row.line and row.difference > 0]
    assert min(len(worse), len(better)) >= 5
    assert [row.account for row in found.expense if row.line is None] == ["6080"]
    assert abs(found.net.outcome) * 20 < found.went_out.budget


def test_what_is_dangerous_comes_first(program: Program) -> None:
    rank_items(program=program, given=frozenset(), rates=Rates(), today=LAST_DAY)
    late = RepairItem.objects.open().filter(findings__deficiency="dangerous", tier__gt=0)
    assert list(late) == []
    assert RepairItem.objects.open().filter(findings__deficiency="dangerous").exists()


def test_eight_cars_go_home_and_each_other_one_waits_for_another_reason(
    week: tuple[PlanInput, Plan],
) -> None:
    plan_input, plan = week
    assert plan.proven
    assert sorted(plan.case_ids) == [f"26-0{number}" for number in (31, 36, 38, 39, 41, 42, 44, 50)]
    decide = [case.id for case in plan_input.cases if str(case.hold or "").startswith("A person")]
    assert sorted(decide) == ["26-037", "26-045"]
    money = why_not(plan_input, plan, "26-046").addition
    assert money is not None
    assert 130_00 <= money.cents <= 150_00
    hours = why_not(plan_input, plan, "26-047").addition
    assert hours is not None
    # What comes off once for several jobs counts once: 85 minutes less than their sum.
    assert (hours.cents, hours.total(MINUTES), hours.need_ids) == (0, 125, ())
    part = why_not(plan_input, plan, "26-043").addition
    assert part is not None
    assert (part.cents, part.total(MINUTES), len(part.need_ids)) == (0, 0, 1)


def test_one_part_asked_for_first_frees_two_cars(week: tuple[PlanInput, Plan]) -> None:
    plan_input, plan = week
    first, second, *_ = ask_first(plan_input, plan)
    assert (first.label, first.freed) == ("Steering rack", ("26-046", "26-052"))
    assert (first.displaced, second.freed) == ((), ("26-043",))


def test_pledges_fit_or_fail_in_every_way(program: Program) -> None:
    needs = [need_line(need, MONDAY) for need in Need.objects.open()]
    supplies = [supply_line(one) for one in usable_supplies(program, LAST_DAY)]
    found = match(needs, supplies)
    assert len(found.matches) >= 20
    assert {one.cause for one in found.unserved} == {
        Cause.OUTRANKED,
        Cause.EXPIRES,
        Cause.CONDITION,
        Cause.DOES_NOT_FIT,
        Cause.NO_SUPPLY,
    }
