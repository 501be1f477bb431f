"""Repair items, as a technician writes them."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from django import forms
from django.core.exceptions import ValidationError

from shared.choices import choices_of
from shared.forms import CostField, Form, VersionField, WholeField
from vehicles.inspection.models import Finding
from vehicles.operations.catalogue import MOST_DAYS, load
from vehicles.operations.overlap import offered
from vehicles.repairs.actions import CHANGED
from vehicles.repairs.gathering import proposed_fields, shared_of
from vehicles.repairs.models import RepairItem
from vehicles.repairs.writing import PRICES, PartLine, Taken, line_of, proposed_lines
from vehicles.shop.systems import System

if TYPE_CHECKING:
    from collections.abc import Iterable

    from vehicles.intake.models import Intake
    from vehicles.operations.proposing import Proposal

MOST_MINUTES = 60_000
MOST_PIECES = 99
MOST_REASON = 200
LONGEST_ID = 18  # digits that a database still takes for a row
NOT_HERE = "This is not one of this car."
TYPED = "as typed by the shop"
ITEM_FIELDS = (
    *("title", "labor_low_minutes", "labor_likely_minutes", "labor_high_minutes"),
    *("sublet_cents", "needs_lift"),
    *("access", "access_minutes", "rest_minutes", "outside_days"),
)


class FindingsField(forms.ModelMultipleChoiceField):
    """Findings of one car. A number too large for any row is refused like that of another car."""

    def __init__(self) -> None:
        super().__init__(
            Finding.objects.none(),
            label="Findings it clears",
            required=False,
            widget=forms.CheckboxSelectMultiple,
            error_messages={"invalid_choice": NOT_HERE, "invalid_pk_value": NOT_HERE},
        )

    def clean(self, value: Any) -> Any:
        if any(len(str(one)) > LONGEST_ID for one in value or ()):
            raise ValidationError(NOT_HERE)
        return super().clean(value)


class WorkForm(Form):
    """One job: what it is, and how long it takes in three points."""

    title = forms.CharField(label="What is done", max_length=120)
    labor_low_minutes = WholeField(
        label="Labor, at best", unit="minutes", most=MOST_MINUTES, help_text="If all goes well"
    )
    labor_likely_minutes = WholeField(label="Labor, likely", unit="minutes", most=MOST_MINUTES)
    labor_high_minutes = WholeField(
        label="Labor, at worst", unit="minutes", most=MOST_MINUTES, help_text="If bolts are seized"
    )
    needs_lift = forms.BooleanField(label="It needs a lift", required=False)


class AddItemForm(WorkForm):
    """A job that nobody proposed, with the findings that it clears."""

    system = forms.ChoiceField(label="System", choices=[("", ""), *choices_of(System)])
    findings = FindingsField()
    field_order = ("title", "system")

    def __init__(self, *args: Any, stay: Intake, **kwargs: Any) -> None:
        super().__init__(*args, auto_id="add_%s", **kwargs)
        offer_findings(self, Finding.objects.open().filter(intake=stay))

    def clean(self) -> dict[str, Any]:
        cleaned: dict[str, Any] = super().clean() or self.cleaned_data
        cleaned.setdefault("findings", ())
        return cleaned


def offer_findings(form: Form, findings: Any) -> None:
    """Let a form choose among these findings; without any it doesn't ask."""
    form.fields["findings"].queryset = findings  # type: ignore[attr-defined]  # a model field
    if not findings:
        del form.fields["findings"]


