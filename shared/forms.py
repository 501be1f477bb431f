"""The base form: it turns what a person typed into the arguments of one action.

`form.is_valid() and form.perform(action, by=user)` is the whole of a view's work with it. What the
action refuses stands beside its field, or on top of the form.
"""

from __future__ import annotations

import uuid
from typing import TYPE_CHECKING, Any

from django import forms
from django.core.exceptions import ValidationError
from django.forms.renderers import DjangoTemplates
from django.template import loader
from django.utils.translation import gettext

from shared import dates, money

if TYPE_CHECKING:
    import datetime as dt
    from collections.abc import Callable


LONGEST = 30  # characters of one number, amount or day: more is a slip, and no sentence repeats it


class Renderer(DjangoTemplates):
    """Draws forms and fields by `templates/shared/`, and widgets by Django's own templates."""

    form_template_name = "shared/form.html"
    field_template_name = "shared/field.html"

    def get_template(self, template_name: str) -> Any:
        """Return a template of the project for our two pieces, else Django's."""
        if template_name.startswith("shared/"):
            return loader.get_template(template_name)
        return super().get_template(template_name)


class Form(forms.Form):
    """A form of one action. `action` says what is done, `button` what the button says."""

    default_renderer = Renderer
    use_required_attribute = False
    error_css_class = "bad"

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        kwargs.setdefault("label_suffix", "")
        super().__init__(*args, **kwargs)
        dress(self)

    @property
    def faults(self) -> list[dict[str, str]]:
        """Return every refusal with the id of the field it belongs to, in the order of the form."""
        found = [{"id": "", "sentence": str(text)} for text in self.non_field_errors()]
        for bound in self:
            # Radio buttons have no one label; the first of them is where the link leads.
            target = "" if bound.is_hidden else bound.id_for_label or f"{bound.auto_id}_0"
            found += [{"id": target, "sentence": str(text)} for text in bound.errors]
        return found

    def perform(self, action: Callable[..., Any], **others: Any) -> Any:
        """Return what `action` returns for what was typed, or None when it refuses.

        The action gets the cleaned fields by their names, and `others` beside or instead of them.
        """
        try:
            return action(**(self.cleaned_data | others))
        except ValidationError as refusal:
            self.refuse(refusal)
            return None

    def refuse(self, refusal: ValidationError) -> None:
        """Put a refusal beside the fields it names, and on top where this form lacks the field."""
        if not hasattr(refusal, "error_dict"):
            self.add_error(None, refusal)
            return
        for name, errors in refusal.error_dict.items():
            for error in errors:
                self.add_error(name if name in self.fields else None, error)


def dress(form: forms.BaseForm) -> None:
    """Give text inputs their class, and refusals in Django's words ours."""
    for name, field in form.fields.items():
        label = str(field.label or name.replace("_", " ").capitalize())
        if isinstance(field.widget, forms.TextInput | forms.PasswordInput | forms.FileInput):
            field.widget.attrs.setdefault("class", "in")
        theirs = _of_django(field)
        for code, sentence in _ours(field, label).items():
            if field.error_messages.get(code) is theirs.get(code):
                field.error_messages[code] = sentence


def _of_django(field: forms.Field) -> dict[str, Any]:
    """Return the sentences that a field has from Django, by their codes."""
    kinds = [kind for kind in type(field).__mro__ if kind.__module__.startswith("django.")]
    found: dict[str, Any] = {}
    for kind in reversed(kinds):
        found |= vars(kind).get("default_error_messages", {})
    return found


def _ours(field: forms.Field, label: str) -> dict[str, str]:
    """Return what this house says instead; `%(…)s` are filled by the validators."""
    offered = gettext("{label}: choose one of the answers offered.").format(label=_escaped(label))
    said = {
        "required": gettext("{label}: an answer is missing.").format(label=label),
        "max_length": gettext(
            "This is %(show_value)s characters long. Type at most %(limit_value)s characters."
        ),
        "invalid_choice": offered,
        "invalid_list": offered,
        "invalid_pk_value": offered,
        "null_characters_not_allowed": gettext("A character in it can’t be kept. Type it anew."),
        "empty": gettext("This file is empty. Choose it again."),
    }
    if field.widget.is_hidden:
        said["invalid"] = gettext("This page is out of date. Open it again.")
    if isinstance(field, forms.FileField):
        del said["max_length"]  # of a file's name, in other words
    return said


