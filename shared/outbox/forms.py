"""What a person says of messages that wait to be read through."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from django import forms

from shared.forms import Form
from shared.outbox.models import Message

if TYPE_CHECKING:
    from shared.outbox.models import MessageQuerySet

SEND, HOLD = "send", "hold"


class ReadForm(Form):
    """The ticked messages go, or are held back with a reason."""

    messages = forms.ModelMultipleChoiceField(
        queryset=Message.objects.none(),
        error_messages={"required": "Tick at least one message."},
    )
    do = forms.ChoiceField(choices=[(SEND, "Send"), (HOLD, "Hold back")])
    because = forms.CharField(
        label="Why they don't go", max_length=200, required=False, help_text="Only to hold back."
    )

    def __init__(self, *args: Any, messages: MessageQuerySet, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        chosen = self.fields["messages"]
        chosen.queryset = messages  # type: ignore[attr-defined]  # a ModelMultipleChoiceField

    def clean(self) -> dict[str, Any]:
        values = super().clean() or {}
        holds = values.pop("do", SEND) == HOLD
        if holds and not values.get("because", "").strip():
            self.add_error("because", "Say why they don't go.")
        return values if holds else values | {"because": ""}

    @property
    def lets_go(self) -> bool:
        """Whether the ticked messages were let go."""
        return not self.cleaned_data["because"]
