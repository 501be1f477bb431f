"""A sentence that a person will read, kept apart from the language they read it in.

A pure module can't know the reader's language, so it returns a `Say`: the English sentence with
named places, and the values for them. `str()` gives English; `shared.templatetags.handback`
renders the same sentence through gettext.

>>> str(say("{name} lacks {count} parts.", name="26-041", count=2))
'26-041 lacks 2 parts.'
>>> say("Nothing is open.") == say("Nothing is open.")
True
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Callable


@dataclass(frozen=True)
class Say:
    """One sentence: a message id with named places, and a value for each place.

    A value may itself be a `Say`, so that a sentence can hold a translated word.
    """

    msgid: str
    values: tuple[tuple[str, object], ...] = ()

    def __str__(self) -> str:
        return self.render(lambda msgid: msgid)

    def render(self, translate: Callable[[str], str]) -> str:
        """Return the sentence in the language of `translate`, which maps a msgid to its text."""
        values = {
            name: value.render(translate) if isinstance(value, Say) else value
            for name, value in self.values
        }
        return translate(self.msgid).format(**values)


def say(msgid: str, /, **values: object) -> Say:
    """Return the sentence `msgid` with its values; the catalog collects calls of this function."""
    return Say(msgid, tuple(values.items()))
