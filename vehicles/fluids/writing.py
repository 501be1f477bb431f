"""Findings that follow from reading a fluid: opened once, and withdrawn with what they rest on."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from shared.audit.actions import log_event
from shared.people.queries import signed_name
from vehicles.fluids.levels import Level, Look
from vehicles.fluids.rows import Refill
from vehicles.inspection.catalogue import load as load_criteria
from vehicles.inspection.criteria import DeficiencyClass
from vehicles.inspection.models import Finding
from vehicles.intake.actions import ask_for_ranks

if TYPE_CHECKING:
    from collections.abc import Iterable

    from shared.accounts.models import User
    from vehicles.fluids.gathering import State
    from vehicles.fluids.levels import Proposal, Step
    from vehicles.fluids.models import FluidReading
    from vehicles.fluids.rows import Fluid, Found
    from vehicles.inspection.criteria import Reason
    from vehicles.intake.models import Intake

TITLE_LENGTH = 120
POLICY = "Program policy; common practice, no source"
LEVELS = (Level.NONE.value, Level.LOW.value)


def follow(fluid: Fluid, reading: FluidReading, step: Step, by: User) -> None:
    """Open what a reading found, or link it to what is open of it: the gravest."""
    found = [
        _open(fluid, reading.intake, proposal, by)
        for proposal in step.findings
        if _makes_finding(fluid, proposal.found)
    ]
    worst = max(found, key=_gravity, default=None)
    if worst and reading.finding_id != worst.pk:
        reading.finding = worst
        reading.save(update_fields=["finding"])


def withdraw_with(state: State, reading: FluidReading, by: User) -> None:
    """Withdraw the findings that no other reading of the fluid shows, unless work hangs on them."""
    others = [row for row in state.readings if row.pk != reading.pk]
    shown = {title for row in others for title in _titles_of(state.fluid, row)}
    titles = set(_titles_of(state.fluid, reading)) - shown
    linked = {row.finding_id for row in others}
    for row in _own(reading.intake):
        rests = row.pk == reading.finding_id and row.pk not in linked
        if (rests or row.title in titles) and not row.items.exists():
            _withdraw(row, "The reading was taken back.", by)


def title_of(fluid: Fluid, found: Found) -> str:
    """Return the title of a finding: the fluid, and what is wrong with it."""
    title = f"{fluid.title}: {found.title}" if found.criterion else found.title
    return title[:TITLE_LENGTH]


def _makes_finding(fluid: Fluid, found: Found) -> bool:
    """Return whether it is more than a level that is simply filled up."""
    reason = _reason(found)
    graver = found.deficiency is not DeficiencyClass.NONE or (reason and reason.strands)
    return bool(graver) or fluid.refill is Refill.NEVER


def _open(fluid: Fluid, stay: Intake, proposal: Proposal, by: User) -> Finding:
    """Return the open finding of the same matter, or a new one where it is graver than that."""
    known = _alike(fluid, stay, proposal.found)
    worst = max(known, key=_gravity, default=None)
    new = _new(fluid, stay, proposal, by)
    if worst and _gravity(worst) >= _gravity(new):
        return worst
    new.full_clean()
    new.save()
    log_event(new, "A finding was opened from reading a fluid.", by=by, fields=[fluid.code])
    for row in known:
        if row.reading_id is None and not row.items.exists():
            _withdraw(row, f"Read again: {new.title}"[:200], by)
    ask_for_ranks(stay)
    return new


def _new(fluid: Fluid, stay: Intake, proposal: Proposal, by: User) -> Finding:
    found, reason = proposal.found, _reason(proposal.found)
    return Finding(
        program_id=stay.program_id,
        intake=stay,
        title=title_of(fluid, found),
        system=proposal.system,
        deficiency=found.deficiency,
        severity=found.severity,
        never_release=bool(reason and reason.never_release),
        strands=bool(reason and reason.strands),
        us_reject=bool(reason and reason.us_reject),
        reason_key=found.reason,
        sentence=f"{found.title}.",
        source=reason.sources if reason else POLICY,
        text_seen=bool(reason and reason.sources_seen),
        evidence=str(proposal.evidence),
        found_on=stay.program.today(),
        found_by=signed_name(by),
    )


def _alike(fluid: Fluid, stay: Intake, found: Found) -> list[Finding]:
    """Return the open findings of the same matter: from fluids, or from its point of the sheet."""
    titles = _same_matter(fluid, found)
    own = [row for row in _own(stay) if row.title in titles]
    if not found.criterion:
        return own
    rows = Finding.objects.open().filter(intake=stay, reading__criterion=found.criterion)
    return [*own, *(row for row in rows if _item(row.reason_key) == _item(found.reason))]


def _own(stay: Intake) -> list[Finding]:
    """Return the open findings of a stay that come from no point of the sheet."""
    return list(Finding.objects.open().filter(intake=stay, reading__isnull=True))


def _same_matter(fluid: Fluid, found: Found) -> set[str]:
    """Return the titles of what is one matter: too little is one, whether little or nothing."""
    low = [fluid.findings[name] for name in LEVELS if name in fluid.findings]
    return {title_of(fluid, one) for one in (low if found in low else [found])}


def _titles_of(fluid: Fluid, row: FluidReading) -> Iterable[str]:
    """Return the titles of what a reading showed."""
    states = [row.level, row.looks or Look.CLEAN.value]
    return [title_of(fluid, fluid.findings[one]) for one in states if one in fluid.findings]


def _reason(found: Found) -> Reason | None:
    """Return the reason of the catalogue, where it names one."""
    if not found.criterion:
        return None
    return load_criteria().criteria[found.criterion].reason(found.reason)


def _item(reason: str) -> str:
    """Return an item without the number of its class: `1.1.10 d` of `1.1.10 d.3`."""
    return re.sub(r"(?<=[a-z])\.\d+$", "", reason)


def _gravity(row: Finding) -> tuple[int, bool, int]:
    """Return how grave a finding is: class, whether it strands the car, severity."""
    return DeficiencyClass(row.deficiency).rank, row.strands, -row.severity


def _withdraw(row: Finding, because: str, by: User) -> None:
    row.withdrawn_because = because
    row.version += 1
    row.save(update_fields=["withdrawn_because", "version"])
    log_event(row, "The finding was withdrawn.", by=by, reason=because)
    ask_for_ranks(row.intake)
