"""Collects what is to be translated, the sentences of pure modules among it."""

from __future__ import annotations

from django.core.management.commands import makemessages


class Command(makemessages.Command):
    """Django's own command, which also knows `say("…")` and never guesses a translation."""

    help = "Collect messages, also those of say(); used as: makemessages -l es"
    xgettext_options = [
        *makemessages.Command.xgettext_options,
        "--keyword=say:1",
        "--keyword=Say:1",
    ]
    msgmerge_options = [
        *makemessages.Command.msgmerge_options,
        "--no-fuzzy-matching",
    ]
