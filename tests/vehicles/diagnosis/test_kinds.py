"""Words of a diagnosis as people read them."""

from vehicles.diagnosis.kinds import Ended, Origin, Source, Sureness, Verified


def test_each_word_has_its_label() -> None:
    assert [one.label for one in Origin] == ["Shipped", "Our own", "From another program"]
    assert [one.label for one in Source] == ["seen", "household", "trouble codes"]
    assert [one.label for one in Verified] == ["Not tried yet", "Shown", "Could not be shown"]
    assert [one.label for one in Sureness] == ["Confirmed", "Set by a person"]
    assert [one.label for one in Ended] == [
        "Concluded",
        "Could not be shown",
        "Handed to a specialist",
        "Dropped",
    ]
