from __future__ import annotations

from dataclasses import replace

from program.decisions.wording import More, words_of

MORE = More(
    car="2012 Toyota Corolla",
    garage="Osier Street Garage",
    reason="The rotors are cracked.",
    work=("Front rotors", "Front pads"),
    cents=18_001,
    authorized_cents=60_000,
    percent=10,
)


def test_the_owner_reads_work_reason_amount_limit_and_what_a_no_means() -> None:
    found = words_of(MORE)
    assert [str(line) for line in found.lines] == [
        "The work: Front rotors, Front pads.",
        "Why, in the words of the shop: The rotors are cracked.",
        "It takes $180.01 more. $600.00 was agreed; with this it is $780.01.",
        (
            "The amount is an estimate: eight of ten such repairs cost no more. Above $858.01"
            " the work stops, and you are asked again. This is no bill."
        ),
        (
            "You may say no. Then we make the car ready to roll, take it off the lift within two"
            " business days, and talk with you about what comes next."
        ),
    ]


def test_the_words_name_the_car_and_who_may_work_on_it() -> None:
    assert str(words_of(MORE).promise) == (
        "Osier Street Garage may do this work on my 2012 Toyota Corolla. I was told what it is,"
        " why, and what it takes."
    )
    assert words_of(MORE) != words_of(replace(MORE, cents=18_002))
