from __future__ import annotations

import datetime as dt
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sponsors.appeals.drafting import (
    MOST_LINES,
    Asked,
    Charity,
    Giver,
    Rules,
    Wanted,
    choose,
    fits_gift,
    letter,
)
from vehicles.repairs.open_needs import Car, OpenNeed, Part, System

TODAY = dt.date(2026, 11, 30)
RULES = Rules(today=TODAY, floor_cents=7_500)
GARAGE = Charity(
    name="Osier Street Garage",
    town="Bramwick",
    postal_address="14 Osier Street, Bramwick, OH 43999",
    phone="555-0100",
)
PAGE, STOP = "https://garage.example/give/a/", "https://garage.example/give/stop/b/"


def need(id_: int = 1, **fields: Any) -> OpenNeed:
    system, kind = fields.pop("system", System.COOLING), fields.pop("kind", "radiator")
    usual: dict[str, Any] = {
        "title": "Radiator",
        "part": Part(kind=kind, system=system),
        "car": Car(year=2012, make="Toyota", model="Corolla"),
        "text": "Gets a parent to an early shift.",
        "price_cents": 12_000,
        "opened_on": TODAY,
    }
    return OpenNeed(id=id_, **usual | fields)


def giver(id_: int = 1, **fields: Any) -> Giver:
    usual: dict[str, Any] = {"name": "Ines Halloran", "gives": (("cooling", ""),), "every_days": 28}
    return Giver(id=id_, **usual | fields)


def asked_for(*lines: Wanted, sponsor: Giver | None = None, rules: Rules = RULES) -> list[int]:
    choice = choose(lines, [sponsor or giver()], rules)
    return [line.need.id for asked in choice.asked for line in asked.lines]


def why_not(*lines: Wanted, sponsor: Giver) -> str:
    [passed] = choose(lines, [sponsor], RULES).passed
    return str(passed.reason)


def text(*lines: Wanted, portal_url: str = PAGE) -> str:
    return letter(
        Asked(giver=giver(), lines=lines), GARAGE, portal_url=portal_url, stop_url=STOP
    ).text()


def test_what_frees_most_stands_first() -> None:
    lines = [
        Wanted(need=need(1)),
        Wanted(need=need(2), frees_cars=1, need_weight=3),
        Wanted(need=need(3), frees_cars=2, need_weight=5),
        Wanted(need=need(4), frees_cars=1, need_weight=8),
    ]
    assert asked_for(*lines) == [3, 4, 2, 1]


def test_between_equals_the_lower_tier_then_the_older_need_comes_first() -> None:
    old = TODAY - dt.timedelta(days=5)
    lines = [
        Wanted(need=need(1, tier=2)),
        Wanted(need=need(2, tier=1)),
        Wanted(need=need(3, tier=2, opened_on=old)),
    ]
    assert asked_for(*lines) == [2, 3, 1]


@pytest.mark.parametrize(
    ("gives", "fits"),
    [
        ((("cooling", ""),), True),
        ((("cooling", "radiator"),), True),
        ((("cooling", "Radiator"),), True),
        ((("cooling", "water_pump"),), False),
        ((("charging", ""), ("cooling", "radiator")), True),
        ((("charging", ""),), False),
        ((), False),
    ],
)
def test_asked_is_only_what_a_sponsor_gives(gives: tuple[tuple[str, str], ...], fits: bool) -> None:  # noqa: FBT001  # an expected value
    assert fits_gift(gives, need()) is fits


def test_a_part_below_the_floor_is_bought_and_not_asked_for() -> None:
    cheap, dear = need(1, price_cents=7_499), need(2, price_cents=7_500)
    unpriced = need(3, price_cents=None)
    assert asked_for(*(Wanted(need=one) for one in (cheap, dear, unpriced))) == [2, 3]


def test_a_need_that_is_kept_already_is_not_asked_for() -> None:
    assert asked_for(Wanted(need=need(), units=0)) == []


def test_a_mail_holds_at_most_six_lines() -> None:
    assert asked_for(*(Wanted(need=need(n)) for n in range(1, 10))) == list(
        range(1, MOST_LINES + 1)
    )


@pytest.mark.parametrize(("days_ago", "said"), [(27, True), (28, False), (400, False)])
def test_no_sponsor_is_asked_more_often_than_they_said(days_ago: int, said: bool) -> None:  # noqa: FBT001  # an expected value
    last = TODAY - dt.timedelta(days=days_ago)
    choice = choose([Wanted(need=need())], [giver(last_asked_on=last)], RULES)
    reasons = [str(passed.reason) for passed in choice.passed]
    assert reasons == (["Asked on Nov 3; not again before Dec 1."] if said else [])


@pytest.mark.parametrize(
    ("sponsor", "reason"),
    [
        (giver(opted_out=True), "They asked for no more mail."),
        (giver(has_mail=False), "There is no mail address: call them."),
        (
            giver(gives=(("tires", ""),)),
            "Nothing that is asked for is among what they give.",
        ),
    ],
)
def test_who_is_passed_over_has_a_reason(sponsor: Giver, reason: str) -> None:
    assert why_not(Wanted(need=need()), sponsor=sponsor) == reason


