"""The published case of a bank reconciliation."""

from __future__ import annotations

import csv
import json
from pathlib import Path
from typing import Any

CASES = Path(__file__).resolve().parents[2] / "data" / "bank_cases.csv"


def bank_case() -> tuple[dict[str, Any], dict[str, Any]]:
    """Return what case TB-13 gives and what has to come out, in cents of its own currency.

    Source: OpenStax Principles of Accounting Vol. 1 sec. 8.6 (text-seen).
    """
    with CASES.open(encoding="utf-8", newline="") as file:
        row = next(row for row in csv.DictReader(file) if row["case_id"] == "TB-13")
    texts = [json.loads(cell) for cell in row.values() if cell.startswith("{")]
    return texts[0], texts[1]
