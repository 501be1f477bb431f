"""Concluding: by the rule or against it, as a finding linked to what brought it about."""

from __future__ import annotations

import pytest
from django.core.exceptions import ValidationError

from tests.vehicles.diagnosis.rows import HOT, make_diagnosis, see
from vehicles.diagnosis.actions import end_diagnosis
from vehicles.diagnosis.approving import conclude_fault, overrule, withdraw_conclusion
from vehicles.diagnosis.kinds import Ended
from vehicles.models import Conclusion, Diagnosis, Finding, RepairItem
from vehicles.repairs.gathering import offers
from vehicles.repairs.writing import Taken, take_proposals

pytestmark = pytest.mark.django_db


def a_dead_fan() -> Diagnosis:
    """Return a diagnosis in which the fan was seen standing still."""
    row = make_diagnosis()
    see(row, "when", "standing")
    see(row, "level", "normal")
    see(row, "fan-runs", "stands")
    return row


def a_dead_fan_and_gasket() -> Diagnosis:
    row = a_dead_fan()
    see(row, "gas", "gas")
    return row


def conclude(row: Diagnosis, fault: str) -> Conclusion:
    return conclude_fault(diagnosis=row, fault=fault, by=row.begun_by)


def test_a_confirmed_fault_becomes_a_finding_with_its_evidence() -> None:
    row = a_dead_fan()
    one = conclude(row, "fan")
    finding = row.intake.findings.get()
    assert (finding, finding.title, finding.system) == (one.finding, "Fan stands still", "cooling")
    assert (finding.deficiency, finding.severity) == ("major", 3)
    assert finding.evidence.startswith("Fan with the engine hot: it stands still")
    assert (one.sureness, one.permille > 950, one.operation) == ("confirmed", True, "fan-motor")


def test_signed_for_twice_it_stands_once() -> None:
    row = a_dead_fan()
    assert conclude(row, "fan") == conclude(row, "fan")
    assert Finding.objects.count() == 1


def test_what_the_rule_does_not_confirm_is_refused() -> None:
    row = make_diagnosis()
    see(row, "when", "standing")
    with pytest.raises(ValidationError) as refusal:
        conclude(row, "fan")
    [said] = refusal.value.messages
    assert said.endswith("Look further, or conclude it against that with a reason.")
    assert not Finding.objects.exists()


def test_a_person_concludes_otherwise_with_a_reason() -> None:
    row = make_diagnosis()
    by = row.begun_by
    with pytest.raises(ValidationError) as refusal:
        overrule(diagnosis=row, fault="hose", because=" ", by=by)
    assert refusal.value.message_dict == {"because": ["Say why you conclude otherwise."]}
    one = overrule(diagnosis=row, fault="hose", because="A drop hangs at the clamp.", by=by)
    assert (one.sureness, one.permille) == ("overruled", 400)
    assert one.finding.evidence == "A drop hangs at the clamp."


@pytest.mark.parametrize("order", [("fan", "gasket"), ("gasket", "fan")])
def test_what_was_killed_is_linked_to_what_killed_it(order: tuple[str, str]) -> None:
    row = a_dead_fan_and_gasket()
    for fault in order:
        conclude(row, fault)
    gasket = row.conclusions.select_related("root", "finding").get(fault="gasket")
    assert gasket.root is not None
    assert gasket.root.fault == "fan"
    assert gasket.finding.caused_by == gasket.root.finding


def test_a_conclusion_proposes_its_repair_the_cause_first() -> None:
    row = a_dead_fan_and_gasket()
    conclude(row, "fan")
    conclude(row, "gasket")
    found = offers(row.intake)
    codes = {one.operation.code for one in found.proposals if one.findings}
    assert codes == {"fan-motor", "head-gasket"}
    taken = [Taken(key=one.key) for one in found.proposals]
    take_proposals(intake=row.intake, taken=taken, seen=found.seen, by=row.begun_by)
    assert RepairItem.objects.filter(operation="fan-motor").count() == 1


def test_behind_a_cause_that_is_taken_back_the_next_one_stands() -> None:
    text = HOT.replace("caused_by = { fan = 0.30 }", "caused_by = { fan = 0.30, hose = 0.40 }")
    row = make_diagnosis(text=text)
    fan, gasket, hose = (
        overrule(diagnosis=row, fault=fault, because="Seen", by=row.begun_by)
        for fault in ("fan", "gasket", "hose")
    )
    gasket.refresh_from_db()
    assert gasket.root == hose
    withdraw_conclusion(conclusion=hose, because="It was rain.", by=row.begun_by)
    gasket.refresh_from_db()
    assert (gasket.root, gasket.finding.caused_by) == (fan, fan.finding)


def test_a_conclusion_is_taken_back_with_its_finding_and_its_links() -> None:
    row = a_dead_fan_and_gasket()
    fan, gasket = conclude(row, "fan"), conclude(row, "gasket")
    with pytest.raises(ValidationError) as refusal:
        withdraw_conclusion(conclusion=fan, because="", by=row.begun_by)
    assert refusal.value.message_dict == {"because": ["Say why the conclusion is taken back."]}
    withdraw_conclusion(conclusion=fan, because="It was the fuse.", by=row.begun_by)
    gasket.refresh_from_db()
    assert (gasket.root, gasket.finding.caused_by) == (None, None)
    fan.finding.refresh_from_db()
    assert fan.finding.withdrawn_because == "It was the fuse."
    assert conclude(row, "fan") != fan


def test_a_diagnosis_ends_concluded_once_something_is() -> None:
    row = a_dead_fan()
    conclude(row, "fan")
    end_diagnosis(diagnosis=row, how=Ended.CONCLUDED, by=row.begun_by)
    row.refresh_from_db()
    assert row.ended_how == "concluded"
    with pytest.raises(ValidationError, match="has ended"):
        conclude(row, "fan")