class PartForm(Form):
    """A part of a job: how many pieces, and what one of them costs in three points."""

    quantity = WholeField(label="How many", unit="pieces", most=MOST_PIECES)
    price_low_cents = CostField(label="Price of one, at best")
    price_cents = CostField(label="Price of one, likely", help_text="Empty: can’t be bought.")
    price_high_cents = CostField(label="Price of one, at worst")

    def __init__(self, *args: Any, line: PartLine, **kwargs: Any) -> None:
        self.line = line
        names = ("quantity", *PRICES)
        kwargs.setdefault("initial", {name: getattr(line, name) for name in names})
        super().__init__(*args, **kwargs)
        self.fields["quantity"].help_text = "0 leaves it out."

    def clean(self) -> dict[str, Any]:
        cleaned: dict[str, Any] = super().clean() or self.cleaned_data
        low, likely, high = (cleaned.get(name) for name in PRICES)
        if likely is None and (low is not None or high is not None) and not self.errors:
            self.add_error("price_cents", "Type the likely price too.")
        elif likely is not None and not (
            (likely if low is None else low) <= likely <= (likely if high is None else high)
        ):
            self.add_error("price_cents", "Prices go from low over likely to high.")
        return cleaned

    @property
    def typed(self) -> PartLine:
        """The part as it was typed; a changed price is the shop's own."""
        values = {name: self.cleaned_data.get(name) for name in PRICES}
        same = all(getattr(self.line, name) == value for name, value in values.items())
        return PartLine(
            need_id=self.line.need_id,
            kind=self.cleaned_data.get("kind") or self.line.kind,
            title=self.cleaned_data.get("title") or self.line.title,
            quantity=self.cleaned_data["quantity"],
            source=self.line.source if same else TYPED,
            fitment=self.line.fitment,
            **values,
        )


class NewPartForm(PartForm):
    """One more part; left empty, there is none."""

    kind = forms.ChoiceField(label="Part", help_text="By this, offers of sponsors are matched.")
    title = forms.CharField(label="Its name here", max_length=120, required=False)
    field_order = ("kind", "title")

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(
            *args, line=PartLine(), empty_permitted=True, initial={"quantity": "1"}, **kwargs
        )
        kinds = {part.kind: part.title for one in load().values() for part in one.parts}
        ordered = sorted(kinds.items(), key=lambda pair: (pair[1].lower(), pair[0]))
        self.fields["kind"].choices = [("", ""), *ordered]  # type: ignore[attr-defined]

    @property
    def typed(self) -> PartLine:
        """The part as it was typed, called as the catalogue calls it unless it has a name."""
        kinds: dict[str, str] = dict(self.fields["kind"].choices)  # type: ignore[attr-defined]
        self.cleaned_data["title"] = self.cleaned_data["title"] or kinds[self.cleaned_data["kind"]]
        return super().typed


class ItemForm(WorkForm):
    """A job with its parts: one on the list, or a proposal that is changed before it is taken."""

    sublet_cents = CostField(label="Work done elsewhere")
    outside_days = WholeField(
        label="Away for it", unit="business days", most=MOST_DAYS, required=False
    )
    access = forms.ChoiceField(label="What comes off first", required=False, choices=offered())
    access_minutes = WholeField(
        label="Of the labor at best, for that", unit="minutes", most=MOST_MINUTES, required=False
    )
    rest_minutes = WholeField(
        label="Curing or drying after it",
        unit="minutes",
        most=MOST_MINUTES,
        required=False,
        help_text="As the maker of the sealer, paint or adhesive says.",
    )

    def __init__(self, data: Any = None, *, lines: Iterable[PartLine], **kwargs: Any) -> None:
        super().__init__(data, **kwargs)
        self.parts: list[PartForm] = [
            PartForm(data, line=line, prefix=f"part{line.need_id or at}")
            for at, line in enumerate(lines)
        ]
        self.parts.append(NewPartForm(data, prefix="new"))

    def clean(self) -> dict[str, Any]:
        cleaned: dict[str, Any] = super().clean() or self.cleaned_data
        cleaned["rest_minutes"] = cleaned.get("rest_minutes") or 0
        cleaned["access_minutes"] = cleaned.get("access_minutes") or 0
        if cleaned.get("access") and not cleaned["access_minutes"] and not self.errors:
            self.add_error("access_minutes", "Type how many minutes that takes.")
        elif not cleaned.get("access"):
            cleaned["access_minutes"] = 0
        return cleaned

    @property
    def faults(self) -> list[dict[str, str]]:
        """Return what is wrong with the job, then with each of its parts."""
        return [*super().faults, *(fault for part in self.parts for fault in part.faults)]

    def is_valid(self) -> bool:
        valid = [super().is_valid(), *(part.is_valid() for part in self.parts)]
        if all(valid):
            self.cleaned_data["sublet_cents"] = self.cleaned_data["sublet_cents"] or 0
            self.cleaned_data["parts"] = [one.typed for one in self.parts if _is_said(one)]
        return all(valid)


