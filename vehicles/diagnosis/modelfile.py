"""A fault model from its file, and every mistake of a file that is none; see docs/fault-models.md.

>>> [line_of(one) for one in problems('format = "fault model 1')]
['line 1, column 24: This is not TOML: unterminated string.']
>>> line_of(problems('format = "fault model 2"')[0])
'format: “fault model 2” is not known here. Did you mean “fault model 1”?'

A writer of models sees the mistakes of files with
`python -m vehicles.diagnosis.modelfile fixtures/catalogue/diagnosis/overheats.toml`.
"""

from __future__ import annotations

import re
import sys
import tomllib
from dataclasses import replace
from math import fsum
from pathlib import Path
from typing import TYPE_CHECKING, Final

from shared.say import say
from vehicles.diagnosis.fault_model import Causes, FaultModel, Specialist
from vehicles.diagnosis.problem import Mistakes, line_of
from vehicles.diagnosis.reading import Section
from vehicles.diagnosis.rows import Names, check_code, check_of, effort_of, fault_of, system_of
from vehicles.diagnosis.rules import check_model

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from shared.problems import Problem

FORMAT: Final = "fault model 1"
LARGEST_BYTES: Final = 200_000
# A file needs three parts of a dotted key; tomllib takes minutes over thousands.
_DEEPEST: Final = 8
_DOTTED: Final = re.compile(
    r"""(?: (?: (?<![\w-])[\w-]++ | "(?:[^"\\\n]|\\.){0,99}+" | '[^'\n]{0,99}+' )"""
    rf"[ \t]*+ \. [ \t]*+ ){{{_DEEPEST}}}",
    re.VERBOSE,
)
_PLACE: Final = re.compile(r" \(at (?:line (\d+), column (\d+)|end of document)\)$")


class ModelFileError(ValueError):
    """A file that is no fault model; `problems` holds each mistake, the text all of them."""

    def __init__(self, found: Sequence[Problem]) -> None:
        super().__init__("\n".join(line_of(one) for one in found))
        self.problems = tuple(found)


def read(text: str, *, name: str = "", shipped: bool = False) -> FaultModel:
    """Return the model of a file's text; `name` is the code it has to have.

    Shares that miss their sum by rounding are brought to it. Of a shipped model more is asked:
    its size, words of both languages, and that no outcome is almost impossible.

    Raises:
        ModelFileError: with all mistakes of the text.
    """
    mistakes = Mistakes()
    model = _read(text, name, mistakes, shipped=shipped)
    if mistakes.found or model is None:
        raise ModelFileError(mistakes.found)
    return _normal(model)


def problems(text: str, *, name: str = "", shipped: bool = False) -> list[Problem]:
    """Return all mistakes of a file's text, each with its place; none where it is a model."""
    mistakes = Mistakes()
    _read(text, name, mistakes, shipped=shipped)
    return mistakes.found


def main(paths: Iterable[str]) -> int:
    """Print the mistakes of shipped files, and return how many files have some."""
    bad = 0
    for path in map(Path, paths):
        found = problems(path.read_text(encoding="utf-8"), name=path.stem, shipped=True)
        bad += bool(found)
        lines = [line_of(one) for one in found] or ["no mistake"]
        sys.stdout.writelines(f"{path.name}: {line}\n" for line in lines)
    return bad


def _read(text: str, name: str, mistakes: Mistakes, *, shipped: bool) -> FaultModel | None:
    tables = _tables(text, mistakes)
    if tables is None:
        return None
    whole = Section(tables, "", mistakes)
    whole.word("format", [FORMAT])
    model = _model(whole, name)
    whole.close()
    check_model(model, mistakes, shipped=shipped)
    return model


def _tables(text: str, mistakes: Mistakes) -> dict[str, object] | None:
    """Return what the text holds, or None with the one mistake that hinders reading it."""
    size = len(text.encode("utf-8", "replace"))
    if size > LARGEST_BYTES:
        sentence = say(
            "The file has {size} bytes; at most {n} are read.", size=size, n=LARGEST_BYTES
        )
        mistakes.add("", sentence)
        return None
    if deep := _DOTTED.search(text):
        line = text.count("\n", 0, deep.start()) + 1
        mistakes.add(f"line {line}", say("A key has more than {n} parts.", n=_DEEPEST))
        return None
    try:
        return tomllib.loads(text.removeprefix("\N{BYTE ORDER MARK}"))
    except RecursionError:
        mistakes.add("", say("Lists or tables are nested too deeply."))
    except ValueError as error:
        _add_syntax(str(error), text, mistakes)
    return None


def _add_syntax(error: str, text: str, mistakes: Mistakes) -> None:
    """Say what the reader of TOML says, its place first."""
    place, what = _PLACE.search(error), _PLACE.sub("", error)
    sentence = say("This is not TOML: {what}.", what=what[:1].lower() + what[1:])
    if place is None:
        mistakes.add("", sentence)
        return
    lines = text.split("\n")
    line, column = place[1] or len(lines), place[2] or len(lines[-1]) + 1
    mistakes.add(f"line {line}, column {column}", sentence)


def _model(whole: Section, name: str) -> FaultModel:
    names = Names.of(whole)
    causes = Causes(whole.word("causes", Causes) or Causes.ONE)
    if causes is Causes.SEVERAL and "unlisted" in whole:
        whole.wrong("unlisted", say("This goes only with causes = “one”."))
    faults, checks = whole.section("faults"), whole.section("checks")
    return FaultModel(
        code=_own_code(whole, name),
        title=whole.text("title"),
        version=whole.text("version", longest=20),
        causes=causes,
        unlisted=whole.share("unlisted", 0.0),
        system=system_of(whole),
        words=whole.texts("words"),
        words_es=whole.texts("words_es"),
        verify=whole.texts("verify", longest=400),
        weights=whole.text("weights", FaultModel.weights),
        sources=whole.texts("sources", longest=400),
        specialist=_specialist(whole.section("specialist", needed=True)),
        faults=tuple(fault_of(code, faults.section(code), names) for code in names.faults),
        checks=tuple(check_of(code, checks.section(code), names) for code in names.checks),
    )


def _own_code(whole: Section, name: str) -> str:
    code = whole.text("code")
    if code:
        check_code(code, "code", whole.mistakes)
    if name and code and code != name:
        whole.wrong("code", say("The file is named “{name}”.", name=name))
    return code


def _specialist(section: Section) -> Specialist:
    found = Specialist(title=section.text("title"), effort=effort_of(section))
    section.close()
    return found


def _normal(model: FaultModel) -> FaultModel:
    """Return the model with weights that sum to one, where they have to."""
    total = fsum([model.unlisted, *(one.weight for one in model.faults)])
    if model.causes is Causes.SEVERAL or total == 1:
        return model
    faults = tuple(replace(one, weight=one.weight / total) for one in model.faults)
    return replace(model, faults=faults, unlisted=model.unlisted / total)


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
