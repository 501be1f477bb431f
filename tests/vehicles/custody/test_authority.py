"""Who may say yes, and what stands in the way: program policy, state law differs.

What a title's "and" or "or" asks for, and what a lien or a hold allows, is state law; the rules
tested here are the program's own (common practice, no source).
"""

from __future__ import annotations

from dataclasses import replace
from itertools import product

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shared.problems import Level, Problem, blockers
from shared.say import say
from vehicles.custody.acts import Act, OwnerKind
from vehicles.custody.authority import (
    NOTHING_AGAINST,
    STOPPED,
    Asked,
    Authority,
    Given,
    Named,
    consents,
    signers,
)
from vehicles.custody.kinds import Hold, Joined, Lien, Stolen

DANA = Named(id=1, name="Dana Haskell", kind=OwnerKind.TITLE)
CORIN = Named(id=2, name="Corin Haskell", kind=OwnerKind.TITLE)
ALL = [Given(owner=1, act=act) for act in Act]

ASKED = st.builds(
    Asked,
    joined=st.sampled_from(Joined),
    lien=st.sampled_from(Lien),
    hold=st.sampled_from(Hold),
    stolen=st.sampled_from(Stolen),
    papers_agree=st.sampled_from([True, False, None]),
    decided=st.booleans(),
    released=st.booleans(),
)
OWNERS = st.lists(
    st.builds(
        Named,
        id=st.integers(1, 4),
        name=st.sampled_from(["Dana", "Corin", "Ana"]),
        kind=st.sampled_from(OwnerKind),
    ),
    max_size=4,
    unique_by=lambda one: one.id,
)
GIVEN = st.lists(st.builds(Given, owner=st.integers(1, 4), act=st.sampled_from(Act)), max_size=8)


def to(act: Act, asked: Asked | None = NOTHING_AGAINST, **facts: object) -> Authority:
    """Return the authority to one act, of Dana's car to which she said yes in everything."""
    values = {"owners": [DANA], "given": ALL} | facts
    return next(one for one in consents(asked, **values) if one.act is act)  # type: ignore[arg-type]


def said(found: Authority) -> list[str]:
    return [str(one.sentence) for one in blockers(found.problems)]


@pytest.mark.parametrize("act", Act)
def test_an_owner_on_the_title_is_enough_when_nothing_stands_against_the_car(act: Act) -> None:
    found = to(act)
    assert (found.met, found.problems) == (True, ())
    assert found.note == "signed by Dana Haskell"


def test_each_act_needs_a_consent_of_its_own() -> None:
    found = consents(NOTHING_AGAINST, [DANA], [Given(owner=1, act=Act.DIAGNOSE)])
    assert [one.met for one in found] == [True, False, False, False]
    assert said(found[1]) == ["No owner has consented to the repair."]
    assert str(found[1].problems[0].remedy) == "Dana Haskell may sign."


def test_where_no_paper_was_seen_nobody_may_sign() -> None:
    found = to(Act.DIAGNOSE, owners=[])
    assert said(found) == ["No paper was seen that names an owner."]
    assert found.note == "no owner has consented: look, but take nothing apart"


def test_a_lienholder_never_signs() -> None:
    lender = Named(id=1, name="Alder County Credit Union", kind=OwnerKind.LIENHOLDER)
    assert said(to(Act.STORE, owners=[lender])) == ["No paper was seen that names an owner."]


def test_the_registration_counts_only_until_a_title_is_seen() -> None:
    registered = replace(DANA, kind=OwnerKind.REGISTRATION)
    found = to(Act.REPAIR, owners=[registered])
    assert found.met
    assert [str(one.sentence) for one in found.problems] == [
        "Only the registration was seen; the title may name somebody else."
    ]
    assert signers([registered, CORIN]) == [CORIN]
    assert said(to(Act.REPAIR, owners=[registered, CORIN])) == [
        "No owner has consented to the repair."
    ]


def test_a_title_with_and_needs_all_names_for_the_repair_and_one_for_the_rest() -> None:
    asked = replace(NOTHING_AGAINST, joined=Joined.ALL)
    found = consents(asked, [DANA, CORIN], ALL)
    assert [one.met for one in found] == [True, False, True, True]
    assert said(found[1]) == [
        "The title joins its names with “and”: Corin Haskell has to sign too."
    ]
    assert str(found[1].problems[0].remedy) == (
        "The program asks for every name; state law differs."
    )
    assert to(
        Act.REPAIR, asked, owners=[DANA, CORIN], given=[*ALL, Given(owner=2, act=Act.REPAIR)]
    ).met


@pytest.mark.parametrize(("joined", "warned"), [(Joined.ANY, 0), (Joined.UNKNOWN, 1)])
def test_one_name_is_enough_else_and_an_unknown_word_is_said(joined: Joined, warned: int) -> None:
    found = to(Act.REPAIR, replace(NOTHING_AGAINST, joined=joined), owners=[DANA, CORIN])
    assert (found.met, len(found.problems)) == (True, warned)
    assert found.missing == ("Corin Haskell",)


