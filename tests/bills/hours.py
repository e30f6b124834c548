"""Hours for tests of bills: twelve monthly sums laid over the hours of the model year."""

from __future__ import annotations

import numpy as np

from reportgen.bills.months import MONTH_DAYS

# One house for all export rules, as in the families of rules compared in the published tests: 9,100 and 8,600 kWh a year.
LOAD_KWH = [900, 800, 750, 650, 600, 700, 850, 850, 700, 650, 750, 900]
SUN_KWH = [350, 450, 700, 850, 1000, 1050, 1100, 1000, 800, 600, 400, 300]


def in_hours(month_kwh, first: int, last: int) -> np.ndarray:
    """8,760 hours: each month's kWh spread evenly over the hours of the day from `first` up to, not with, `last`."""
    day = np.zeros(24)
    day[first:last] = 1.0 / (last - first)
    days = np.array(MONTH_DAYS)
    return np.repeat(np.array(month_kwh, dtype=float) / days, days * 24) * np.tile(day, 365)


def sun_hours(month_kwh) -> np.ndarray:
    return in_hours(month_kwh, 8, 16)
