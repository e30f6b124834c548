"""What a house uses where an array was there already: use = kWh taken + (kWh made − kWh sent out)."""

from __future__ import annotations

import numpy as np

from reportgen.bills.errors import UseError
from reportgen.bills.months import MONTH_DAYS, MONTH_OF_DAY, month_sums
from reportgen.describe.fields import MONTHS
from reportgen.describe.use import ExistingSolar

MONTH_OF_HOUR = np.repeat(MONTH_OF_DAY, 24)
SAME_KWH = 1e-6


def used_at_once_hours(solar: ExistingSolar, sun_w_m2: np.ndarray, month_exported_kwh: np.ndarray | None = None) -> np.ndarray:
    """8,760 hours of what is to be added to the kWh counted, spread by the sun of the place; with it the notes' numbers.

    Each month's (or the year's) kWh made less kWh sent out are kept exactly. With counts: net it is all that was made, for
    what was sent out is taken off the counted kWh already. month_exported_kwh: twelve sums from a meter file.
    Raises UseError where more was sent out than made.
    """
    made = _hours(solar.generated_kwh, solar.generated_monthly_kwh, sun_w_m2)
    if solar.counts == "net":
        return made
    if month_exported_kwh is None:
        sent = month_sums(_hours(solar.exported_kwh, solar.exported_monthly_kwh, sun_w_m2))
    else:
        sent = np.asarray(month_exported_kwh, dtype=float)
    if solar.generated_monthly_kwh is None:      # the months are modelled: only the year's sums can contradict each other
        if sent.sum() > made.sum() + SAME_KWH:
            raise UseError(f"the existing array made {made.sum():,.0f} kWh, but {sent.sum():,.0f} kWh were sent out; read both again, "
                           "for the same twelve months.")
        return made * (1.0 - sent.sum() / made.sum()) if made.sum() > 0 else made
    made_by_month = month_sums(made)
    for month in np.flatnonzero(sent > made_by_month + SAME_KWH):
        raise UseError(f"in {MONTHS[month]} the existing array made {made_by_month[month]:,.0f} kWh, but {sent[month]:,.0f} kWh were sent "
                       "out; read both again, for the same twelve months.")
    kept = np.divide(made_by_month - sent, made_by_month, out=np.zeros(12), where=made_by_month > 0)
    return made * kept[MONTH_OF_HOUR]


def _hours(year_kwh: float | None, month_kwh: list[float] | None, sun_w_m2: np.ndarray) -> np.ndarray:
    sun = np.maximum(np.asarray(sun_w_m2, dtype=float), 0.0)
    if month_kwh is None:
        return year_kwh * sun / sun.sum()
    sums = month_sums(sun)
    months = np.array(month_kwh, dtype=float)
    # A polar month without sun: what an array is said to have made then lies evenly on its hours.
    by_sun = np.divide(months, sums, out=np.zeros(12), where=sums > 0)[MONTH_OF_HOUR] * sun
    evenly = np.where(sums > 0, 0.0, months / (24.0 * np.array(MONTH_DAYS)))[MONTH_OF_HOUR]
    return by_sun + evenly
