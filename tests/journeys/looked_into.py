"""The addresses of diagnoses, fault models and fluids, with their arguments."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from vehicles.models import Diagnosis, Held

if TYPE_CHECKING:
    from vehicles.models import Intake

Rows = list[tuple[str, list[list[Any]]]]


def each(args: list[list[Any]], *names: str) -> Rows:
    return [(name, args) for name in names]


def fluids(stay: Intake) -> Rows:
    oil = [stay.pk, "engine-oil"]
    done = ("set_demand", "record_reading", "pour")
    return [
        ("fluids:fluid_list", [[stay.pk]]),
        ("fluids:fluid_page", [oil, [stay.pk, "brake"]]),
        *each([oil], *(f"fluids:{name}" for name in done)),
        *each([[*oil, 1]], "fluids:take_back_reading", "fluids:take_back_pour"),
    ]


def diagnoses(stay: Intake) -> Rows:
    here = list(Diagnosis.objects.filter(intake=stay).order_by("pk"))
    rows = {row.complaint: row for row in here}
    going, done = ([stay.pk, rows[code].pk] for code in ("brake-noise", "overheats"))
    looked_at = [
        [*going, "fluid"],
        [*going, "road-test"],
        [*going, "thickness"],
        [*done, "fan-direct"],
    ]
    signed = rows["overheats"].conclusions.get(fault="fan").pk
    seen = rows["brake-noise"].observations.earliest("pk").pk
    said = [[one.diagnosis.intake_id, one.diagnosis_id] for one in Held.objects.order_by("-pk")[:2]]
    told = Held.objects.latest("pk")
    models = [["overheats"], ["hot"]]
    ways = ("verify_complaint", "take_codes", "change_setup", "conclude", "overrule")
    return [
        ("diagnosis:diagnosis_list", [[stay.pk]]),
        ("diagnosis:diagnosis_page", [[stay.pk, row.pk] for row in here] + said),
        ("diagnosis:check_page", looked_at),
        *each([going], *(f"diagnosis:{name}" for name in (*ways, "end_diagnosis"))),
        ("diagnosis:take_back", [[*going, seen]]),
        ("diagnosis:withdraw", [[*done, signed]]),
        ("diagnosis:held", [going, done, *said, _to_ask()]),
        ("diagnosis:withdraw_held", [[*said[0], told.pk]]),
        ("diagnosis:case_report", [going, done]),
        ("diagnosis:case_file", [[*done, f"D-{done[1]}-1"]]),
        ("diagnosis:model_page", [*models, ["wheel-noise"]]),
        *each(models, "diagnosis:learning_of", "diagnosis:model_file"),
        ("diagnosis:edit_model", models),
        ("diagnosis:shipped_model", [["wheel-noise"]]),
        ("diagnosis:model_text", [["hot", 1], ["hot", 2], ["overheats", 1]]),
    ]


def _to_ask() -> list[Any]:
    """Return whose repair nobody has been asked after."""
    row = Diagnosis.objects.get(complaint="hot", held=None, ended_how="concluded")
    return [row.intake_id, row.pk]
