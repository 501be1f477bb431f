"""Two technicians at the same moment at one diagnosis: one is served, the other reads why not."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING
from uuid import uuid4

import pytest

from tests.at_once import at_once
from tests.factories import make_intake, make_item, make_scan
from tests.vehicles.diagnosis.cars import days_ago, repaired
from tests.vehicles.diagnosis.rows import HOT, make_diagnosis, see, technician
from tests.vehicles.diagnosis.test_storing import CODED
from vehicles.diagnosis.actions import begin_diagnosis, change_setup, end_diagnosis
from vehicles.diagnosis.approving import conclude_fault, overrule, withdraw_conclusion
from vehicles.diagnosis.grading import record_held
from vehicles.diagnosis.keeping import add_model, save_model
from vehicles.diagnosis.kinds import Ended
from vehicles.diagnosis.storing import take_codes
from vehicles.diagnosis.writing import issue_case, issued
from vehicles.models import Conclusion, Diagnosis, Finding, Held, KeptModel, Observation
from vehicles.repairs.actions import mark_done

if TYPE_CHECKING:
    from vehicles.diagnosis.explain import Case

pytestmark = pytest.mark.django_db(transaction=True)


def test_a_check_is_recorded_once() -> None:
    row = make_diagnosis()
    both = [technician(row.intake), technician(row.intake)]
    calls = [
        partial(see, row, "level", outcome, by=by)
        for outcome, by in zip(("low", "normal"), both, strict=True)
    ]
    (sentence,) = at_once(*calls)
    assert sentence.endswith(
        " recorded this check meanwhile. Nothing of yours is lost: look, then record again."
    )
    assert Observation.objects.count() == 1


def test_a_check_that_is_sent_twice_with_one_key_is_one() -> None:
    row, key = make_diagnosis(), uuid4()
    assert at_once(*[partial(see, row, "level", "low", client_key=key)] * 2) == []
    assert Observation.objects.count() == 1


def test_a_complaint_is_looked_into_once() -> None:
    stay = make_intake()
    begin = partial(begin_diagnosis, intake=stay, complaint="overheats", by=technician(stay))
    keys = [partial(begin, client_key=uuid4()) for _ in "ab"]
    assert at_once(*keys) == ["This complaint is being diagnosed already."]
    assert Diagnosis.objects.count() == 1


def test_two_cars_with_a_new_complaint_share_one_text() -> None:
    stays = [make_intake() for _ in range(4)]
    by = technician(stays[0])
    calls = [partial(begin_diagnosis, intake=stay, complaint="overheats", by=by) for stay in stays]
    assert at_once(*calls) == []
    assert (Diagnosis.objects.count(), KeptModel.objects.count()) == (4, 1)


def test_a_fault_is_concluded_once() -> None:
    row = make_diagnosis()
    see(row, "level", "low")
    calls = [
        partial(conclude_fault, diagnosis=row, fault="hose", by=row.begun_by),
        partial(overrule, diagnosis=row, fault="hose", because="It drips.", by=row.begun_by),
    ]
    assert at_once(*calls) == []
    assert (Conclusion.objects.count(), Finding.objects.count()) == (1, 1)


def test_nothing_is_recorded_in_what_ends_at_the_same_moment_without_saying_so() -> None:
    row = make_diagnosis()
    end = partial(end_diagnosis, diagnosis=row, how=Ended.DROPPED, because="Sold.", by=row.begun_by)
    refused = at_once(end, end, partial(see, row, "level", "low"))
    was_late = ["This diagnosis has ended. Begin a new one to look further."]
    assert refused == ([] if Observation.objects.exists() else was_late)
    row.refresh_from_db()
    assert (row.ended_how, row.version) == ("dropped", 3)


def test_a_setup_is_made_once() -> None:
    row = make_diagnosis()
    make = partial(change_setup, diagnosis=row, code="warm", made=True, by=row.begun_by)
    assert at_once(make, make) == []
    assert row.setups.count() == 1


def test_what_codes_say_is_taken_over_once() -> None:
    stay = make_intake()
    scan = make_scan(stay, "P0217")
    row = make_diagnosis(stay, text=CODED)
    take = partial(take_codes, diagnosis=row, scan=scan.pk, checks=["road"], by=row.begun_by)
    assert at_once(take, take) == []
    assert Observation.objects.count() == 1


def test_whether_a_repair_held_is_said_once() -> None:
    row = repaired("hose")
    say = partial(record_held, diagnosis=row, asked_on=days_ago(0), by=row.begun_by)
    calls = [partial(say, gone=True, causes=["hose"]), partial(say, gone=False)]
    assert at_once(*calls) == ["Whether this repair held is on record already."]
    assert Held.objects.count() == 1


def test_a_finding_is_either_cleared_or_taken_back() -> None:
    row = make_diagnosis()
    see(row, "level", "low")
    one = conclude_fault(diagnosis=row, fault="hose", by=row.begun_by)
    item = make_item(intake=row.intake, findings=[one.finding])
    done = partial(mark_done, item=item, on=days_ago(0), by=row.begun_by)
    back = partial(withdraw_conclusion, conclusion=one, because="Loose clamp.", by=row.begun_by)
    late = "A repair has cleared this finding. It can’t be taken back now."
    assert at_once(done, back) in ([], [late])
    finding = Finding.objects.get()
    assert bool(finding.cleared_on) is not bool(finding.withdrawn_because)


def test_a_report_of_one_number_is_issued_once() -> None:
    row = make_diagnosis()
    both = [technician(row.intake), technician(row.intake)]
    issue = partial(issue_case, diagnosis=row, number=f"D-{row.pk}-1", compose=_paper)
    assert at_once(*[partial(issue, by=by) for by in both]) == [
        "Another report of this diagnosis was issued meanwhile. Look at the list."
    ]
    assert issued(row).count() == 1


def test_a_text_is_changed_once_from_what_was_on_screen() -> None:
    stay = make_intake()
    save = partial(
        save_model,
        program=stay.program,
        complaint="hot",
        because="Ours",
        seen_number=0,
        by=technician(stay),
    )
    texts = [HOT, HOT.replace("Runs hot", "Gets hot")]
    assert at_once(*[partial(save, text=text) for text in texts]) == [
        "Somebody else changed this fault model meanwhile. Look, then save."
    ]
    assert KeptModel.objects.get().in_use


def test_a_new_text_comes_in_once() -> None:
    stay = make_intake()
    add = partial(add_model, program=stay.program, text=HOT, because="New", by=technician(stay))
    assert len(at_once(add, add)) == 1
    assert KeptModel.objects.count() == 1


def _paper(case: Case) -> bytes:
    return b"%PDF-1.4"
