"""The rows of tables/utility_review.csv: how utilities and states sort small arrays for review, as far as a public page said."""

from __future__ import annotations

import csv
from dataclasses import dataclass
from functools import cache
from importlib import resources

NUMBERS = ("size_limit_kw", "cap_percent", "acknowledge_days", "complete_days", "review_days")


@dataclass(frozen=True)
class ReviewRules:
    """One row. Days are business days; a number that the page did not give is None."""

    key: str
    jurisdiction: str
    review_class: str
    limit_is: str                     # "class": above it another class holds; "cap": above it nothing is taken
    size_limit_kw: float | None       # of the inverters, AC
    cap_percent: float | None         # of what `cap_of` names
    cap_of: str
    acknowledge_days: float | None
    complete_days: float | None
    review_days: float | None
    screens: str
    note: str
    as_of: str                        # the year the page speaks of
    source: str
    checked: str
    seen_on: str


@cache
def known_review_rules() -> dict[str, ReviewRules]:
    """All rows by key, in the table's order."""
    lines = (resources.files("reportgen") / "tables" / "utility_review.csv").read_text(encoding="utf-8").splitlines()
    found = {}
    for row in csv.DictReader(lines):
        values = {key: (float(text) if text else None) if key in NUMBERS else text for key, text in row.items()}
        found[row["key"]] = ReviewRules(review_class=values.pop("class"), **values)
    return found
