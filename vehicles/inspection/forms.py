"""What is typed for a point of the sheet, an inspection, a class, and a local limit."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from django import forms

from shared.choices import choices_of
from shared.forms import DateField, Form, KeyField, UnitField, WholeField, dress
from vehicles.inspection import units
from vehicles.inspection.asking import CANT_READ, MARKED, answers, range_of
from vehicles.inspection.catalogue import load
from vehicles.inspection.criteria import NONE, DeficiencyClass
from vehicles.inspection.depths import Depth
from vehicles.inspection.gathering import points_at
from vehicles.inspection.judge import GOOD
from vehicles.inspection.reading import Missed, Typed, units_offered

if TYPE_CHECKING:
    from vehicles.inspection.points import Point
    from vehicles.inspection.sheet import Section, Sheet
    from vehicles.intake.models import Intake

LONGEST = 15  # characters of one number; a reading keeps 40
NO_ANSWER = "“%(value)s” is not an answer here."
WHAT = {
    Depth.LOOK: "It ends at the first finding that makes the rest not worth the time.",
    Depth.FULL: "Every point that this car has.",
    Depth.FINAL: "Read anew before the car leaves: good for 7 days or 50 miles.",
}


class ReadingForm(Form):
    """One number with its unit, or `good` and the reasons that there are against it."""

    kind = "form"
    client_key = KeyField()
    seen_id = forms.IntegerField(required=False, widget=forms.HiddenInput)
    final = forms.BooleanField(required=False, widget=forms.HiddenInput)
    seconds_ago = forms.IntegerField(required=False, min_value=0, widget=forms.HiddenInput)

    def __init__(self, *args: Any, point: Point, final: bool = False, **kwargs: Any) -> None:
        criterion = point.criterion
        kwargs["auto_id"] = f"{criterion.code}-{point.position}-%s"
        start = {"seen_id": point.seen_id, "unit": criterion.unit, "final": "1" if final else ""}
        kwargs["initial"] = start
        super().__init__(*args, **kwargs)
        self.point = point
        self.fields |= measured(point) if criterion.is_measured else seen(point)
        dress(self)

    def typed(self) -> Typed:
        """Return what was typed, as the action takes it."""
        criterion, cleaned = self.point.criterion, self.cleaned_data
        value = cleaned["value"]
        if criterion.marked_limit:
            value = f"{value} {criterion.marked_limit} {cleaned['marked']}"
        return Typed(
            criterion=criterion.code,
            position=self.point.position,
            value=value,
            unit=cleaned.get("unit", ""),
            final=cleaned["final"],
            seen_id=cleaned["seen_id"],
            seconds_ago=cleaned["seconds_ago"] or 0,
            client_key=cleaned["client_key"],
        )

    def show_again(self, point: Point) -> None:
        """Take over the reading that stands now, so that what was typed can be sent again."""
        self.point = point
        self.data = dict(self.data.items()) | {"seen_id": str(point.seen_id or "")}


class NotReadForm(Form):
    """Why a point can't be read now."""

    kind = "cant"
    client_key = KeyField()
    final = forms.BooleanField(required=False, widget=forms.HiddenInput)
    because = forms.ChoiceField(
        label="Why it can’t be read",
        choices=[(why, why) for why in CANT_READ],
        widget=forms.RadioSelect,
        error_messages={"invalid_choice": NO_ANSWER},
    )
    note = forms.CharField(label="Note", required=False, max_length=100)

    def __init__(self, *args: Any, point: Point, final: bool = False, **kwargs: Any) -> None:
        kwargs["auto_id"] = f"{point.criterion.code}-{point.position}-no-%s"
        kwargs["initial"] = {"final": "1" if final else ""}
        super().__init__(*args, **kwargs)
        self.point = point

    def missed(self) -> Missed:
        """Return what was said, as the action takes it."""
        cleaned = self.cleaned_data
        note = cleaned["note"].strip()
        return Missed(
            criterion=self.point.criterion.code,
            position=self.point.position,
            because=f"{cleaned['because']}: {note}" if note else cleaned["because"],
            final=cleaned["final"],
            client_key=cleaned["client_key"],
        )


class GoodForm(Form):
    """Good at every place of a criterion that nobody has read."""

    client_key = KeyField()
    final = forms.BooleanField(required=False, widget=forms.HiddenInput)
    places = forms.MultipleChoiceField(widget=forms.MultipleHiddenInput)

    def __init__(self, *args: Any, section: Section, final: bool = False, **kwargs: Any) -> None:
        places = [point.position for point in section.rest]
        kwargs["initial"] = {"final": "1" if final else "", "places": places}
        super().__init__(*args, auto_id=False, **kwargs)
        count = len(places)
        self.button = f"{'All' if count == len(section.points) else 'Other'} {count} good"
        field: Any = self.fields["places"]
        field.choices = [(point.position, point.title) for point in section.points]


class BeginForm(Form):
    """Which sheet is begun; the final one notes the odometer. `points` is how many it has."""

    depth = forms.TypedChoiceField(
        choices=choices_of(Depth), coerce=Depth, widget=forms.HiddenInput
    )
    odometer_mi = WholeField(label="Odometer", unit="miles", most=999_999, required=False)

    def __init__(
        self, *args: Any, sheet: Depth | None = None, points: int = 0, **kwargs: Any
    ) -> None:
        super().__init__(*args, initial={"depth": sheet}, **kwargs)
        sent = self.data.get("depth", "")
        self.sheet = sheet or (Depth(sent) if sent in list(Depth) else Depth.FULL)
        self.points, self.what = points, WHAT[self.sheet]
        self.auto_id = f"begin-{self.sheet}-%s"
        self.fields["odometer_mi"].required = self.sheet is Depth.FINAL
        if self.sheet is not Depth.FINAL:
            self.fields["odometer_mi"].widget = forms.HiddenInput()


