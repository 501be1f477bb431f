"""Pages of a diagnosis that were open while something changed, and addresses nobody is given."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import pytest
from django.urls import reverse

from tests.factories import make_intake, make_scan
from tests.vehicles.diagnosis.rows import HOT, make_diagnosis, see
from tests.vehicles.diagnosis.test_storing import CODED
from tests.vehicles.pages import sign_in, words
from vehicles.diagnosis.actions import end_diagnosis
from vehicles.diagnosis.approving import overrule
from vehicles.diagnosis.keeping import save_model
from vehicles.diagnosis.kinds import Ended
from vehicles.models import Conclusion, Consent, Diagnosis, Observation

if TYPE_CHECKING:
    from django.test import Client

pytestmark = pytest.mark.django_db
ENDED = "This diagnosis has ended. Begin a new one to look further."


def page(row: Diagnosis, name: str = "diagnosis_page", **more: Any) -> str:
    return reverse(f"diagnosis:{name}", kwargs={"pk": row.intake_id, "diagnosis": row.pk} | more)


def ended(row: Diagnosis) -> Diagnosis:
    return end_diagnosis(diagnosis=row, how=Ended.DROPPED, because="Sold.", by=row.begun_by)


def test_a_form_that_is_not_on_the_page_any_more_still_says_what_was_refused(
    client: Client,
) -> None:
    stay = make_intake()
    scan = make_scan(stay, "P0217")
    row = ended(make_diagnosis(stay, text=CODED, by=sign_in(client)))
    for name, sent in (
        ("verify_complaint", {"verified": "shown"}),
        ("take_codes", {"scan": scan.pk, "checks": ["road"]}),
    ):
        answer = client.post(page(row, name), sent)
        assert answer.status_code == 422
        assert ENDED in words(answer)
    assert not Observation.objects.exists()


def test_a_complaint_that_was_tried_meanwhile_is_refused_in_words(client: Client) -> None:
    row = make_diagnosis(by=sign_in(client))
    Consent.objects.all().delete()
    answer = client.post(page(row, "verify_complaint"), {"verified": "not_shown"})
    assert answer.status_code == 422
    assert "No owner has consented to the diagnosis." in words(answer)
    row.refresh_from_db()
    assert row.verified == "shown"


@pytest.mark.parametrize("name", ["diagnosis_page", "held", "case_report", "conclude"])
def test_a_number_that_no_table_reaches_is_nothing_here(client: Client, name: str) -> None:
    row = make_diagnosis(by=sign_in(client))
    url = reverse(f"diagnosis:{name}", kwargs={"pk": 10**22, "diagnosis": row.pk})
    assert client.post(url, {"fault": "hose"}).status_code in {404, 405}
    assert client.get(url).status_code in {404, 405}


def test_a_report_of_an_impossible_number_is_refused(client: Client) -> None:
    row = make_diagnosis(by=sign_in(client))
    answer = client.post(page(row, "case_report"), {"number": "D-\0"})
    assert answer.status_code == 422
    assert "Another report of this diagnosis was issued meanwhile." in words(answer)


def test_a_diagnosis_goes_on_with_the_text_it_began_with(client: Client) -> None:
    row = make_diagnosis(by=sign_in(client))
    other = HOT.replace("faults.hose", "faults.pipe").replace("\nhose =", "\npipe =")
    save_model(
        program=row.program,
        complaint="hot",
        text=other.replace("Hose leaks", "Pipe leaks"),
        because="Renamed",
        seen_number=row.model.number,
        by=row.begun_by,
    )
    see(row, "level", "low")
    assert "Most likely: Hose leaks" in words(client.get(page(row)))
    overrule(diagnosis=row, fault="hose", because="It drips.", by=row.begun_by)
    assert Conclusion.objects.get().title == "Hose leaks"


def test_what_is_not_listed_leads_where_it_is_the_likeliest(client: Client) -> None:
    row = make_diagnosis(by=sign_in(client))
    for check, outcome in (("level", "normal"), ("fan-runs", "runs"), ("gas", "none")):
        see(row, check, outcome)
    assert "Most likely the cause is not listed" in words(client.get(page(row)))
