"""The money of a supplement: set aside when both agree, and free again exactly once."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from program.decisions.keeping import free_item, money_in_words
from program.ledger.actions import Event, SetAside, set_aside
from program.ledger.queries import standing_commitments
from program.models import Case, Commitment, Entry, Fund
from tests.factories import TODAY, make_user
from tests.program.decisions.story import (
    add_work,
    ask,
    authorize,
    budget_says,
    estimated,
    make_car,
    make_over,
    make_supplement,
    owner_says,
    refusal,
)
from tests.program.handback.story import send_back
from tests.program.ledger.booking import free, fund_with
from vehicles.models import RepairItem
from vehicles.repairs.actions import withdraw_item

if TYPE_CHECKING:
    from program.models import Supplement
    from vehicles.models import Intake

pytestmark = pytest.mark.django_db

FLOOR = 210_000  # what the board keeps back of unrestricted money, as shipped


def agreed(row: Supplement) -> Supplement:
    return budget_says(owner_says(row))


def aside(row: Supplement) -> list[tuple[str, str, int, str]]:
    """Return what stands set aside: the item's title, the fund, the cents and the cause."""
    titles = dict(RepairItem.objects.values_list("pk", "title"))
    found = standing_commitments(row.program)
    return [(titles[one.item_id], one.fund.code, one.cents, one.cause) for one in found]


def money(row: Supplement) -> list[str]:
    return [str(one) for one in money_in_words(row, estimated(row.authorization.intake))]


def test_what_both_agreed_to_is_set_aside_for_the_work_asked_for() -> None:
    row = agreed(make_supplement())
    assert aside(row) == [("Front rotors", "GEN", 5_000, f"supplement:{row.pk}")]
    assert Entry.objects.get(key=f"supplement:{row.pk}").what.startswith("Set aside by supplement")
    assert money(row) == ["$50.00 of the general fund is set aside."]


def test_one_yes_sets_nothing_aside_and_says_who_would_pay() -> None:
    row = owner_says(make_supplement())
    assert (aside(row), money(row)) == ([], ["The general fund would pay $50.00."])


@pytest.mark.parametrize("owner_first", [True, False])
def test_without_money_the_budget_cannot_say_yes(*, owner_first: bool) -> None:
    row = make_supplement(money=4_999)
    row = owner_says(row) if owner_first else row
    sentence = (
        "There is no money for this: it needs $50.00, and the funds that may pay for the work have"
        " $49.99 to give. Find the rest first, or decline it."
    )
    assert refusal(budget_says, row) == [sentence]
    row.refresh_from_db()
    assert (row.state, row.budget_at, aside(row), money(row)) == ("asked", None, [], [sentence])


def test_money_that_went_between_the_two_answers_refuses_the_second() -> None:
    row = budget_says(make_supplement(money=5_000))
    other = SetAside(
        fund=_fund(),
        case=row.authorization.case,
        item_id=1,
        cents=1,
    )
    event = Event(key="plan:9", on=TODAY, what="Set aside by plan 9")
    set_aside(program=row.program, event=event, rows=[other], by=make_user())
    assert refusal(owner_says, row)[0].startswith("There is no money for this")
    row.refresh_from_db()
    assert (row.state, row.owner_at) == ("asked", None)


def test_a_gift_that_may_pay_only_for_such_work_goes_first() -> None:
    """The order in which a plan pays: the restricted money, then what lapses, then the rest."""
    _, stay, item = make_over()
    gift = fund_with(3_000, code="COOL", name="Pruitt gift", restricted=True)
    gift.rule = {"systems": ["cooling"]}
    gift.save()
    row = agreed(ask(stay, item))
    assert [(fund, cents) for _, fund, cents, _ in aside(row)] == [("COOL", 3_000), ("GEN", 2_000)]


def test_what_a_plan_set_aside_for_the_work_already_counts() -> None:
    _, stay, item = make_over()
    plan_set_aside(stay, item, 2_000)
    row = agreed(ask(stay, item))
    assert aside(row) == [("Front rotors", "GEN", 5_000, f"supplement:{row.pk}")]
    assert Commitment.objects.filter(released_by=None).count() == 1


def test_work_that_a_plan_paid_in_full_takes_no_more() -> None:
    _, stay, item = make_over()
    plan_set_aside(stay, item, 5_000)
    before = aside(row := ask(stay, item))
    assert aside(agreed(row)) == before == [("Front rotors", "GEN", 5_000, "plan:1")]


def test_a_price_that_rose_is_set_aside_for_its_own_work() -> None:
    case, stay = make_car()
    fund_with(FLOOR + 50_000)
    authorize(case, stay)
    item = stay.items.get()
    item.needs.update(price_cents=14_000)
    row = agreed(ask(stay, item))
    assert [(title, cents) for title, _, cents, _ in aside(row)] == [("Radiator", 4_000)]


def test_taking_the_work_off_the_list_frees_it_once() -> None:
    row = agreed(make_supplement())
    fund, item = _fund(), RepairItem.objects.get(title="Front rotors")
    assert free(fund) == FLOOR + 45_000
    withdraw_item(item=item, because="Not now.", by=make_user(), version=item.version)
    assert (aside(row), free(fund)) == ([], FLOOR + 50_000)
    free_item(item, make_user())
    assert free(fund) == FLOOR + 50_000
    assert money(row) == [
        "$50.00 of the general fund was set aside. Freed: “Front rotors” is not to be done."
    ]


def test_a_car_that_is_returned_frees_it_once() -> None:
    row = agreed(make_supplement())
    fund, item = _fund(), RepairItem.objects.get(title="Front rotors")
    send_back(row.authorization.case)
    assert (aside(row), free(fund)) == ([], FLOOR + 50_000)
    free_item(item, make_user())
    assert free(fund) == FLOOR + 50_000
    assert Entry.objects.filter(what__startswith="Freed").count() == 1


def test_other_work_keeps_its_money() -> None:
    row = agreed(make_supplement())
    other = add_work(row.authorization.intake, 1_000, title="Wipers")
    withdraw_item(item=other, because="Not now.", by=make_user(), version=other.version)
    assert len(aside(row)) == 1
    assert not Entry.objects.filter(key=f"withdrawn:{other.pk}").exists()


def test_a_supplement_for_time_alone_sets_nothing_aside() -> None:
    _, stay, item = make_over()
    item.needs.update(price_cents=0)
    row = agreed(ask(stay, item))
    assert (row.state, row.cents, aside(row)) == ("agreed", 0, [])


def plan_set_aside(stay: Intake, item: RepairItem, cents: int) -> None:
    row = SetAside(
        fund=_fund(), case=Case.objects.get(vehicle=stay.vehicle), item_id=item.pk, cents=cents
    )
    event = Event(key="plan:1", on=TODAY, what="Set aside by plan 1")
    set_aside(program=stay.program, event=event, rows=[row], by=make_user())


def _fund() -> Fund:
    return Fund.objects.get(code="GEN")