@pytest.mark.parametrize(
    ("change", "sentence", "stopped"),
    [
        ({"hold": Hold.POLICE}, "The police hold the car.", 4),
        ({"hold": Hold.IMPOUND}, "The car is under an impound hold.", 4),
        ({"hold": Hold.REPOSSESSION}, "A lender has ordered the car repossessed.", 4),
        ({"hold": Hold.COURT}, "A court order stands against the car.", 4),
        ({"papers_agree": False}, "Plate, door label and paper do not agree on the car.", 4),
        ({"lien": Lien.IN_DEFAULT}, "The lien on the car is in default.", 1),
    ],
)
def test_what_stands_against_the_car_stops_it_until_a_person_decides(
    change: dict[str, object], sentence: str, stopped: int
) -> None:
    asked = replace(NOTHING_AGAINST, **change)  # type: ignore[arg-type]
    found = consents(asked, [DANA], ALL)
    assert sum(not one.met for one in found) == stopped
    assert said(found[1]) == [sentence]
    assert found[1].note == f"signed by Dana Haskell; stopped: {sentence}"
    decided = consents(replace(asked, decided=True), [DANA], ALL)
    assert [one.met for one in decided] == [True] * 4
    assert [one.level for one in decided[1].problems] == [Level.WARNING]


def test_a_report_of_theft_is_lifted_by_the_release_of_the_police_alone() -> None:
    stolen = replace(NOTHING_AGAINST, stolen=Stolen.REPORTED)
    tried = [
        to(Act.STORE, replace(stolen, decided=decided, released=released)).met
        for decided, released in product([False, True], repeat=2)
    ]
    assert tried == [False, False, False, True]


def test_what_nobody_knows_is_a_warning_that_goes_to_a_person() -> None:
    found = to(Act.DIAGNOSE, Asked())
    assert found.met
    assert [(str(one.sentence), one.level) for one in found.problems] == [
        ("Nobody knows whether the car was reported stolen.", "warning"),
        ("Nobody knows whether a hold stands against the car.", "warning"),
        ("Nobody knows whether there is a lien.", "warning"),
        ("Nobody has compared plate, door label and paper.", "warning"),
    ]


def test_when_nobody_has_asked_that_is_said_once() -> None:
    found = to(Act.DIAGNOSE, None)
    assert found.met
    assert [str(one.sentence) for one in found.problems] == [
        "Nobody has asked yet about liens, holds and a report of theft."
    ]


def test_a_weapon_stops_all_work_until_it_is_decided_on_but_not_the_keeping() -> None:
    found = consents(NOTHING_AGAINST, [DANA], ALL, ["Hunting rifle", "Needles"])
    assert [one.met for one in found] == [False, False, False, True]
    assert said(found[0]) == ["Nobody has decided yet on what lies in the car: Hunting rifle."]


@given(ASKED, OWNERS, GIVEN)
def test_nothing_is_met_on_a_car_reported_stolen_without_a_release(
    asked: Asked, owners: list[Named], yes: list[Given]
) -> None:
    stolen = replace(asked, stolen=Stolen.REPORTED, released=False)
    assert not any(one.met for one in consents(stolen, owners, yes))


@given(st.none() | ASKED, OWNERS, GIVEN, GIVEN)
def test_one_more_consent_never_makes_less_met(
    asked: Asked | None, owners: list[Named], yes: list[Given], more: list[Given]
) -> None:
    before = consents(asked, owners, yes)
    after = consents(asked, owners, [*yes, *more])
    assert all(then.met for now, then in zip(before, after, strict=True) if now.met)


@given(ASKED, OWNERS, GIVEN)
def test_a_decision_never_makes_less_met(
    asked: Asked, owners: list[Named], yes: list[Given]
) -> None:
    before = consents(replace(asked, decided=False), owners, yes)
    after = consents(replace(asked, decided=True), owners, yes)
    assert all(then.met for now, then in zip(before, after, strict=True) if now.met)


@given(st.none() | ASKED, OWNERS, GIVEN)
def test_what_is_met_was_signed_by_somebody_who_may_sign(
    asked: Asked | None, owners: list[Named], yes: list[Given]
) -> None:
    names = {one.name for one in signers(owners)}
    for one in consents(asked, owners, yes):
        assert not one.met or one.given_by
        assert set(one.given_by) | set(one.missing) == names


@given(ASKED, OWNERS, GIVEN, st.randoms(use_true_random=False))
def test_the_order_of_what_was_given_does_not_matter(
    asked: Asked, owners: list[Named], yes: list[Given], random: st.DataObject
) -> None:
    other = list(yes)
    random.shuffle(other)  # type: ignore[attr-defined]
    assert consents(asked, owners, other) == consents(asked, owners, yes)


def test_what_goes_beyond_an_authorization_stops_the_repair_and_nothing_else() -> None:
    beyond = Problem(say("The work has stopped."), say("Ask."), where=STOPPED)
    found = {one.act: one for one in consents(NOTHING_AGAINST, [DANA], ALL, stopped=beyond)}
    assert [act for act, one in found.items() if one.stopped or not one.met] == [Act.REPAIR]
    assert found[Act.REPAIR].note == "signed by Dana Haskell; stopped: The work has stopped."
