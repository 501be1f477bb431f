"""What the database itself does after each transfer, so that kept balances equal the sum.

A transfer is never changed or deleted: what follows an insert is all there is to keep. Its entry
is written before it, since without the entry's day there is no month and the insert fails.

Three tables are kept: what is held now, what is held at the end of each day on which it moved (a
transfer of an earlier day changes every later one of its cell), and what moved in each month.

>>> sorted(AFTER_TRANSFER)
['postgresql', 'sqlite']
>>> [AFTER_TRANSFER[vendor].count("ON CONFLICT") for vendor in sorted(AFTER_TRANSFER)]
[3, 6]
"""

from __future__ import annotations

from types import MappingProxyType
from typing import Final

_BALANCE_OF_A_SIDE = """
INSERT INTO program_balance (program_id, fund_id, account, cents)
VALUES (NEW.program_id, NEW.fund_id, NEW.{side}, {sign} NEW.cents)
ON CONFLICT (program_id, fund_id, account) DO UPDATE SET cents = cents + excluded.cents;
"""

_DAYS_OF_A_SIDE = """
INSERT INTO program_daybalance (program_id, fund_id, account, "on", cents)
SELECT NEW.program_id, NEW.fund_id, NEW.{side}, "on", COALESCE((
    SELECT cents FROM program_daybalance AS earlier
    WHERE program_id = NEW.program_id AND fund_id = NEW.fund_id AND account = NEW.{side}
        AND earlier."on" < program_entry."on"
    ORDER BY earlier."on" DESC LIMIT 1
), 0)
FROM program_entry WHERE id = NEW.entry_id
ON CONFLICT (program_id, fund_id, account, "on") DO NOTHING;

UPDATE program_daybalance SET cents = cents {sign} NEW.cents
WHERE program_id = NEW.program_id AND fund_id = NEW.fund_id AND account = NEW.{side}
    AND "on" >= (SELECT "on" FROM program_entry WHERE id = NEW.entry_id);
"""

_TURNOVER_OF_A_SIDE = """
INSERT INTO program_turnover
    (program_id, month, fund_id, account, function, debits, credits, count)
VALUES (
    NEW.program_id,
    (SELECT date("on", 'start of month') FROM program_entry WHERE id = NEW.entry_id),
    NEW.fund_id, NEW.{side}, NEW.function, {debits}, {credits}, 1
)
ON CONFLICT (program_id, month, fund_id, account, function) DO UPDATE
SET debits = debits + excluded.debits, credits = credits + excluded.credits, count = count + 1;
"""

_SQLITE = (
    _BALANCE_OF_A_SIDE.format(side="debit", sign="+")
    + _BALANCE_OF_A_SIDE.format(side="credit", sign="-")
    + _DAYS_OF_A_SIDE.format(side="debit", sign="+")
    + _DAYS_OF_A_SIDE.format(side="credit", sign="-")
    + _TURNOVER_OF_A_SIDE.format(side="debit", debits="NEW.cents", credits="0")
    + _TURNOVER_OF_A_SIDE.format(side="credit", debits="0", credits="NEW.cents")
)

# One program's writers follow each other from here on, whatever order they write their funds in:
# a lock for each balance would let two of them wait for each other.
_BALANCES_ADDED = """
PERFORM 1 FROM shared_program WHERE id IN (SELECT program_id FROM added)
ORDER BY id FOR NO KEY UPDATE;

INSERT INTO program_balance AS kept (program_id, fund_id, account, cents)
SELECT program_id, fund_id, account, sum(cents)
FROM (
    SELECT program_id, fund_id, debit AS account, cents FROM added
    UNION ALL SELECT program_id, fund_id, credit, -cents FROM added
) AS sides
GROUP BY program_id, fund_id, account
ON CONFLICT (program_id, fund_id, account) DO UPDATE SET cents = kept.cents + excluded.cents;
"""

# From the last day back: what a day begins with is then still without what is added, and each row
# is written once. A loop keeps to the index, where a join of all days may read the table for each.
_DAY_BALANCES_ADDED = """
DECLARE day record;
BEGIN
    FOR day IN
        SELECT program_id, fund_id, account, "on", sum(cents) OVER cell AS cents,
            lead("on", 1, 'infinity') OVER cell AS until
        FROM (
            SELECT sides.program_id, fund_id, account, program_entry."on", sum(cents) AS cents
            FROM (
                SELECT program_id, entry_id, fund_id, debit AS account, cents FROM added
                UNION ALL SELECT program_id, entry_id, fund_id, credit, -cents FROM added
            ) AS sides
            JOIN program_entry ON program_entry.id = sides.entry_id
            GROUP BY 1, 2, 3, 4
        ) AS days
        WINDOW cell AS (PARTITION BY program_id, fund_id, account ORDER BY "on")
        ORDER BY "on" DESC
    LOOP
        INSERT INTO program_daybalance (program_id, fund_id, account, "on", cents)
        VALUES (day.program_id, day.fund_id, day.account, day."on", COALESCE((
            SELECT cents FROM program_daybalance AS earlier
            WHERE program_id = day.program_id AND fund_id = day.fund_id
                AND account = day.account AND earlier."on" < day."on"
            ORDER BY earlier."on" DESC LIMIT 1
        ), 0))
        ON CONFLICT (program_id, fund_id, account, "on") DO NOTHING;

        UPDATE program_daybalance SET cents = cents + day.cents
        WHERE program_id = day.program_id AND fund_id = day.fund_id AND account = day.account
            AND "on" >= day."on" AND "on" < day.until;
    END LOOP;
END;
"""

_TURNOVERS_ADDED = """
INSERT INTO program_turnover AS kept
    (program_id, month, fund_id, account, function, debits, credits, count)
SELECT sides.program_id, date_trunc('month', program_entry."on")::date, fund_id, account,
    function, sum(debits), sum(credits), count(*)
FROM (
    SELECT program_id, entry_id, fund_id, function, debit AS account, cents AS debits, 0 AS credits
    FROM added
    UNION ALL SELECT program_id, entry_id, fund_id, function, credit, 0, cents FROM added
) AS sides
LEFT JOIN program_entry ON program_entry.id = sides.entry_id
GROUP BY 1, 2, 3, 4, 5
ON CONFLICT (program_id, month, fund_id, account, function) DO UPDATE
SET debits = kept.debits + excluded.debits, credits = kept.credits + excluded.credits,
    count = kept.count + excluded.count;
"""

_POSTGRESQL = _BALANCES_ADDED + _DAY_BALANCES_ADDED + _TURNOVERS_ADDED

AFTER_TRANSFER: Final = MappingProxyType({"sqlite": _SQLITE, "postgresql": _POSTGRESQL})
