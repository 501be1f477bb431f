"""Photos sent by hand or announced by the script, their captions, and why one is taken away."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from django import forms
from django.core.exceptions import ValidationError

from shared.choices import choices_of
from shared.forms import Form
from vehicles.intake.keeping import MOST_AT_ONCE, Subject
from vehicles.intake.kinds import PhotoAbout

if TYPE_CHECKING:
    from collections.abc import Callable


class SeveralPhotosInput(forms.FileInput):
    allow_multiple_selected = True


class SeveralPhotosField(forms.FileField):
    """One or more files; cleaned, a list of them."""

    widget = SeveralPhotosInput

    def clean(self, data: Any, initial: Any = None) -> list[Any]:
        files = data if isinstance(data, list | tuple) else [data]
        if len(files) > MOST_AT_ONCE:
            raise ValidationError(f"{len(files)} files came at once. Send up to {MOST_AT_ONCE}.")
        return [super(SeveralPhotosField, self).clean(file, initial) for file in files or [None]]


class SubjectForm(Form):
    """What the photos show; the page that asks for them fills it in."""

    about = forms.ChoiceField(choices=choices_of(PhotoAbout), widget=forms.HiddenInput)
    key = forms.CharField(max_length=64, required=False, widget=forms.HiddenInput)

    def perform(self, action: Callable[..., Any], **others: Any) -> Any:
        """Return what `action` returns; it gets the subject as one value."""
        data = self.cleaned_data
        subject = Subject(about=data.pop("about"), key=data.pop("key"))
        return super().perform(action, subject=subject, **others)


class PhotosForm(SubjectForm):
    """Photos sent by the browser itself, without script."""

    photos = SeveralPhotosField()


class BeginForm(SubjectForm):
    """A photo that the script is about to send in pieces."""

    client_key = forms.UUIDField()
    size = forms.IntegerField(min_value=1)


class CaptionForm(Form):
    """What there is to see."""

    caption = forms.CharField(max_length=120, required=False)


class VoidForm(Form):
    """Why a photo is deleted; the reason stays."""

    because = forms.CharField(
        label="Reason",
        max_length=120,
        help_text="It stays in the log; name nobody in it.",
    )
