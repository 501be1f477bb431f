from __future__ import annotations

from shared.people.kinds import SKILLS, PaperKind


def test_each_paper_has_its_words() -> None:
    assert [kind.within for kind in PaperKind] == [
        "volunteer waiver",
        "driver license",
        "insurer’s listing",
        "certificate",
        "refrigerant certificate",
        "high-voltage training",
    ]


def test_a_skill_fits_its_column_and_stands_once() -> None:
    assert len(set(SKILLS)) == len(SKILLS)
    assert max(map(len, SKILLS)) <= 30