def _is_said(form: PartForm) -> bool:
    return not isinstance(form, NewPartForm) or form.has_changed()


class EditItemForm(ItemForm):
    """What stands on the list about one item, with the findings that it clears."""

    findings = FindingsField()
    version = VersionField()

    def __init__(self, data: Any = None, *, item: RepairItem) -> None:
        self.current = item.version
        self.shared = [one for one in shared_of(item) if one.access == item.access]
        own = list(item.findings.values_list("pk", flat=True))
        fields = {name: getattr(item, name) for name in (*ITEM_FIELDS, "version")}
        lines = [line_of(need) for need in item.needs.open()]
        super().__init__(data, lines=lines, initial=fields | {"findings": own})
        self.fields["access"].choices = offered(item.access)  # type: ignore[attr-defined]
        here = Finding.objects.filter(intake=item.intake_id)
        offer_findings(self, (here.open() | here.filter(pk__in=own)).distinct())

    def clean(self) -> dict[str, Any]:
        cleaned: dict[str, Any] = super().clean() or self.cleaned_data
        # Parts that came or went meanwhile would be told as answers that are missing.
        if cleaned.get("version") != self.current:
            raise ValidationError(CHANGED)
        cleaned.setdefault("findings", ())
        cleaned["outside_days"] = cleaned.get("outside_days") or 0
        return cleaned


class ProposalForm(ItemForm):
    """A proposal, changed before it is taken; `seen` stands for the findings it was made for."""

    seen = forms.CharField(widget=forms.HiddenInput)

    def __init__(self, data: Any = None, *, proposal: Proposal, seen: str) -> None:
        self.key = proposal.key
        fields = proposed_fields(proposal) | {"seen": seen}
        super().__init__(data, lines=proposed_lines(proposal), initial=fields)

    def is_valid(self) -> bool:
        valid = super().is_valid()
        if valid:
            fields = {name: self.cleaned_data[name] for name in ITEM_FIELDS}
            taken = Taken(key=self.key, fields=fields, parts=self.cleaned_data["parts"])
            self.cleaned_data = {"taken": [taken], "seen": self.cleaned_data["seen"]}
        return valid


class ReopenForm(Form):
    """Why an item is not done after all."""

    because = forms.CharField(label="Why it is not done", max_length=MOST_REASON)


class WithdrawForm(Form):
    """Why an item is not to be done, as the person saw it."""

    because = forms.CharField(label="Why it is not to be done", max_length=MOST_REASON)
    version = VersionField()

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, auto_id="withdraw_%s", **kwargs)


class FirstForm(Form):
    """Which of two open items of one car comes before the other."""

    first = forms.ModelChoiceField(
        label="This comes first",
        queryset=RepairItem.objects.none(),
        empty_label="",
        error_messages={"invalid_choice": NOT_HERE},
    )
    item = forms.ModelChoiceField(
        label="Before this",
        queryset=RepairItem.objects.none(),
        empty_label="",
        error_messages={"invalid_choice": NOT_HERE},
    )

    def __init__(self, *args: Any, stay: Intake, **kwargs: Any) -> None:
        super().__init__(*args, auto_id="first_%s", **kwargs)
        items = RepairItem.objects.open().filter(intake=stay)
        for name in ("first", "item"):
            self.fields[name].queryset = items  # type: ignore[attr-defined]  # a model field
