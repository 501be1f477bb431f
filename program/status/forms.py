"""The question box of the household's page, and what staff answer."""

from __future__ import annotations

from django import forms
from django.utils.translation import gettext_lazy

from program.status.actions import LONGEST_ANSWER, LONGEST_QUESTION, TOO_LONG
from shared.forms import Form, KeyField


class QuestionForm(Form):
    """One question; the hidden key keeps it one however often it is sent."""

    text = forms.CharField(
        label=gettext_lazy("Your question"),
        max_length=LONGEST_QUESTION,
        widget=forms.Textarea(attrs={"rows": 4}),
        error_messages={
            "required": gettext_lazy("Write your question."),
            "max_length": gettext_lazy(TOO_LONG),
        },
    )
    client_key = KeyField()


class AnswerForm(Form):
    """The answer to one question."""

    answer = forms.CharField(
        label="Answer",
        max_length=LONGEST_ANSWER,
        widget=forms.Textarea(attrs={"rows": 4, "class": "in"}),
        help_text="It goes to their page and, where the safe-contact rule allows, by mail.",
    )
