from __future__ import annotations

import io
from pathlib import Path

import pytest
from django.core.management import CommandError, call_command

from program.importing.actions import import_folder
from program.models import Balance, Transfer
from tests.factories import make_entry, make_fund, make_program

pytestmark = pytest.mark.django_db

DEMO = Path(__file__).resolve().parents[4] / "fixtures" / "demo"
HOLDS = "Each balance that is kept equals the sum of its transfers."


def said(**options: object) -> list[str]:
    out = io.StringIO()
    try:
        call_command("check_books", stdout=out, **options)
    except CommandError as failure:
        out.write(f"{failure} Exit {failure.returncode}.")
    return out.getvalue().splitlines()


def test_the_demonstrations_books_hold() -> None:
    program = import_folder(DEMO, program=None, by=None).program
    lines = said()
    count = Transfer.objects.count()
    assert (lines[0], lines[-1]) == (f"{program}: {count:,} transfers", "The books hold.")
    assert {line.split()[0] for line in lines[1:-1]} == {"holds"}
    assert count > 100


def test_every_programs_books_are_checked() -> None:
    make_entry(("1010", "4010", 9_000, make_fund()))
    make_program(name="Other garage")
    assert [line for line in said() if "transfers" in line and "holds" not in line] == [
        "Osier Street Garage: 1 transfers",
        "Other garage: 0 transfers",
    ]


def test_what_differs_is_named_and_the_exit_says_so() -> None:
    make_entry(("1010", "4010", 9_000, make_fund(code="GEN")))
    Balance.objects.filter(account="1010").update(cents=9_100)
    lines = said()
    assert lines[1:3] == [
        f"  differs          2  {HOLDS}",
        " " * 22 + "GEN, account 1010: $91.00 is kept, the transfers add up to $90.00.",
    ]
    assert lines[-1] == "2 checks fail. Correct what is named, or restore a copy. Exit 1."


@pytest.mark.parametrize(("every", "named"), [(False, 21), (True, 22)])
def test_a_long_list_is_cut_unless_all_are_asked_for(every: bool, named: int) -> None:  # noqa: FBT001  # a case of the table
    make_entry(("1010", "4010", 9_000, make_fund(code="GEN")))
    for number in range(11):
        make_entry(("6010", "1010", 100, make_fund(code=f"F{number:02}")))
    Balance.objects.filter(fund__code__startswith="F").update(cents=0)
    lines = said(all=every)
    assert sum(line.startswith(" " * 22) for line in lines) == named
    assert (" " * 22 + "And 2 more; --all names them." in lines) is not every
