from __future__ import annotations

from shared.links.purposes import LinkPurpose


def test_each_purpose_says_what_it_opens() -> None:
    assert [purpose.label for purpose in LinkPurpose] == [
        "Status page of a household",
        "Portal of a sponsor",
        "Stop mail to one address",
        "Calendar of the shop",
    ]
