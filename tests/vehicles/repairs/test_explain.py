"""Each step of the ranking rule said in a sentence, and the risk table with the items in it.

The cells and risks are those of MIL-STD-882E, tables I to III; the worked figures are those of the
rule itself (program policy), computed here by hand.
"""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from vehicles.inspection.criteria import DeficiencyClass
from vehicles.repairs.explain import accepted, explain, gate, table
from vehicles.repairs.ranking import CodeSeverity, Hazard, Ranked, RankItem, Risk, rank

HAZARDS = st.builds(
    Hazard,
    deficiency=st.sampled_from(DeficiencyClass),
    severity=st.integers(1, 4),
    never_release=st.booleans(),
    strands=st.booleans(),
    code=st.sampled_from(CodeSeverity),
)
WORK = st.lists(
    st.tuples(st.lists(HAZARDS, max_size=3), st.integers(0, 200_000)), min_size=1, max_size=6
)
LONG = (
    "The household drives 400 miles a week, more than 300: for the points, and only for them, "
    "each risk is taken one level up."
)


def one(*hazards: Hazard, cents: int = 0, miles: int = 200) -> tuple[list[str], Ranked]:
    item = RankItem(id=1, hazards=hazards, net_cost_cents=cents)
    [ranked] = rank([item], miles)
    return [str(step) for step in explain(item, ranked, miles)], ranked


def test_two_tires_below_the_legal_tread_are_explained_step_by_step() -> None:
    """MIL-STD-882E, table III: severity 1 at level C is high. 40 x 4 over $160.00: 100.0."""
    steps, _ = one(Hazard(deficiency=DeficiencyClass.DANGEROUS, severity=1), cents=160_00)
    assert steps == [
        "The worst class is dangerous: level C, occasional.",
        "Severity 1 at level C is cell 1C: the risk is high.",
        "Tier 0: the class is dangerous.",
        "Tier 0: the risk is high.",
        "Weight of the class times risk: 40 × 4 = 160 points.",
        "Index: 100 × 160 points ÷ $160.00 = 100.0.",
    ]


def test_a_long_week_moves_points_and_says_so() -> None:
    """The rule's own worked case: a ball joint at 400 miles a week has 10 x 4 points, tier 2."""
    ball_joint = Hazard(deficiency=DeficiencyClass.MAJOR, severity=1)
    steps, ranked = one(ball_joint, cents=150_00, miles=400)
    assert (ranked.tier, steps[4:6]) == (
        2,
        [
            LONG,
            "Weight of the class times risk: 10 × 4 = 40 points.",
        ],
    )


def test_a_cheap_job_counts_as_a_dearer_one_and_says_so() -> None:
    steps, _ = one(Hazard(deficiency=DeficiencyClass.MAJOR, severity=2), cents=500)
    assert steps[-2:] == [
        "It costs $5.00; what costs less than $25.00 counts as $25.00.",
        "Index: 100 × 20 points ÷ $25.00 = 80.0.",
    ]


def test_work_that_clears_nothing_has_no_class_and_no_points() -> None:
    steps, _ = one(cents=40_000)
    assert steps == [
        "No class: level E, improbable.",
        "Severity 4 at level E is cell 4E: without a class the risk is low.",
        "Tier 4: nothing sets it higher.",
        "Weight of the class times risk: 0 × 1 = 0 points.",
        "Index: 100 × 0 points ÷ $400.00 = 0.0.",
    ]


def test_several_findings_add_their_points() -> None:
    dangerous = Hazard(deficiency=DeficiencyClass.DANGEROUS, severity=1)
    steps, _ = one(dangerous, Hazard(deficiency=DeficiencyClass.MINOR, severity=3), cents=10_000)
    assert "Weight of the class times risk: 40 × 4 + 1 × 2 = 162 points." in steps


def test_the_risk_table_is_that_of_the_standard() -> None:
    """MIL-STD-882E, table III, typed from the standard row by row."""
    risks = {row.level.value: [cell.risk.name[0] for cell in row.cells] for row in table([])}
    assert risks == {
        "A": ["H", "H", "S", "M"],
        "B": ["H", "H", "S", "M"],
        "C": ["H", "S", "M", "L"],
        "D": ["S", "M", "M", "L"],
        "E": ["M", "M", "M", "L"],
    }
    assert [row.word for row in table([])] == [
        *("frequent", "probable", "occasional", "remote", "improbable"),
    ]


def test_nobody_signs_for_what_keeps_the_car_here() -> None:
    _, ranked = one(Hazard(strands=True))
    assert str(accepted(ranked)) == "The car does not go home with this open, whoever signs."


def test_who_accepts_what_is_left_follows_from_the_risk() -> None:
    _, serious = one(Hazard(deficiency=DeficiencyClass.MAJOR, severity=1))
    _, medium = one(Hazard(deficiency=DeficiencyClass.MINOR, severity=3))
    _, low = one()
    assert "the risk is accepted by the program lead, the lead technician signs first" in str(
        accepted(serious)
    )
    left = "Left open, its risk is accepted by {}, and the household gets it on a list."
    assert str(accepted(medium)) == left.format("the lead technician")
    assert str(accepted(low)) == left.format("the technician")


def test_the_gate_says_what_tiers_0_and_1_cost_to_go() -> None:
    assert "$302.53, which holds in eight of ten such repairs" in str(gate(3, 302_53))
    assert "Beyond 60 minutes and $60.00 for diagnosis and teardown" in str(gate(1, 1))


@given(work=WORK, miles=st.integers(0, 900))
def test_whatever_the_work_the_sentences_agree_with_the_figures(
    work: list[tuple[list[Hazard], int]], miles: int
) -> None:
    items = [
        RankItem(id=at, hazards=tuple(hazards), net_cost_cents=cents)
        for at, (hazards, cents) in enumerate(work)
    ]
    ranked = rank(items, miles)
    for found in ranked:
        text = " ".join(map(str, explain(items[found.id], found, miles)))
        assert f"is cell {found.cell}:" in text
        assert f"the risk is {found.risk.name.lower()}." in text
        assert f"Tier {found.tier}: " in text
        assert f" = {found.points} points." in text
        assert f" = {found.index}." in text
    places = [place for row in table(ranked) for cell in row.cells for place in cell.places]
    assert sorted(places) == list(range(1, len(items) + 1))


@given(hazards=st.lists(HAZARDS, min_size=1, max_size=3), miles=st.integers(0, 900))
def test_a_high_risk_is_accepted_by_nobody(hazards: list[Hazard], miles: int) -> None:
    [ranked] = rank([RankItem(id=1, hazards=tuple(hazards))], miles)
    barred = str(accepted(ranked)) == "The car does not go home with this open, whoever signs."
    assert barred == (ranked.tier < 2)
    assert barred or ranked.risk is not Risk.HIGH
