from __future__ import annotations

import datetime as dt
from typing import TYPE_CHECKING

import pytest

from program.importing.states import ImportState
from tests.program.importing.samples import example, sheet, sheet_import, templates, with_cells
from vehicles.diagnosis.batch import cars_of
from vehicles.diagnosis.complaints import text_of
from vehicles.models import Conclusion, Diagnosis, Finding, Held, KeptModel, Observation

if TYPE_CHECKING:
    from pathlib import Path

    from program.importing.models import ImportRun

pytestmark = pytest.mark.django_db

NOT_ENDED = {"ended": "", "ended_by": "", "ended_how": ""}
#: A gasket that went because the hose had lost the coolant.
SEEN = (
    ("when", "speed"),
    ("coolant-level", "low"),
    ("pressure-test", "outside"),
    ("hoses-look", "wet"),
    ("block-test", "yellow"),
    ("cylinder-scope", "wet"),
)


def imported(path: Path, **rows: list[dict[str, str]]) -> ImportRun:
    run = sheet_import(
        path, templates(**{name: sheet(name, found) for name, found in rows.items()})
    )
    assert (run.state, run.problems) == (ImportState.DONE, [])
    return run


def observations() -> list[dict[str, str]]:
    return [
        example("observations", ref=f"ob{number}", check=check, outcome=outcome)
        for number, (check, outcome) in enumerate(SEEN)
    ]


def test_a_diagnosis_keeps_the_shipped_text_and_who_did_what_when(tmp_path: Path) -> None:
    imported(tmp_path)
    row = Diagnosis.objects.get()
    assert (row.model.text, row.model.origin) == (text_of("overheats"), "shipped")
    assert (row.verified, row.ended_how, str(row.ended_by)) == (
        "shown",
        "concluded",
        "Rosalind Amadi",
    )
    seen = Observation.objects.get()
    assert row.begun_at < seen.at < Conclusion.objects.get().at < (row.ended_at or seen.at)
    assert (seen.source, seen.seen_by) == ("seen", "Rosalind Amadi, ASE A5 brakes")


def test_a_question_was_asked_where_the_sheet_says_nothing_else(tmp_path: Path) -> None:
    rows = [
        example("observations", check="when", outcome="standing"),
        example("observations", ref="ob2", check="codes", outcome="hot", source="codes"),
        example("observations", ref="ob3", outcome="", could_not="Too hot to touch."),
    ]
    imported(tmp_path, observations=rows)
    found = Observation.objects.order_by("at")
    assert [(one.source, one.could_not) for one in found] == [
        ("asked", ""),
        ("codes", ""),
        ("seen", "Too hot to touch."),
    ]


def test_a_conclusion_is_the_finding_it_names_with_its_computed_probability(tmp_path: Path) -> None:
    imported(tmp_path)
    row = Conclusion.objects.get()
    assert row.finding.title == "Radiator split at the upper tank"
    assert (row.sureness, row.permille, row.operation) == ("overruled", 745, "radiator-hose")
    assert row.evidence == "Hoses, tanks and joints under pressure: one is split, wet or crusted."


def test_a_conclusion_without_a_finding_makes_one_that_an_item_clears(tmp_path: Path) -> None:
    done = example("repair_items", clears="cl1", state="done", done="2026-11-10")
    imported(tmp_path, conclusions=[example("conclusions", finding="")], repair_items=[done])
    finding = Conclusion.objects.get().finding
    assert (finding.title, finding.found_by) == (
        "Hose, radiator tank or joint leaks",
        "Rosalind Amadi, ASE A5 brakes",
    )
    assert finding.items.get().title == "Replace the radiator"
    assert finding.cleared_on == dt.date(2026, 11, 10)


def test_the_root_follows_from_the_model_and_links_the_findings(tmp_path: Path) -> None:
    signed = {"sureness": "confirmed", "because": ""}
    both = [
        example("conclusions", fault="head-gasket", finding="", **signed),
        example("conclusions", ref="cl2", fault="hose", finding="f1", **signed),
    ]
    imported(tmp_path, observations=observations(), conclusions=both)
    gasket, hose = Conclusion.objects.order_by("pk")
    assert (gasket.root, hose.root) == (hose, None)
    assert gasket.finding.caused_by == hose.finding


def test_a_cause_that_the_sheet_names_itself_is_left_as_it_is(tmp_path: Path) -> None:
    signed = {"sureness": "confirmed", "because": ""}
    findings = [example("findings"), example("findings", ref="f2", caused_by="f3")]
    findings.append(example("findings", ref="f3", title="Ran without coolant"))
    both = [
        example("conclusions", fault="head-gasket", finding="f2", **signed),
        example("conclusions", ref="cl2", fault="hose", finding="f1", **signed),
    ]
    imported(tmp_path, findings=findings, observations=observations(), conclusions=both)
    gasket = Finding.objects.get(conclusion__fault="head-gasket")
    assert gasket.caused_by == Finding.objects.get(title="Ran without coolant")


def test_a_repair_that_held_teaches_the_diagnosis_that_goes_on(tmp_path: Path) -> None:
    going = example("diagnoses", ref="dg2", begun="2026-11-20", **NOT_ENDED)
    imported(
        tmp_path,
        cases=[example("cases", left="2026-11-12", step="handed_back"), _other_case()],
        vehicles=[example("vehicles"), example("vehicles", ref="v2", vin="")],
        diagnoses=[example("diagnoses"), going | {"case": "c2"}],
        held=[example("held", causes="hose; not_listed")],
    )
    ended, open_one = Diagnosis.objects.order_by("begun_at")
    assert Held.objects.get().causes == ["", "hose"]
    assert len(cars_of(ended.program, "overheats")) == 1
    assert (ended.experience_cars, ended.experience) == (0, {})
    assert open_one.complaint == "overheats"


def _other_case() -> dict[str, str]:
    return example("cases", ref="c2", number="26-042", vehicle="v2", household="")


def test_the_experience_of_an_open_diagnosis_is_what_the_cars_taught(tmp_path: Path) -> None:
    going = example("diagnoses", ref="dg2", case="c2", begun="2026-11-20", **NOT_ENDED)
    imported(
        tmp_path,
        cases=[example("cases", left="2026-11-12", step="handed_back"), _other_case()],
        vehicles=[example("vehicles"), example("vehicles", ref="v2", vin="")],
        diagnoses=[example("diagnoses"), going],
    )
    row = Diagnosis.objects.get(ended_at=None)
    assert row.experience_cars == 1
    # Source: a Dirichlet prior worth 100 cars and one car more: (0.13 * 100 + 1) / 101.
    assert row.experience["weights"]["hose"] == pytest.approx((0.13 * 100 + 1) / 101)


def test_a_second_import_takes_the_text_that_is_kept_already(tmp_path: Path) -> None:
    imported(tmp_path)
    again = [example("diagnoses"), example("diagnoses", ref="dg2", ended="2026-11-08")]
    signed = [
        example("conclusions"),
        example("conclusions", ref="cl2", diagnosis="dg2", finding=""),
    ]
    imported(tmp_path, diagnoses=again, conclusions=signed)
    assert (KeptModel.objects.count(), Diagnosis.objects.count()) == (1, 2)


def test_one_wrong_row_of_a_diagnosis_keeps_everything_out(tmp_path: Path) -> None:
    run = sheet_import(tmp_path, with_cells("observations", outcome="damp"))
    assert (run.state, Diagnosis.objects.count()) == (ImportState.REFUSED, 0)
