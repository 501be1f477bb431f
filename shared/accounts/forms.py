"""The sign-in form."""

from __future__ import annotations

from django import forms
from django.contrib.auth.forms import AuthenticationForm, UsernameField
from django.utils.translation import gettext_lazy

from shared.forms import Form


class SignInForm(AuthenticationForm, Form):
    """Name and password; the refusal doesn't tell which of them is wrong."""

    username = UsernameField(
        label=gettext_lazy("User name"),
        widget=forms.TextInput({"autocomplete": "username", "autocapitalize": "none"}),
    )
    password = forms.CharField(
        label=gettext_lazy("Password"),
        strip=False,
        widget=forms.PasswordInput({"autocomplete": "current-password"}),
    )

    error_messages = {
        "invalid_login": gettext_lazy(
            "No account has this name and this password. Look at capital letters, then try again."
        ),
        "inactive": gettext_lazy("This account is closed. Ask the coordinator."),
    }
