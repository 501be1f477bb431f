"""What is typed about a fund becomes one rule and one answer of the donor, or is told why not."""

from __future__ import annotations

import datetime as dt
from typing import Any

import pytest

from program.funds.actions import Agreed
from program.funds.forms import (
    CloseForm,
    FundEditForm,
    FundForm,
    RuleForm,
    RuleSaveForm,
    choices_for,
    typed_as,
)
from program.ledger.rules import Rule, from_dict
from tests.factories import make_household, make_program
from tests.program.funds.work import make_ready, make_work

FULL = from_dict(
    {
        "systems": ["brakes", "tires"],
        "counties": ["orrin county"],
        "from_on": "2026-12-01",
        "until_on": "2027-06-30",
        "two_over_cents": 50_000,
    }
)
CHOICES = {
    "systems": [("brakes", "Brakes"), ("tires", "Tires")],
    "counties": [("orrin county", "Orrin County")],
}


def rule_form(data: dict[str, Any] | None = None, rule: Rule = FULL) -> RuleForm:
    return RuleForm(data, rule=rule, choices=CHOICES)


def test_a_code_is_kept_in_capitals() -> None:
    form = FundForm({"name": "Pruitt gift", "code": " pru ", "opened_on": "12/1/2026"})
    assert form.is_valid()
    assert form.cleaned_data == {
        "name": "Pruitt gift",
        "code": "PRU",
        "restricted": False,
        "purpose": "",
        "opened_on": dt.date(2026, 12, 1),
        "lapses_on": None,
    }


def test_a_fund_lacks_nothing_that_it_is_known_by() -> None:
    assert FundForm({}).errors == {
        "name": ["Name: an answer is missing."],
        "code": ["Short code: an answer is missing."],
        "opened_on": ["Opens on: an answer is missing."],
    }


@pytest.mark.parametrize(
    ("typed", "agreed"),
    [
        ({}, Agreed()),
        (
            {"agreed_on": "2026-11-20", "paper": "Letter of November 20"},
            Agreed(on=dt.date(2026, 11, 20), paper="Letter of November 20"),
        ),
    ],
)
def test_a_donors_answer_is_a_day_and_a_paper_or_neither(
    typed: dict[str, str], agreed: Agreed
) -> None:
    form = FundEditForm({"name": "Pruitt gift", "opened_on": "2026-01-01", "version": "3"} | typed)
    assert form.is_valid()
    assert form.cleaned_data["agreed"] == agreed
    assert {"agreed_on", "paper"} & form.cleaned_data.keys() == set()


@pytest.mark.parametrize(
    ("typed", "name"),
    [({"agreed_on": "2026-11-20"}, "paper"), ({"paper": "Letter"}, "agreed_on")],
)
def test_half_an_answer_is_told_where_the_other_half_is_missing(
    typed: dict[str, str], name: str
) -> None:
    form = FundEditForm({"name": "Pruitt gift", "opened_on": "2026-01-01", "version": "3"} | typed)
    assert form.errors == {name: ["Give both the day and the paper."]}


def test_a_day_that_is_no_day_is_told_once() -> None:
    data = {"name": "Pruitt gift", "opened_on": "2026-01-01", "version": "3"}
    form = FundEditForm(data | {"agreed_on": "soon", "paper": "Letter"})
    assert list(form.errors) == ["agreed_on"]
    assert len(form.errors["agreed_on"]) == 1


def test_a_fund_is_closed_as_it_was_seen() -> None:
    form = CloseForm({"version": "4"})
    assert form.is_valid()
    assert form.cleaned_data == {"version": 4}
    assert list(CloseForm({}).errors) == ["version"]


def test_a_rule_comes_back_from_the_form_as_it_went_in() -> None:
    data: dict[str, Any] = {}
    for name, value in typed_as(FULL):
        data.setdefault(name, []).append(value)
    lists = {"systems", "counties"}
    form = rule_form({name: sent if name in lists else sent[0] for name, sent in data.items()})
    assert form.is_valid()
    assert form.cleaned_data == {"rule": FULL}


def test_an_empty_form_is_a_rule_without_limits() -> None:
    form = rule_form({})
    assert form.is_valid()
    assert form.cleaned_data == {"rule": Rule()}
    assert typed_as(Rule()) == []


@pytest.mark.parametrize(
    ("typed", "refused"),
    [
        (
            {"from_on": "2026-12-01", "until_on": "2026-11-30"},
            {"until_on": ["The rule would end before it starts."]},
        ),
        (
            {"two_over_cents": "-1"},
            {"two_over_cents": ["−$1.00 is too little. Type at least $0.00."]},
        ),
        (
            {"systems": ["wings"]},
            {"systems": ["Systems of the car: choose one of the answers offered."]},
        ),
    ],
)
def test_what_can_not_be_a_rule_is_told_beside_its_field(
    typed: dict[str, Any], refused: dict[str, list[str]]
) -> None:
    assert rule_form(typed).errors == refused


def test_a_rule_of_one_day_is_a_rule() -> None:
    assert rule_form({"from_on": "2026-12-01", "until_on": "2026-12-01"}).is_valid()


def test_each_part_says_which_of_its_boxes_are_ticked() -> None:
    form = rule_form()
    said = {field.name: words for field, words in form.lists if words}
    assert said == {"systems": ["Brakes", "Tires"], "counties": ["Orrin County"]}
    assert [field.name for field in form.others] == ["from_on", "until_on", "two_over_cents"]


def test_a_rule_is_saved_with_the_donors_answer_and_the_version() -> None:
    data = {"systems": ["tires"], "agreed_on": "2026-11-20", "paper": "Letter", "version": "2"}
    form = RuleSaveForm(data, rule=FULL, choices=CHOICES)
    assert form.is_valid()
    assert form.cleaned_data == {
        "rule": Rule(systems=frozenset({"tires"})),
        "agreed": Agreed(on=dt.date(2026, 11, 20), paper="Letter"),
        "version": 2,
    }


@pytest.mark.django_db
def test_what_can_be_ticked_comes_from_the_catalogue_the_households_and_the_needs() -> None:
    make_work(make_ready(county="Orrin", kinds=["single_parent"]), kind="wheel_nut")
    make_household(program=make_program(name="Other garage"), county="Faraway")
    offered = choices_for(make_program(), Rule(counties=frozenset({"gone county"})))
    assert offered["counties"] == [("gone county", "Gone County"), ("orrin", "Orrin")]
    assert offered["household_kinds"] == [("single_parent", "Single parent")]
    assert ("wheel_nut", "Wheel nut") in offered["part_kinds"]
    assert dict(offered["jobs"])["battery-replace"] == "Battery: Replace battery"
    assert offered["kinds"][0] == ("parts", "Parts")


@pytest.mark.django_db
def test_without_households_only_the_rules_own_words_can_be_ticked() -> None:
    offered = choices_for(make_program(), Rule(household_kinds=frozenset({"veteran"})))
    assert (offered["counties"], offered["household_kinds"]) == ([], [("veteran", "Veteran")])
