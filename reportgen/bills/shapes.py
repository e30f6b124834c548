"""Daily shapes of use: shares of the day by hour of the household's clock, by month and kind of day, laid over a year.

They lie in tables/load_shapes.csv. day_weight says how much such a day uses against the mean day of the year; 1 throughout
where only the shares of a day are known.
"""

from __future__ import annotations

import csv
from functools import lru_cache
from importlib import resources

import numpy as np

from reportgen.bills.clock import HouseholdClock

KINDS_OF_DAY = {"weekday": (0,), "saturday": (1,), "sunday": (2,), "weekend": (1, 2)}
HALF_A_YEAR = 6


@lru_cache(maxsize=1)
def shapes() -> dict[str, tuple[np.ndarray, str]]:
    """Shape name to (12 months × weekday, Saturday, Sunday × 24 hours, each share times its day's weight; source)."""
    found: dict[str, tuple[np.ndarray, str]] = {}
    with (resources.files("reportgen") / "tables" / "load_shapes.csv").open(encoding="utf-8") as file:
        for row in csv.DictReader(file):
            table, _ = found.setdefault(row["shape"], (np.zeros((12, 3, 24)), row["source"]))
            shares = float(row["day_weight"]) * np.array([float(row[f"share_{h:02d}"]) for h in range(24)])
            for kind in KINDS_OF_DAY[row["day_type"]]:
                table[int(row["month"]) - 1, kind] = shares
    return found


@lru_cache(maxsize=64)
def laid_out(name: str, south: bool, clock: HouseholdClock) -> np.ndarray:
    """8,760 weights in local standard time, read-only. south: the shape's seasons come half a year later."""
    table = shapes()[name][0]
    month = (clock.month + (HALF_A_YEAR if south else 0)) % 12
    weights = table[month, np.maximum(clock.weekday - 4, 0), clock.hour]
    weights.setflags(write=False)
    return weights
