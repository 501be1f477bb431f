from __future__ import annotations

from shared.outbox.contact import MessageKind, MessageState
from shared.outbox.tables import KINDS, STATES, MessageTable


def test_kind_and_state_are_words() -> None:
    cells = MessageTable([{"kind": "status", "state": "held"}]).rows[0]
    assert (cells.get_cell("kind"), cells.get_cell("state")) == ("Status report", "held back")
    assert (set(KINDS), set(STATES)) == (set(MessageKind), set(MessageState))
