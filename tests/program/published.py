"""The published accounting and poverty cases, each with its source and how far it was verified."""

from __future__ import annotations

import csv
import json
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any

CASES_FILE = Path(__file__).resolve().parents[1] / "data" / "accounting_cases.csv"


@dataclass(frozen=True, kw_only=True)
class Case:
    case_id: str
    category: str
    inputs: dict[str, Any]
    expected: dict[str, Any]
    source: str
    verified: str


@cache
def published() -> dict[str, Case]:
    with CASES_FILE.open(encoding="utf-8", newline="") as file:
        return {
            row["case_id"]: Case(
                case_id=row["case_id"],
                category=row["category"],
                inputs=json.loads(row["inputs"]),
                expected=json.loads(row["expected_output"]),
                source=row["source"],
                verified=row["verified"],
            )
            for row in csv.DictReader(file)
        }
