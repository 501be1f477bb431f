"""What a person says of a paper."""

from __future__ import annotations

from django import forms

from program.papers.reading import MOST_BYTES
from shared.forms import Form


class PaperForm(Form):
    """One file and what it is."""

    name = forms.CharField(
        label="What it is",
        max_length=120,
        help_text="Such as “Bill 4417 of Quayside Auto Parts”. No household’s name: the words stay "
        "in the books for good.",
    )
    file = forms.FileField(
        label="The file",
        allow_empty_file=True,
        help_text=f"A PDF or a photo (JPEG or PNG) of at most {MOST_BYTES // 1_000_000} MB. Where "
        "and when a photo was taken is not kept with it. Cover what names a household first.",
        widget=forms.FileInput(attrs={"accept": ".pdf,image/jpeg,image/png"}),
    )

    def clean_file(self) -> bytes:
        """Return the bytes; what they are, the action says."""
        data: bytes = self.cleaned_data["file"].read(MOST_BYTES + 1)
        return data
