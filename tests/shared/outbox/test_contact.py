from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shared.outbox.contact import (
    Channel,
    MaySay,
    MessageKind,
    MessageState,
    Rule,
    barriers,
    next_state,
)

OPEN = Rule(channel=Channel.EMAIL)
rules = st.builds(
    Rule,
    channel=st.sampled_from(Channel),
    says=st.sampled_from(MaySay),
    barred=st.booleans(),
    opted_out=st.booleans(),
    has_value=st.booleans(),
)


@pytest.mark.parametrize(
    ("rule", "sentence"),
    [
        (Rule(channel=Channel.EMAIL, barred=True), "This address must not be written to."),
        (Rule(channel=Channel.EMAIL, opted_out=True), "The person asked for no more mail."),
        (
            Rule(channel=Channel.EMAIL, says=MaySay.CALL_BACK),
            "The safe-contact rule allows less than this message tells.",
        ),
        (Rule(channel=Channel.PHONE), "This person is reached by phone, not by mail."),
        (Rule(channel=Channel.EMAIL, has_value=False), "There is no mail address."),
    ],
)
def test_each_barrier_has_its_sentence(rule: Rule, sentence: str) -> None:
    assert [str(line) for line in barriers(rule, MaySay.PROGRESS)] == [sentence]


def test_an_answer_to_a_question_goes_after_an_opt_out() -> None:
    rule = Rule(channel=Channel.EMAIL, opted_out=True)
    assert barriers(rule, MaySay.PROGRESS, MessageKind.ANSWER) == []


def test_more_may_be_said_from_nothing_to_progress() -> None:
    assert [says.rank for says in MaySay] == [0, 1, 2]


@given(rules, st.sampled_from(MaySay), st.sampled_from(MessageKind))
def test_nothing_goes_to_a_barred_address_nor_says_more_than_allowed(
    rule: Rule, tells: MaySay, kind: MessageKind
) -> None:
    if not barriers(rule, tells, kind):
        assert not rule.barred
        assert tells.rank <= rule.says.rank
        assert rule.channel == Channel.EMAIL


@pytest.mark.parametrize(
    ("found", "kind", "allowed", "state"),
    [
        (MessageState.WAITING, MessageKind.APPEAL, True, MessageState.SENDING),
        (MessageState.WAITING, MessageKind.STATUS, False, MessageState.HELD),
        (MessageState.SENDING, MessageKind.APPEAL, True, MessageState.UNKNOWN),
        (MessageState.SENDING, MessageKind.STATUS, True, MessageState.SENDING),
        (MessageState.SENDING, MessageKind.ANSWER, True, MessageState.SENDING),
        (MessageState.SENDING, MessageKind.STATUS, False, MessageState.UNKNOWN),
    ],
)
def test_a_dead_sender_leaves_appeals_to_a_person(
    found: MessageState,
    kind: MessageKind,
    allowed: bool,  # noqa: FBT001  # a case of the table above
    state: MessageState,
) -> None:
    assert next_state(found, kind, allowed=allowed) == state