class RegradeForm(Form):
    """The class that a person sets against the catalogue."""

    becomes = forms.TypedChoiceField(
        label="Class",
        choices=choices_of(DeficiencyClass),
        coerce=DeficiencyClass,
        widget=forms.RadioSelect,
        help_text="A worse class counts at once. A better one waits for a second person.",
        error_messages={"invalid_choice": NO_ANSWER},
    )
    because = forms.CharField(label="Because", max_length=200)


class AnswerForm(Form):
    """The second person's answer to a lower class."""

    agree = forms.TypedChoiceField(
        label="Your answer",
        choices=[("yes", "Lower it: I looked at the car myself"), ("no", "The class stays")],
        coerce=lambda word: word == "yes",
        widget=forms.RadioSelect,
        error_messages={"invalid_choice": NO_ANSWER},
    )
    because = forms.CharField(label="Because", max_length=200, required=False)


class LimitForm(Form):
    """A limit of the program's state, over the catalogue's."""

    limit = forms.ChoiceField(label="Limit of the catalogue")
    typed = forms.CharField(
        label="Limit here",
        max_length=20,
        help_text="With its unit, such as “4/32 in”; without one, in the catalogue’s unit.",
    )
    since_on = DateField(label="From")
    because = forms.CharField(label="Because", max_length=200)
    source = forms.CharField(
        label="Section of the law",
        max_length=200,
        required=False,
        help_text="Needed where the limit here is looser than the catalogue’s.",
    )

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        field: Any = self.fields["limit"]
        field.choices = limits_of_catalogue()

    def clean(self) -> dict[str, Any]:
        """Part the limit into its criterion and its reason."""
        cleaned: dict[str, Any] = super().clean() or {}
        if "limit" in cleaned:
            cleaned["criterion"], _, cleaned["reason"] = cleaned.pop("limit").partition("/")
        return cleaned


class EndLimitForm(Form):
    """Why a local limit ends."""

    because = forms.CharField(label="Because", max_length=200)


def forms_of(whole: Sheet, point: Point) -> dict[str, Form]:
    """Return the forms of a point: what is read, why it can't be, and good at all its places."""
    section = whole.section_of(point)
    found: dict[str, Form] = {
        "form": ReadingForm(point=point, final=whole.is_final),
        "cant": NotReadForm(point=point, final=whole.is_final),
    }
    if section.rest:
        found["rest"] = GoodForm(section=section, final=whole.is_final)
    return found


def starts_of(stay: Intake, whole: Sheet, sent: BeginForm | None) -> list[BeginForm]:
    """Return a form for each sheet that can be begun: none while one is open."""
    if stay.left_on or any(one.ended_at is None for one in whole.inspections):
        return []
    starts = [BeginForm(sheet=depth, points=points_at(stay, depth)) for depth in Depth]
    return [sent if sent and sent.sheet is one.sheet else one for one in starts]


def limits_of_catalogue() -> list[tuple[str, str]]:
    """Return every limit that can be moved, by `criterion/reason`, as it is shipped."""
    return [
        (
            f"{criterion.code}/{limit.reason}",
            f"{criterion.title}: {limit.operator} {units.show(limit.value, criterion.unit)}",
        )
        for criterion in load().criteria.values()
        for limit in criterion.limits
        if limit.reason != NONE and criterion.fitted_us and not criterion.detail_of
    ]


def measured(point: Point) -> dict[str, forms.Field]:
    """Return the fields of a number: the value, the limit marked on the part, the unit."""
    criterion = point.criterion
    number = {"class": "read", "autofocus": True}
    found: dict[str, forms.Field] = {
        "value": UnitField(
            label=point.title,
            unit="",
            max_length=LONGEST,
            help_text=f"{range_of(criterion)}.",
            widget=forms.TextInput(number),
        )
    }
    if criterion.marked_limit:
        found["marked"] = UnitField(
            label=MARKED[criterion.marked_limit],
            unit="",
            max_length=LONGEST,
            widget=forms.TextInput({"class": "read"}),
        )
    offered = units_offered(criterion)
    if len(offered) > 1:
        choices = [(unit.code, unit.name) for unit in offered]
        found["unit"] = forms.ChoiceField(
            label="Unit",
            choices=choices,
            widget=forms.RadioSelect,
            required=False,
            error_messages={"invalid_choice": NO_ANSWER},
        )
    return found


class SeenField(forms.ChoiceField):
    """A reason; `good` is taken as well, it has a button of its own."""

    def valid_value(self, value: Any) -> bool:
        """Return whether it is an answer."""
        return value == GOOD or super().valid_value(value)


def seen(point: Point) -> dict[str, forms.Field]:
    """Return the one field of what is looked at: a reason with its class."""
    return {
        "value": SeenField(
            label=f"What is wrong: {point.title}",
            choices=answers(point.criterion)[1:],
            widget=forms.RadioSelect,
            error_messages={
                "invalid_choice": NO_ANSWER,
                "required": f"{point.title}: an answer is missing.",
            },
        )
    }
