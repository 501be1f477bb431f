"""Taking over proposals as items: with their findings, parts, order and cautions, all at once."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any

from django.core.exceptions import ValidationError
from django.db import transaction

from shared.audit.actions import log_event
from shared.policy.queries import policies
from vehicles.intake.actions import ask_for_ranks
from vehicles.intake.models import Intake
from vehicles.repairs import prerequisites
from vehicles.repairs.gathering import (
    cautions_of,
    comes_after,
    comes_before,
    offers,
    proposed_fields,
)
from vehicles.repairs.models import Need, Prerequisite, RepairItem
from vehicles.repairs.parts import Fitment
from vehicles.repairs.queries import car_of
from vehicles.repairs.states import NeedState

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping, Sequence

    from shared.accounts.models import User
    from vehicles.inspection.models import Finding
    from vehicles.operations.proposing import Proposal, ProposedPart
    from vehicles.repairs.gathering import Offers

CHANGED = "The findings changed meanwhile. Look at the proposals again; nothing was added."
PRICE_SOURCES = {"guess": "usual price, a guess", "catalogue": "usual price, catalogue"}
MOST_CAUTION = 300
PRICES = ("price_low_cents", "price_cents", "price_high_cents")


@dataclass(frozen=True, kw_only=True)
class PartLine:
    """A part as a person typed it: of a need on record, or a new one; 0 pieces: it is not needed.

    Prices are cents of one piece. `source` says where they come from.
    """

    need_id: int | None = None
    kind: str = ""
    title: str = ""
    quantity: int = 1
    price_low_cents: int | None = None
    price_cents: int | None = None
    price_high_cents: int | None = None
    source: str = ""
    fitment: Fitment = field(default_factory=Fitment)


@dataclass(frozen=True, kw_only=True)
class Taken:
    """A proposal that a person accepts; `fields` and `parts` are what was changed, if anything."""

    key: str
    fields: Mapping[str, Any] | None = None
    parts: Sequence[PartLine] | None = None


def stay_at_work(intake: Intake) -> Intake:
    """Return the stay, locked.

    Raises:
        ValidationError: it has ended.
    """
    stays = Intake.objects.select_for_update(of=("self",)).select_related("program", "vehicle")
    found = stays.get(pk=intake.pk)
    refuse_ended(found)
    return found


def refuse_ended(intake: Intake) -> None:
    """Raise ValidationError when a stay has ended."""
    if intake.left_on:
        raise ValidationError("This stay has ended. Open a new intake to work on the car again.")


@transaction.atomic
def take_proposals(
    *, intake: Intake, taken: Sequence[Taken], seen: str, by: User
) -> list[RepairItem]:
    """Add an item for each accepted proposal, with parts and order, and return the items.

    All are added or none. Accepting what is on the list already adds nothing and returns nothing.

    Raises:
        ValidationError: the stay has ended, nothing is ticked, the findings are no longer those
            of `seen`, a field is not possible, or an item would need itself.
    """
    stay = stay_at_work(intake)
    if not taken:
        raise ValidationError("Tick at least one repair.")
    found = offers(stay)
    if found.seen != seen:
        if _on_the_list(stay, found, taken):
            return []
        raise ValidationError(CHANGED)
    there = list(
        RepairItem.objects.open()
        .filter(intake=stay)
        .prefetch_related("findings__reading", "findings__conclusion")
    )
    items = {one.key: _taken_over(stay, found, one, by) for one in taken}
    _put_in_order(stay, found, items, there)
    ask_for_ranks(stay)
    return list(items.values())


def _on_the_list(stay: Intake, found: Offers, taken: Sequence[Taken]) -> bool:
    """Return whether all that is accepted stands on the list and is proposed no more."""
    there = set(RepairItem.objects.open().filter(intake=stay).values_list("operation", flat=True))
    return all(one.key.partition("@")[0] in there and not found.proposal(one.key) for one in taken)


def _taken_over(stay: Intake, found: Offers, one: Taken, by: User) -> RepairItem:
    proposal = found.proposal(one.key)
    if proposal is None:
        raise ValidationError(CHANGED)
    fields = proposed_fields(proposal) | dict(one.fields or {})
    if fields["outside_days"] is None:
        fields["outside_days"] = _usual_days(stay, proposal)
    titles = "; ".join(caution.title for caution in cautions_of(proposal.operation.code))
    item = new_item(
        stay,
        [found.findings[pk] for pk in proposal.findings],
        operation=proposal.operation.code,
        system=proposal.operation.system,
        caution=titles[:MOST_CAUTION],
        **fields,
    )
    write_parts(item, proposed_lines(proposal) if one.parts is None else one.parts)
    log_event(item, "A proposed repair was taken over.", by=by)
    return item


def _usual_days(stay: Intake, proposal: Proposal) -> int:
    """Return how long a car is away for it when nobody said."""
    if proposal.operation.outside_days is not None:
        return proposal.operation.outside_days
    return policies(stay.program, stay.program.today())["outside_days"]


def new_item(intake: Intake, findings: Iterable[Finding], **fields: Any) -> RepairItem:
    """Return a new open item of a stay that is locked, with the findings that it clears.

    Raises:
        ValidationError: a field is not possible, the same work is open already, or a finding
            belongs to another stay.
    """
    title = str(fields.get("title", "")).strip()
    refuse_same_title(intake, title)
    item = RepairItem(program_id=intake.program_id, intake=intake, **fields | {"title": title})
    item.full_clean()
    item.save()
    set_findings(item, findings)
    return item


def refuse_same_title(intake: Intake, title: str, but: int = 0) -> None:
    """Raise ValidationError when the same work is open on the stay, in another item than `but`."""
    same = RepairItem.objects.open().filter(intake=intake, title__iexact=title)
    if same.exclude(pk=but).exists():
        raise ValidationError({"title": f"“{title}” is on the list already."})


def set_findings(item: RepairItem, findings: Iterable[Finding]) -> None:
    """Let an item clear these findings, and raise ValidationError for one of another stay."""
    rows = list(findings)
    if any(one.intake_id != item.intake_id for one in rows):
        raise ValidationError({"findings": "A finding of another stay can't be cleared here."})
    item.findings.set(rows)


def proposed_lines(proposal: Proposal) -> list[PartLine]:
    """Return the parts of a proposal, as they are without a change."""
    return [_line(part) for part in proposal.parts]


def _line(part: ProposedPart) -> PartLine:
    return PartLine(
        kind=part.kind,
        title=part.title,
        quantity=part.quantity,
        price_low_cents=part.price.low,
        price_cents=part.price.likely,
        price_high_cents=part.price.high,
        source=PRICE_SOURCES[part.price_source],
        fitment=Fitment(unit=part.unit, position=part.position),
    )


def line_of(need: Need) -> PartLine:
    """Return a need on record as a person may change it."""
    return PartLine(
        need_id=need.pk,
        kind=need.kind,
        title=need.title,
        quantity=need.quantity,
        source=need.price_source,
        **{name: getattr(need, name) for name in PRICES},
    )


def write_parts(item: RepairItem, lines: Iterable[PartLine]) -> None:
    """Write the parts that an item lacks; one of 0 pieces is withdrawn, or not written at all."""
    needs = {need.pk: need for need in item.needs.open().select_for_update()}
    for line in lines:
        need = _new_need(item, line) if line.need_id is None else needs.get(line.need_id)
        if need is None:
            raise ValidationError("A part was filled or withdrawn meanwhile. Look at it again.")
        if line.quantity == 0 and line.need_id is None:
            continue
        _write_need(need, line)


def _write_need(need: Need, line: PartLine) -> None:
    values: dict[str, Any] = {name: getattr(line, name) for name in ("quantity", *PRICES)}
    if line.quantity == 0:
        values = {"state": NeedState.WITHDRAWN}
    changed = [name for name, value in values.items() if getattr(need, name) != value]
    if need.pk and not changed:
        return
    for name in changed:
        setattr(need, name, values[name])
    if any(name.startswith("price") for name in changed):
        need.price_source = line.source
    need.version += bool(need.pk)
    need.full_clean()
    need.save()


def _new_need(item: RepairItem, line: PartLine) -> Need:
    """Return a need with the facts of the car and, as other needs of the stay, of the household."""
    stay = item.intake
    same = Need.objects.filter(item__intake=stay).exclude(county="").first()
    return Need(
        program_id=item.program_id,
        item=item,
        kind=line.kind,
        title=line.title or line.kind.replace("_", " ").capitalize(),
        system=item.system,
        fitment=line.fitment.to_dict(),
        car=car_of(stay.vehicle).to_dict(),
        price_source=line.source,
        county=same.county if same else "",
        household_kinds=same.household_kinds if same else [],
        opened_on=stay.program.today(),
    )


def _put_in_order(
    stay: Intake, found: Offers, items: Mapping[str, RepairItem], there: Sequence[RepairItem]
) -> None:
    """Record what comes first among the new items, and between them and those on the list."""
    pairs: list[tuple[RepairItem, RepairItem]] = []
    for key, item in items.items():
        proposal = found.proposal(key)
        if proposal is None:
            continue
        code, places = proposal.operation.code, proposal.places
        pairs += [(item, items[first]) for first in proposal.first if first in items]
        pairs += [(item, old) for old in there if comes_before(old, code, places)]
        pairs += [(old, item) for old in there if comes_after(old, code, places)]
    refuse_circle(stay, [(item.pk, first.pk) for item, first in pairs], "taken")
    Prerequisite.objects.bulk_create(
        Prerequisite(program_id=stay.program_id, item=item, first=first) for item, first in pairs
    )


def refuse_circle(intake: Intake, pairs: Iterable[tuple[int, int]], beside: str) -> None:
    """Raise ValidationError when these pairs of item and first would make an item need itself."""
    needs: dict[int, set[int]] = {}
    rows = Prerequisite.objects.filter(item__intake=intake).values_list("item_id", "first_id")
    for item_id, first_id in [*rows, *pairs]:
        needs.setdefault(item_id, set()).add(first_id)
    names = dict(RepairItem.objects.filter(intake=intake).values_list("pk", "title"))
    for problem in prerequisites.check(needs, names):
        raise ValidationError({beside: str(problem.sentence)})