def _escaped(label: str) -> str:
    return label.replace("%", "%%")


class MoneyField(forms.CharField):
    """An amount in dollars and cents; cleaned, whole cents. A dollar sign stands in its frame."""

    before = "$"

    def __init__(self, *, least: int | None = None, **kwargs: Any) -> None:
        self.least = least
        super().__init__(max_length=LONGEST, **kwargs)

    def widget_attrs(self, widget: forms.Widget) -> dict[str, Any]:
        return {"inputmode": "decimal", "autocomplete": "off"}

    def prepare_value(self, value: Any) -> Any:
        return money.dollars(value) if isinstance(value, int) else value

    def clean(self, value: Any) -> Any:
        typed = super().clean(value)
        if not typed:
            return None
        try:
            cents = money.cents(typed)
        except ValueError as error:
            raise ValidationError(str(error)) from error
        if self.least is not None and cents < self.least:
            raise ValidationError(
                gettext("{typed} is too little. Type at least {least}.").format(
                    typed=money.usd(cents), least=money.usd(self.least)
                )
            )
        return cents


class CostField(MoneyField):
    """What a job, part or tow costs, where known: nothing that only a slip can mean."""

    MOST = 100_000_00

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(least=0, required=False, **kwargs)

    def clean(self, value: Any) -> Any:
        cents = super().clean(value)
        if cents is not None and cents > self.MOST:
            raise ValidationError(
                f"{money.usd(cents)} is too much. Type at most {money.usd(self.MOST)}."
            )
        return cents


class UnitField(forms.CharField):
    """A measured value: what was typed is kept as text; its unit stands in the field's frame.

    The pure module that judges the value also says what is wrong with it, so that nothing but the
    shape of a number is looked at here.
    """

    def __init__(self, *, unit: str, whole: bool = False, **kwargs: Any) -> None:
        self.unit = unit
        self.whole = whole
        super().__init__(**{"max_length": LONGEST} | kwargs)

    def widget_attrs(self, widget: forms.Widget) -> dict[str, Any]:
        return {"inputmode": "numeric" if self.whole else "decimal", "autocomplete": "off"}


class WholeField(UnitField):
    """A whole number with its unit, such as `2 radiators`; cleaned, an int within its bounds."""

    def __init__(self, *, least: int = 0, most: int = 1_000_000, **kwargs: Any) -> None:
        self.least, self.most = least, most
        super().__init__(whole=True, **kwargs)

    def clean(self, value: Any) -> Any:
        typed = super().clean(value)
        if not typed:
            return None
        plain = typed.replace(",", "")
        if not plain.isascii() or not plain.isdigit() or not self.least <= int(plain) <= self.most:
            raise ValidationError(
                gettext(
                    "“{typed}” is not possible. Type a whole number from {least} to {most}."
                ).format(typed=typed, least=f"{self.least:,}", most=f"{self.most:,}")
            )
        return int(plain)


class DateField(forms.CharField):
    """A day, typed as 2026-12-01 or 12/1/2026; cleaned, a `date`.

    A form that records what has happened sets `latest` to today.
    """

    latest: dt.date | None = None

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(max_length=LONGEST, **kwargs)

    def widget_attrs(self, widget: forms.Widget) -> dict[str, Any]:
        return {"autocomplete": "off"}

    def prepare_value(self, value: Any) -> Any:
        return value.isoformat() if hasattr(value, "isoformat") else value

    def clean(self, value: Any) -> dt.date | None:
        typed = super().clean(value)
        if not typed:
            return None
        try:
            day = dates.parse_date(typed)
        except ValueError as error:
            raise ValidationError(str(error)) from error
        if self.latest and day > self.latest:
            raise ValidationError(f"{dates.full_date(day)}, has not come yet.")
        return day


class KeyField(forms.UUIDField):
    """The hidden key that makes sending a form twice harmless: one form, one key, one row."""

    widget = forms.HiddenInput

    def __init__(self, **kwargs: Any) -> None:
        kwargs.setdefault("initial", uuid.uuid4)
        super().__init__(required=False, **kwargs)

    def clean(self, value: Any) -> uuid.UUID:
        return super().clean(value) or uuid.uuid4()


class VersionField(forms.IntegerField):
    """The hidden version of the row as the person saw it; an action refuses a stale one."""

    widget = forms.HiddenInput
