"""What a typed or pasted VIN says at once, in sentences, and what may have been meant.

>>> look("Her VIN: 1m8gdm9axkp042788").state
<VinState.TRUE: 'true'>
>>> look("1M8GDM9AXKP042878").corrections[0]
'1M8GDM9AXKP042788'
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from shared.say import Say, say
from vehicles.intake import vin

_KNOWN_YEAR = 2026  # when this was written; stands in where a caller does not say what year it is
_MORE_IS_TEXT = 25  # characters; whatever is longer was pasted with other words around; own design
_YEARS = 2


class VinState(StrEnum):
    """How far a typed number can be used."""

    EMPTY = "empty"
    TRUE = "true"  # its check digit is right
    UNUSUAL = "unusual"  # it may be right without a check digit: a person says why
    WRONG = "wrong"


@dataclass(frozen=True, kw_only=True)
class VinLook:
    """A number as it was understood, what is to be said of it, and what may have been meant."""

    vin: str
    state: VinState
    sentences: tuple[Say | str, ...] = ()
    corrections: tuple[str, ...] = ()
    year: int | None = None

    @property
    def usable(self) -> bool:
        """Whether a car can be received under this number."""
        return self.state in {VinState.TRUE, VinState.UNUSUAL}


def look(text: str, this_year: int = _KNOWN_YEAR) -> VinLook:
    """Return what a text says that holds a VIN, or is one.

    One that was typed alone is never put right silently: a letter O stays one, with a correction.
    """
    typed = vin.compact(text)
    number = typed if len(typed) == vin.LENGTH else vin.find(text) or typed
    if not number:
        return VinLook(vin="", state=VinState.EMPTY)
    if len(number) > _MORE_IS_TEXT:
        said = say("No VIN is in this text. It has 17 letters and digits.")
        return VinLook(vin="", state=VinState.WRONG, sentences=(said,))
    year = vin.model_year(number, this_year)
    try:
        vin.validate(number)
    except ValueError as error:
        return _doubtful(number, str(error), year)
    return VinLook(
        vin=number,
        state=VinState.TRUE,
        sentences=(say("Its check digit is right."), _maker(number), _year(number, this_year)),
        year=year if vin.model_year_is_sure(number, this_year) else None,
    )


def refuse(text: str, because: str) -> str:
    """Return the number under which a car is received; empty where it has none.

    Raises:
        ValueError: it is wrong, or it is none or unusual and nobody said why.
    """
    found = look(text)
    if found.state is VinState.WRONG:
        meant = f" Likely meant: {found.corrections[0]}." if found.corrections else ""
        raise ValueError(f"{found.sentences[0]}{meant}")
    if found.state is VinState.EMPTY and not because.strip():
        raise ValueError("A car without a VIN needs a reason.")
    if found.state is VinState.UNUSUAL and not because.strip():
        raise ValueError(f"{found.vin} has no true check digit: say why it is right all the same.")
    return found.vin


def _doubtful(number: str, error: str, year: int | None) -> VinLook:
    """Return what is said of a number without a true check digit."""
    meant = vin.corrections(number)
    unusual = vin.why_no_check_digit(number)
    wrong = error.removesuffix(f" Likely meant: {meant[0]}.") if meant else error
    return VinLook(
        vin=number,
        state=VinState.UNUSUAL if unusual else VinState.WRONG,
        sentences=(unusual,) if unusual else (wrong,),
        corrections=meant,
        year=year if unusual and len(number) == vin.LENGTH else None,
    )


def _maker(number: str) -> Say:
    name, region = vin.maker_name(number), vin.region(number) or say("no known region")
    if name:
        return say(
            "{code}: registered by {maker}, {region}.",
            code=vin.maker(number),
            maker=name,
            region=region,
        )
    return say(
        "{code}: a maker who is not on our short list, {region}.",
        code=vin.maker(number),
        region=region,
    )


def _year(number: str, this_year: int) -> Say:
    years = vin.model_years(number)
    if vin.model_year_is_sure(number, this_year):
        return say("Model year {year}.", year=vin.model_year(number, this_year))
    if len(years) == _YEARS:
        return say(
            "Model year {one} or {two}: the title or the door label says which.",
            one=years[0],
            two=years[1],
        )
    return say("It does not say the model year: the title does.")
