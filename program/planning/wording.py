"""The sentences of a plan, and how they write hours.

>>> hours(210)
'3:30'
>>> str(listed([say("one radiator"), say("$140.00")]))
'one radiator and $140.00'
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from program.planning.demand import bill
from program.planning.hands import HOURS_OF
from program.planning.problem import BAY_DAYS, LIFT_DAYS, MINUTES
from shared.money import usd
from shared.problems import Level, Problem
from shared.say import Say, say

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from program.planning.demand import Demand
    from program.planning.plan import Addition, Plan
    from program.planning.problem import Fund, PartNeed, PlanInput, Week

HOUR = 60


def as_noun(title: str) -> str:
    """Return a title as it stands inside a sentence; names and codes keep their capitals.

    >>> as_noun("Steering rack"), as_noun("Tire 205/55R16"), as_noun("ABS sensor")
    ('steering rack', 'tire 205/55R16', 'ABS sensor')
    """
    return title if title[1:2].isupper() else title[:1].lower() + title[1:]


def opening(name: str) -> str:
    """Return a name as it opens a sentence.

    >>> opening("general fund")
    'General fund'
    """
    return name[:1].upper() + name[1:]


def hours(minutes: int) -> str:
    """Return minutes as a sheet of hours writes them: `3:30`."""
    return f"{minutes // HOUR}:{minutes % HOUR:02}"


def listed(parts: Sequence[Say]) -> Say:
    """Return the parts as one phrase: `a`, `a and b`, `a, b and c`."""
    if len(parts) == 1:
        return parts[0]
    phrase = parts[0]
    for part in parts[1:-1]:
        phrase = say("{first}, {second}", first=phrase, second=part)
    return say("{first} and {second}", first=phrase, second=parts[-1])


def left_behind(case_id: str) -> Problem:
    """Return the problem of a case that was to stay in and doesn't fit."""
    return Problem(
        say("{case} was started, promised or pinned in, and doesn't fit.", case=case_id),
        remedy=say("Look below at what it lacks, or tell the household a new date."),
        level=Level.APPROVAL,
        where=case_id,
    )


def week_of(week: Week) -> Say:
    """Return `week of November 30`."""
    day = week.starts_on
    return say("week of {month} {day}", month=f"{day:%B}", day=day.day)


def lacking(addition: Addition, parts: Mapping[str, PartNeed], *, least: bool = True) -> Say:
    """Return what a case lacks, to be read after its number: `lacks $140.00`.

    It may lack less than that unless it was proven to be the `least`.
    """
    scarce = sorted({name for _, name in addition.resources})
    amounts = {name: addition.total(name) for name in scarce}
    things = _things(addition.need_ids, parts, addition.cents, amounts)
    if not things:
        return say("fits, and another choice was made")
    if least:
        return say("lacks {things}", things=listed(things))
    return say("lacks {things}, or less", things=listed(things))


def at_least(
    need_ids: Sequence[str],
    parts: Mapping[str, PartNeed],
    cents: int,
    amounts: Mapping[str, int],
) -> Say:
    """Return what a case lacks at the least, to be read after its number."""
    things = _things(need_ids, parts, cents, amounts)
    if not things:
        return say("lacks nothing by the sums; its weeks, parts or bills don't come together")
    return say("lacks {things} at the least", things=listed(things))


def _things(
    need_ids: Sequence[str],
    parts: Mapping[str, PartNeed],
    cents: int,
    amounts: Mapping[str, int],
) -> list[Say]:
    names = [parts[name].label or name if name in parts else name for name in need_ids]
    things = [say("one {part}", part=as_noun(name)) for name in names]
    if cents:
        things.append(say("{cents}", cents=usd(cents)))
    return [*things, *(amount_of(name, amount) for name, amount in amounts.items())]


def amount_of(name: str, amount: int) -> Say:
    """Return so much of a resource: `1:30 hours of shop time`, `one day in a bay`."""
    if name == MINUTES:
        return say("{hours} hours of shop time", hours=hours(amount))
    days = {
        BAY_DAYS: (say("one day in a bay"), say("{days} days in a bay", days=amount)),
        LIFT_DAYS: (say("one day on a lift"), say("{days} days on a lift", days=amount)),
    }
    if name in days:
        return days[name][amount != 1]
    if name.startswith(HOURS_OF):
        return say("{hours} hours of {who}", hours=hours(amount), who=name.removeprefix(HOURS_OF))
    return say("{amount} of {name}", amount=amount, name=name.replace("_", " "))


def kind_of(name: str) -> Say:
    """Return a resource by its name: `shop time`, `days in a bay`."""
    known = {
        MINUTES: say("shop time"),
        BAY_DAYS: say("days in a bay"),
        LIFT_DAYS: say("days on a lift"),
    }
    return known.get(name) or say("{name}", name=name.replace("_", " "))


def in_week(name: str, amount: int, week: Week) -> Say:
    """Return so much more of a resource in a week."""
    return say("{amount} more in the {week}", amount=amount_of(name, amount), week=week_of(week))


def would_do(thing: Say, *, least: bool) -> Say:
    """Return that an extra brings a case in; `least` when less of it was proven not to."""
    if least:
        return say("{thing} would bring it in.", thing=thing)
    return say("{thing} would bring it in, and less may do.", thing=thing)


