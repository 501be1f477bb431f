"""What a person types about a fund."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from django import forms

from program.funds.actions import Agreed
from program.households.models import Household
from program.ledger.rules import LIST_NAMES, Rule, SpendKind
from shared.forms import DateField, Form, MoneyField, VersionField
from shared.money import dollars
from vehicles.operations.catalogue import load as load_operations
from vehicles.repairs.models import Need
from vehicles.shop.systems import System

if TYPE_CHECKING:
    from collections.abc import Iterable

    from django.forms.boundfield import BoundField

    from shared.accounts.models import Program

IN_SENTENCES = "As it stands inside a sentence: “general fund”, “Pruitt gift”."
OTHER_NAMES = ("from_on", "until_on", "two_over_cents")
Choices = list[tuple[str, str]]


class FundForm(Form):
    """A new fund."""

    name = forms.CharField(label="Name", max_length=80, help_text=IN_SENTENCES)
    code = forms.CharField(label="Short code", max_length=20, help_text="It stays, such as PRU.")
    restricted = forms.BooleanField(
        label="With donor restriction",
        required=False,
        help_text="A donor said what it is for. What the board sets aside is not restricted.",
    )
    purpose = forms.CharField(label="Purpose", max_length=200, required=False)
    opened_on = DateField(label="Opens on")
    lapses_on = DateField(
        label="Lapses on", required=False, help_text="The last day on which it may be spent."
    )

    def clean(self) -> dict[str, Any]:
        """Hold the code to capitals, so that none is there twice."""
        typed = super().clean() or self.cleaned_data
        return typed | {"code": typed.get("code", "").upper()}


class AgreedFields(Form):
    """When the donor agreed to fewer limits, and in which paper."""

    agreed_on = DateField(label="The donor agreed on", required=False)
    paper = forms.CharField(
        label="In which paper",
        max_length=200,
        required=False,
        help_text="Such as: letter of November 20. It stands in the log, so no person’s name.",
    )
    version = VersionField()

    def clean(self) -> dict[str, Any]:
        """Return what the action takes: the two answers as one."""
        typed = super().clean() or self.cleaned_data
        on, paper = typed.pop("agreed_on", None), typed.pop("paper", "")
        if bool(on) != bool(paper) and not {"agreed_on", "paper"} & self.errors.keys():
            self.add_error("paper" if on else "agreed_on", "Give both the day and the paper.")
        return typed | {"agreed": Agreed(on=on, paper=paper)}


class FundEditForm(AgreedFields):
    """A fund as it stands."""

    name = forms.CharField(label="Name", max_length=80, help_text=IN_SENTENCES)
    purpose = forms.CharField(label="Purpose", max_length=200, required=False)
    opened_on = DateField(label="Opens on")
    lapses_on = DateField(
        label="Lapses on", required=False, help_text="The last day on which it may be spent."
    )
    field_order = ("name", "purpose", "opened_on", "lapses_on", "agreed_on", "paper")


class CloseForm(Form):
    """The version at which a fund is closed."""

    version = VersionField()


class RuleForm(Form):
    """What a fund may pay for. An empty part is no limit."""

    systems = forms.MultipleChoiceField(label="Systems of the car", required=False)
    jobs = forms.MultipleChoiceField(label="Jobs", required=False)
    part_kinds = forms.MultipleChoiceField(label="Kinds of part", required=False)
    kinds = forms.MultipleChoiceField(label="Kinds of spend", required=False)
    counties = forms.MultipleChoiceField(label="Counties", required=False)
    household_kinds = forms.MultipleChoiceField(label="Households", required=False)
    from_on = DateField(label="From", required=False)
    until_on = DateField(label="Until", required=False)
    two_over_cents = MoneyField(label="Two people over", required=False, least=0)

    def __init__(self, *args: Any, rule: Rule, choices: dict[str, Choices], **kwargs: Any) -> None:
        initial = {name: sorted(getattr(rule, name)) for name in LIST_NAMES}
        initial |= {name: getattr(rule, name) for name in ("from_on", "until_on", "two_over_cents")}
        super().__init__(*args, initial=initial | kwargs.pop("initial", {}), **kwargs)
        for name, offered in choices.items():
            field = self.fields[name]
            field.widget = forms.CheckboxSelectMultiple()
            field.choices = offered  # type: ignore[attr-defined]  # a field of choices

    @property
    def lists(self) -> list[tuple[BoundField, list[str]]]:
        """Each field of many boxes, and the words of those that are ticked."""
        found = []
        for name in LIST_NAMES:
            words = dict(self.fields[name].choices)  # type: ignore[attr-defined]  # as above
            ticked = self[name].value() or ()
            found.append((self[name], [words[code] for code in ticked if code in words]))
        return found

    @property
    def others(self) -> list[BoundField]:
        return [self[name] for name in OTHER_NAMES]

    def clean(self) -> dict[str, Any]:
        """Return the rule as one value, beside what a further form asks."""
        typed = super().clean() or self.cleaned_data
        first, last = typed.get("from_on"), typed.get("until_on")
        if first and last and last < first:
            self.add_error("until_on", "The rule would end before it starts.")
        limits: dict[str, Any] = {name: frozenset(typed.pop(name, ())) for name in LIST_NAMES}
        limits |= {name: typed.pop(name, None) for name in OTHER_NAMES}
        return typed | {"rule": Rule(**limits)}


def typed_as(rule: Rule) -> list[tuple[str, str]]:
    """Return a rule as a form sends it: a name and a value for each box that is ticked."""
    pairs = [(name, code) for name in LIST_NAMES for code in sorted(getattr(rule, name))]
    days = [(name, getattr(rule, name)) for name in OTHER_NAMES[:2]]
    pairs += [(name, day.isoformat()) for name, day in days if day]
    if rule.two_over_cents is not None:
        pairs.append(("two_over_cents", dollars(rule.two_over_cents)))
    return pairs


class RuleSaveForm(RuleForm, AgreedFields):
    """A rule that was tried, to be put in force."""


def choices_for(program: Program, rule: Rule) -> dict[str, Choices]:
    """Return what can be ticked: codes of the catalogue, and what households and needs say."""
    operations = load_operations()
    jobs = [(one.code, f"{one.system.label}: {one.title}") for one in operations.values()]
    usual = {part.kind for one in operations.values() for part in one.parts}
    asked = Need.objects.filter(program=program).values_list("kind", flat=True).distinct()
    lived = Household.objects.filter(program=program).values_list("county", "kinds")
    counties, kinds = zip(*lived, strict=True) if lived else ((), ())
    return {
        "systems": [(one.value, one.label) for one in System],
        "jobs": sorted(jobs, key=lambda pair: pair[1]),
        "part_kinds": _named({*usual, *asked} | rule.part_kinds),
        "kinds": [(one.value, one.value.capitalize()) for one in SpendKind],
        "counties": _named({one.lower() for one in counties} | rule.counties, titled=True),
        "household_kinds": _named({one for row in kinds for one in row} | rule.household_kinds),
    }


def _named(codes: Iterable[str], *, titled: bool = False) -> Choices:
    """Return codes with their words, by their words."""
    words = {code: code.replace("_", " ") for code in codes if code}
    return sorted(
        ((code, one.title() if titled else one.capitalize()) for code, one in words.items()),
        key=lambda pair: pair[1],
    )
