"""Who may say yes to what is done with a car, who has, and what stands against it.

Four acts are asked for one by one. Each is met when those who have to sign have signed, and when
nothing stands against it that no person has decided on. What nobody knows is said, and does not
stop the work: it goes to a person.

>>> dana = Named(id=1, name="Dana Haskell", kind=OwnerKind.TITLE)
>>> repair = consents(NOTHING_AGAINST, [dana], [Given(owner=1, act=Act.REPAIR)])[1]
>>> repair.met, repair.note
(True, 'signed by Dana Haskell')
>>> reported = Asked(stolen=Stolen.REPORTED)
>>> str(consents(reported, [dana], [Given(owner=1, act=Act.REPAIR)])[1].problems[0].sentence)
'The car was reported stolen.'
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

from shared.problems import Level, Problem, blockers
from shared.say import say
from vehicles.custody.acts import Act, OwnerKind
from vehicles.custody.kinds import Hold, Joined, Lien, Stolen

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from shared.say import Say


@dataclass(frozen=True, kw_only=True)
class Named:
    """Somebody whom a paper that was seen names for the car."""

    id: int
    name: str
    kind: OwnerKind


@dataclass(frozen=True, kw_only=True)
class Given:
    """A consent that is in force: the owner by id, and the act."""

    owner: int
    act: Act


@dataclass(frozen=True, kw_only=True)
class Asked:
    """What was answered about the car, and whether a person has decided to go on in spite of it.

    `released` says that the decision names the release of the police.
    """

    joined: Joined = Joined.UNKNOWN
    lien: Lien = Lien.UNKNOWN
    hold: Hold = Hold.UNKNOWN
    stolen: Stolen = Stolen.UNKNOWN
    papers_agree: bool | None = None
    decided: bool = False
    released: bool = False


@dataclass(frozen=True, kw_only=True)
class Authority:
    """What may be done: who said yes to the act, who else is on the title, what is in the way."""

    act: Act
    given_by: tuple[str, ...] = ()
    missing: tuple[str, ...] = ()
    problems: tuple[Problem, ...] = ()

    @property
    def met(self) -> bool:
        """Whether the act may be done now."""
        return not blockers(self.problems)

    @property
    def stopped(self) -> bool:
        """Whether the act has a yes and may not go on, since it goes too far."""
        return any(problem.where == STOPPED for problem in self.problems)

    @property
    def label(self) -> str:
        """The act at the start of a sentence."""
        return self.act.label

    @property
    def note(self) -> str:
        """Who said yes, or that nobody has; who else is on the title, and what stops the act."""
        if not self.given_by:
            return f"no owner has consented: {_WITHOUT[self.act]}"
        also = f"; not signed by {', '.join(self.missing)}, also on the title"
        stop = next((f"; stopped: {one.sentence}" for one in blockers(self.problems)), "")
        return f"signed by {', '.join(self.given_by)}{also if self.missing else ''}{stop}"


NOTHING_AGAINST: Final = Asked(
    joined=Joined.ANY, lien=Lien.NONE, hold=Hold.NONE, stolen=Stolen.NO, papers_agree=True
)

#: Marks the problem that work goes beyond what was authorized, among all that stands against it.
STOPPED: Final = "authorization"

_WITHOUT: Final = {
    Act.DIAGNOSE: "look, but take nothing apart",
    Act.REPAIR: "nothing may be repaired",
    Act.ROAD_TEST: "the car stays off the road",
    Act.STORE: "agree on a day by which it is fetched",
}
_NOUNS: Final = {
    Act.DIAGNOSE: say("diagnosis"),
    Act.REPAIR: say("repair"),
    Act.ROAD_TEST: say("road test"),
    Act.STORE: say("storage"),
}
_HOLDS: Final = {
    Hold.POLICE: say("The police hold the car."),
    Hold.IMPOUND: say("The car is under an impound hold."),
    Hold.REPOSSESSION: say("A lender has ordered the car repossessed."),
    Hold.COURT: say("A court order stands against the car."),
}
_DECIDES: Final = say("The coordinator or the lead technician decides, with a reason.")
_ASK: Final = say("Ask, and record the answer.")


def consents(
    asked: Asked | None,
    owners: Sequence[Named],
    given: Iterable[Given],
    undecided: Sequence[str] = (),
    stopped: Problem | None = None,
) -> tuple[Authority, ...]:
    """Return for each act whether it may be done, with everything in the way, gravest first.

    `asked` is None when nobody has asked yet. `undecided` names the weapons and biohazards in the
    car on which nobody has decided: until then no work on it begins. `stopped` says why the repair
    may not go on although an owner said yes to it, such as more money than was authorized.

    Who may sign is program policy, state law differs: those whom the title names; where no title
    was seen, those whom the registration names; never a lienholder. One of them is enough, except
    for a repair under a title that joins its names with "and": that needs all.
    """
    may_sign = signers(owners)
    signed = [(one.act, one.owner) for one in given]
    found = []
    for act in Act:
        yes = [owner for owner in may_sign if (act, owner.id) in signed]
        no = [owner.name for owner in may_sign if owner not in yes]
        found.append(
            Authority(
                act=act,
                given_by=tuple(dict.fromkeys(owner.name for owner in yes)),
                missing=tuple(dict.fromkeys(no)),
                problems=(
                    *_against(act, asked),
                    *_in_the_car(act, undecided),
                    *((stopped,) if stopped and act is Act.REPAIR else ()),
                    *_unsigned(act, asked or Asked(), may_sign, no),
                    *_unknown(act, asked, may_sign),
                ),
            )
        )
    return tuple(found)


def signers(owners: Sequence[Named]) -> list[Named]:
    """Return those who may sign: by the title, or where none was seen, by the registration.

    >>> lender = Named(id=2, name="Alder County Credit Union", kind=OwnerKind.LIENHOLDER)
    >>> signers([lender])
    []
    """
    titled = [one for one in owners if one.kind is OwnerKind.TITLE]
    return titled or [one for one in owners if one.kind is OwnerKind.REGISTRATION]


def _against(act: Act, asked: Asked | None) -> list[Problem]:
    """Return what was answered and stands against the act; a decision makes it a warning."""
    if asked is None:
        return []
    found = []
    if asked.stolen is Stolen.REPORTED:
        lifted = asked.decided and asked.released
        remedy = say("Call the police. Only their release, noted with its number, changes this.")
        found.append(_problem(say("The car was reported stolen."), remedy, lifted=lifted))
    if asked.hold in _HOLDS:
        found.append(_problem(_HOLDS[asked.hold], _DECIDES, lifted=asked.decided))
    if asked.papers_agree is False:
        sentence = say("Plate, door label and paper do not agree on the car.")
        found.append(_problem(sentence, _DECIDES, lifted=asked.decided))
    if asked.lien is Lien.IN_DEFAULT:
        # A lender may take the car any day; what was fitted goes with it. To look harms nobody.
        harmless = act is not Act.REPAIR
        sentence = say("The lien on the car is in default.")
        found.append(_problem(sentence, _DECIDES, lifted=asked.decided or harmless))
    return found


def _problem(sentence: Say, remedy: Say, *, lifted: bool) -> Problem:
    """Return a blocker, or the same as a warning once it was lifted."""
    if lifted:
        return Problem(sentence, level=Level.WARNING)
    return Problem(sentence, remedy)


def _in_the_car(act: Act, undecided: Sequence[str]) -> list[Problem]:
    """Return the stop that a weapon or a biohazard puts to any work on the car."""
    if act is Act.STORE or not undecided:
        return []
    sentence = say("Nobody has decided yet on what lies in the car: {what}.", what=undecided[0])
    return [Problem(sentence, say("Nobody touches the car. {decides}", decides=_DECIDES))]


def _unsigned(
    act: Act, asked: Asked, may_sign: Sequence[Named], missing: Sequence[str]
) -> list[Problem]:
    """Return who has to sign still."""
    if not may_sign:
        remedy = say("See the title or the registration, and name the owner.")
        return [Problem(say("No paper was seen that names an owner."), remedy)]
    if len(missing) == len(may_sign):
        sentence = say("No owner has consented to the {act}.", act=_NOUNS[act])
        return [Problem(sentence, say("{names} may sign.", names=_listed(may_sign)), where=act)]
    if act is not Act.REPAIR or not missing or asked.joined is Joined.ANY:
        return []
    names = ", ".join(missing)
    if asked.joined is Joined.UNKNOWN:
        sentence = say("The title may ask for {names} to sign too.", names=names)
        return [Problem(sentence, _ASK, Level.WARNING, where=act)]
    sentence = say("The title joins its names with “and”: {names} has to sign too.", names=names)
    remedy = say("The program asks for every name; state law differs.")
    return [Problem(sentence, remedy, where=act)]


def _listed(people: Sequence[Named]) -> str:
    """Return the names for a choice of one, as `Dana Haskell or Corin Haskell`."""
    return " or ".join(dict.fromkeys(one.name for one in people))


def _unknown(act: Act, asked: Asked | None, may_sign: Sequence[Named]) -> list[Problem]:
    """Return what nobody knows, as warnings that a person reads."""
    if asked is None:
        sentence = say("Nobody has asked yet about liens, holds and a report of theft.")
        return [Problem(sentence, _ASK, Level.WARNING)]
    questions = {
        say("Nobody knows whether the car was reported stolen."): asked.stolen is Stolen.UNKNOWN,
        say("Nobody knows whether a hold stands against the car."): asked.hold is Hold.UNKNOWN,
        say("Nobody knows whether there is a lien."): asked.lien is Lien.UNKNOWN,
        say("Nobody has compared plate, door label and paper."): asked.papers_agree is None,
    }
    found = [Problem(text, _ASK, Level.WARNING) for text, unknown in questions.items() if unknown]
    if act is Act.REPAIR and any(one.kind is OwnerKind.REGISTRATION for one in may_sign):
        sentence = say("Only the registration was seen; the title may name somebody else.")
        found.append(Problem(sentence, say("Ask for the title."), Level.WARNING))
    return found