def no_amount(thing: Say, *, proven: bool) -> Say:
    """Return that no amount of a thing alone is enough, or that none was found."""
    if proven:
        return say("No amount of {thing} alone would bring it in.", thing=thing)
    return say("No amount of {thing} alone was found to bring it in.", thing=thing)


def no_part(*, proven: bool) -> Say:
    """Return that no single part that is given brings a case in, or that none was found."""
    if proven:
        return say("No single part given would bring it in.")
    return say("No single part given was found to bring it in.")


def no_other(*, among: bool, proven: bool) -> Say:
    """Return that no single thing brings a case in, `among` those that do; or that none was found.

    >>> str(no_other(among=True, proven=False))
    'No other single thing was found to bring it in with the effort spent.'
    """
    if among and proven:
        return say("No other single thing would bring it in.")
    if among:
        return say("No other single thing was found to bring it in with the effort spent.")
    if proven:
        return say("No single thing alone would bring it in.")
    return say("No single thing alone was found to bring it in with the effort spent.")


def never_fits(plan_input: PlanInput, row: Demand, *, proven: bool) -> tuple[Say, ...]:
    """Return why a case can't go home within these weeks, or that no way was found."""
    must = {item.id for item in row.must}
    weeks = plan_input.weeks[row.case.earliest_week :]
    days = row.totals(must, plan_input.bay_day_minutes).get(BAY_DAYS, 0) + row.outside_days(must)
    there = sum(len(week.days) for week in weeks)
    if days > there:
        return (_too_long(days, there, outside=row.outside_days(must)),)
    if proven:
        return (say("can't be started and finished within these weeks, whatever is added"),)
    return (say("was not found to fit within these weeks with the effort spent; it may fit"),)


def _too_long(days: int, there: int, *, outside: int) -> Say:
    if outside:
        return say(
            "needs {days} days in a bay and away, and these weeks have {there}",
            days=days,
            there=there,
        )
    return say("needs {days} days in a bay, and these weeks have {there}", days=days, there=there)


def swapped(displaced: Sequence[str], loss: int) -> Say:
    """Return what taking a case in would do to the others."""
    if not displaced:
        return say("Taking it in would leave out nobody.")
    names = listed([say("{case}", case=name) for name in displaced])
    if loss == 0:
        return say("Taking it in would leave out {cases}: a tie.", cases=names)
    if loss == 1:
        return say("Taking it in would leave out {cases}: 1 point less of need.", cases=names)
    return say(
        "Taking it in would leave out {cases}: {loss} points less of need.", cases=names, loss=loss
    )


def which_funds(plan_input: PlanInput, plan: Plan, row: Demand) -> tuple[Say, ...]:
    """Return, for a case that lacks money, what each bill is and which fund may pay it."""
    sentences: list[Say] = []
    may: set[str] = set()
    for item in row.must:
        cents = bill(item, {part.id: part.price_cents or 0 for part in item.parts})
        if cents:
            name = item.label or item.id
            payers = [fund for fund in plan_input.funds if fund.may_pay(item.id)]
            may |= {fund.id for fund in payers}
            sentences.append(say("{item} costs {cents}.", item=name, cents=usd(cents)))
            sentences.extend(_free(fund, plan, plan_input.reserve_percent) for fund in payers)
    barred = [fund for fund in plan_input.funds if fund.id not in may and str(fund.rule)]
    sentences.extend(
        say("{fund}: {rule}", fund=opening(fund.label), rule=fund.rule) for fund in barred
    )
    return tuple(sentences)


def _free(fund: Fund, plan: Plan, reserve_percent: int) -> Say:
    free = fund.spendable_cents(reserve_percent) - plan.paid_by(fund.id)
    name = opening(fund.label)
    return say("{fund} may pay it, and {free} is free there.", fund=name, free=usd(free))


def more(points: int) -> Say:
    """Return `1 point more of need`, `8 points more of need`."""
    if points == 1:
        return say("1 point more of need")
    return say("{points} points more of need", points=points)


def proof(plan: Plan) -> Say:
    """Return how far the plan's need weight is proven."""
    if plan.proven:
        return say("Proven: no other choice brings more than {need} home.", need=plan.value)
    return say("Not proven: {gap} at most could be reached.", gap=more(plan.need.gap))


def case_list(case_ids: Sequence[str]) -> Say:
    """Return the cases as one phrase."""
    return listed([say("{case}", case=name) for name in case_ids])


def first_of(sentences: Sequence[Say], limit: int) -> tuple[Say, ...]:
    """Return the first sentences, and how many there are more.

    >>> [str(one) for one in first_of([say("a"), say("b"), say("c")], 1)]
    ['a', 'And 2 more.']
    """
    rest = len(sentences) - limit
    if rest <= 0:
        return tuple(sentences)
    return (*sentences[:limit], say("And {count} more.", count=rest))


def said(sentence: Say) -> list[Any]:
    """Return a sentence as JSON holds it.

    >>> unsaid(said(say("{a} and {b}", a=say("one"), b=2))) == say("{a} and {b}", a=say("one"), b=2)
    True
    """
    values = [
        [name, said(value) if isinstance(value, Say) else value] for name, value in sentence.values
    ]
    return [sentence.msgid, values]


def unsaid(data: Any) -> Say:
    """Return the sentence that `said` wrote."""
    msgid, values = data
    return Say(
        msgid,
        tuple(
            (name, unsaid(value) if isinstance(value, list) else value) for name, value in values
        ),
    )
