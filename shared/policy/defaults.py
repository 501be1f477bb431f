"""What the board may set, with the values a new program starts from.

Each default names where it comes from; those without a source say so.

>>> DEFAULTS["plan_weeks"]
3
>>> "supplement_percent" in DEFAULTS
True
"""

from __future__ import annotations

DEFAULTS: dict[str, int] = {
    # Weeks a plan looks ahead: long enough for a big job that spans two (common practice).
    "plan_weeks": 3,
    # Kept back for what is found later; one repair in three has a supplement (common practice).
    "supplement_percent": 15,
    # Most that a plan spends on work without which a car could go home (program policy).
    "extras_cents": 100_000,
    # Cents of unrestricted money that a plan may not touch (the board's reserve).
    "reserve_floor_cents": 210_000,
    # Cash cost of one hour of paid labor that a fund is charged; volunteers and salaried staff: 0.
    "labor_cents_per_hour": 0,
    # Minutes one bay is usable on one day (7 hours; common practice).
    "bay_day_minutes": 420,
    # Final inspection with a drive of 5 to 10 miles (common practice).
    "final_inspection_minutes": 45,
    # Days from a pledge or an order until the part is there, when nobody said (common practice).
    "part_arrival_days": 7,
    # Most that one case may cost before it goes to a decision.
    "case_cap_cents": 150_000,
    # Days between two appeals to one sponsor, unless the sponsor says otherwise.
    "appeal_every_days": 28,
    # A part cheaper than this is bought, not begged (common practice).
    "ask_floor_cents": 7_500,
    # Days until the household hears again (common practice).
    "next_word_days": 7,
    # Miles a week above which exposure moves an item up within its tier (program policy).
    "long_commute_miles": 300,
    # What an hour in the shop is worth when checks are weighed against repairs, whoever works it.
    # Value of a volunteer hour, 2024: $34.79 (Independent Sector; from memory), rounded down.
    "shop_hour_cents": 3_400,
    # Cars that the shipped weights of a fault model count as, against the program's own cars whose
    # repair held (program policy); 0: own cars alone as soon as there are any.
    "shipped_worth_cars": 100,
    # Whether the program's own cars move the weights of its fault models at all: 1 yes, 0 no.
    "learn_from_repairs": 1,
    # Days after a repair at which its holding is asked (program policy, common practice).
    "held_after_days": 30,
    # Sales tax on parts in hundredths of a percent; 0 for a program that its state exempts.
    "parts_tax_hundredths": 0,
    # Shop supplies (cleaner, rags, grease) in percent of parts and paid labor, and the most a car.
    "supplies_percent": 0,
    "supplies_most_cents": 2_500,
    # What the program's own estimates are corrected by; 100 leaves them as they are.
    "labor_correction_percent": 100,
    "parts_correction_percent": 100,
    # New consent above what was authorized. Source: Md. Commercial Law 14-1002(b), text seen.
    "stop_over_percent": 10,
    # What moves the cost of all cars of a plan or a year together, as the deviation of the
    # logarithm in percent (0.10 to 0.20 is usual for a program; from memory).
    "shared_risk_percent": 15,
    # Parts that are not to be had at the price expected, and what they cost then (program policy).
    "not_found_percent": 5,
    "not_found_cost_percent": 180,
    # Business days away for one job done elsewhere, when nobody said (common practice: an alignment
    # takes one, a machine shop a week).
    "outside_days": 2,
    # Weight of one day that a car's dated promise is passed, against one move of a booking.
    "late_day_moves": 20,
    # The month in which the fiscal year begins; a charity chooses it with its first Form 990.
    "fiscal_year_month": 1,
    # A spend above this needs two people, whatever its fund (program policy, common practice).
    "two_people_cents": 100_000,
}
