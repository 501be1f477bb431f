"""The sample form."""

from __future__ import annotations

from django import forms

from shared.forms import DateField, Form, KeyField, MoneyField, UnitField, WholeField


class SampleForm(Form):
    """Every kind of field; nothing typed here is kept."""

    client_key = KeyField()
    tread = UnitField(
        label="Tread depth, rear right", unit="/32 in", help_text="The lowest of three places"
    )
    amount = MoneyField(label="Amount", least=1)
    quantity = WholeField(label="How many", unit="radiators", least=1, most=20)
    day = DateField(label="By when", help_text="2026-12-01 or 12/1/2026")
    fund = forms.ChoiceField(
        label="Fund", choices=[("", ""), ("pruitt", "Pruitt gift"), ("general", "General fund")]
    )
    payer = forms.ChoiceField(
        label="Who pays",
        choices=[("fund", "A fund"), ("household", "The household")],
        widget=forms.RadioSelect,
    )
    note = forms.CharField(
        label="What happened", required=False, widget=forms.Textarea({"rows": 3})
    )
    told = forms.BooleanField(label="The household was told", required=False)