def test_the_mail_as_it_is_sent() -> None:
    assert text(Wanted(need=need(), frees_cars=1)) == (
        "Hello Ines Halloran,\n\n"
        "Osier Street Garage in Bramwick repairs cars that people cannot do without and cannot "
        "pay for. These parts are missing; what does most stands first.\n\n"
        "1. Radiator, 2012 Toyota Corolla. Needed: 1. It would free a car. "
        "Gets a parent to an early shift.\n\n"
        f"Pledge a part on your private page, without a password:\n{PAGE}\n"
        "Or answer this mail, or call 555-0100.\n\n"
        "A pledge is no contract: you can take it back until the part is handed over. It helps "
        "where it is needed most; it cannot be given to a certain person.\n\n"
        "You get this mail because you told us that you give parts. It asks for a gift. We write "
        "at most once in 28 days.\n\n"
        f"Stop these mails, without a password:\n{STOP}\n\n"
        "Osier Street Garage, 14 Osier Street, Bramwick, OH 43999\n"
    )


def test_each_mail_has_a_postal_address_and_a_way_to_stop() -> None:
    """Source: 15 USC 7704(a)(3)(A) and (5)(A)(iii); text seen in a digest, not in the Code."""
    said = text(Wanted(need=need()))
    assert (GARAGE.postal_address in said, STOP in said) == (True, True)


def test_without_a_private_page_the_mail_asks_for_an_answer() -> None:
    said = text(Wanted(need=need()), portal_url="")
    assert "Answer this mail or call 555-0100 to pledge a part." in said
    assert "private page" not in said


@pytest.mark.parametrize("system", [System.BRAKES, System.RESTRAINT, System.STEERING, System.TIRES])
def test_a_mail_that_asks_for_safety_parts_says_that_used_ones_are_not_taken(
    system: System,
) -> None:
    caution = "Parts of brakes, steering, belts and airbags have to be new."
    assert caution in text(Wanted(need=need(system=system)))
    assert caution not in text(Wanted(need=need()))


@pytest.mark.parametrize(
    ("lines", "subject"),
    [
        ([1], "Radiator: one would put a car back on the road"),
        ([3], "Radiator: one would help put 3 cars back on the road"),
        ([0], "Radiator: one is missing"),
        ([0, 0, 0], "Radiator and 2 more parts are missing"),
    ],
)
def test_the_subject_says_what_the_first_part_would_do(lines: list[int], subject: str) -> None:
    wanted = tuple(Wanted(need=need(n), frees_cars=cars) for n, cars in enumerate(lines))
    mail = letter(Asked(giver=giver(), lines=wanted), GARAGE, portal_url=PAGE, stop_url=STOP)
    assert str(mail.subject) == subject


def test_a_mail_is_written_in_the_language_of_its_reader() -> None:
    mail = letter(
        Asked(giver=giver(), lines=(Wanted(need=need()),)), GARAGE, portal_url=PAGE, stop_url=STOP
    )
    spanish = {"Hello {name},": "Hola, {name}:"}
    assert mail.text(lambda msgid: spanish.get(msgid, msgid)).startswith("Hola, Ines Halloran:\n")


def test_braces_in_a_name_stay_as_they_are() -> None:
    said = text(Wanted(need=need(title="Radiator {left}", text="{0} %s")))
    assert "1. Radiator {left}, 2012 Toyota Corolla. Needed: 1. {0} %s" in said


@given(
    st.lists(
        st.builds(
            Wanted,
            need=st.builds(
                need,
                st.integers(1, 40),
                system=st.sampled_from([System.COOLING, System.TIRES]),
                price_cents=st.none() | st.integers(0, 20_000),
            ),
            units=st.integers(0, 3),
            frees_cars=st.integers(0, 3),
            need_weight=st.integers(0, 30),
        ),
        unique_by=lambda line: line.need.id,
    ),
    st.lists(
        st.builds(
            giver,
            st.integers(1, 9),
            gives=st.sampled_from([(), (("cooling", ""),), (("tires", ""), ("cooling", ""))]),
            last_asked_on=st.none() | st.dates(dt.date(2026, 10, 1), TODAY),
            opted_out=st.booleans(),
        ),
        unique_by=lambda one: one.id,
    ),
)
def test_whatever_is_asked_each_sponsor_is_either_asked_once_or_passed_over_with_a_reason(
    lines: list[Wanted], givers: list[Giver]
) -> None:
    choice = choose(lines, givers, RULES)
    assert choose(lines[::-1], givers[::-1], RULES) == choice
    ids = [one.giver.id for one in choice.asked] + [one.giver_id for one in choice.passed]
    assert sorted(ids) == sorted(one.id for one in givers)
    for asked in choice.asked:
        assert not asked.giver.opted_out
        assert asked.lines
        for line in asked.lines:
            assert fits_gift(asked.giver.gives, line.need)
            assert line.units > 0
            assert line.need.price_cents is None or line.need.price_cents >= RULES.floor_cents
