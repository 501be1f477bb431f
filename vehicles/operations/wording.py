"""The title of a job or a part in the language of a household's paper.

>>> words = {"Replace tire": "Cambiar llanta", "rear right": "atrás a la derecha"}
>>> title_in("Replace tire, rear right", words)
'Cambiar llanta, atrás a la derecha'
>>> title_in("Tire off the donor car", words)
'Tire off the donor car'
"""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Mapping


def title_in(title: str, words: Mapping[str, str]) -> str:
    """Return a title in the language of `words`, by their English, with its place on the car.

    What somebody wrote by hand is not among them and stays as it is.
    """
    name, _, place = title.rpartition(", ")
    if title in words or not (name in words and place in words):
        return words.get(title, title)
    return f"{words[name]}, {words[place]}"
