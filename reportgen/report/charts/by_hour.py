"""Sun and use of an average hour of each month, by the household's clock where the bill's calendar knows it."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from reportgen.assessment import Assessment
from reportgen.bills.months import MONTH_OF_DAY

STANDARD, HOUSEHOLD = "local standard time (no summer time)", "the household's clock"


@dataclass(frozen=True, eq=False)
class HourlySums:
    """12 × 24: sums over the year [kWh] and how many hours they hold."""

    sun: np.ndarray
    use: np.ndarray
    at_once: np.ndarray        # sun used in the hour in which it is made
    count: np.ndarray
    clock: str                 # which clock the hours go by, in words

    def mean(self, series: np.ndarray, months: tuple[int, ...]) -> np.ndarray:
        """24 means over the days of these months (1 to 12) [kWh in the hour]."""
        rows = [month - 1 for month in months]
        return series[rows].sum(axis=0) / self.count[rows].sum(axis=0)


def hourly_sums(assessment: Assessment) -> HourlySums:
    sun, use = assessment.production.hours_kwh, assessment.bills.use_hours_kwh
    counted = assessment.bills.counted
    if counted is None:
        place, clock = np.repeat(24 * MONTH_OF_DAY, 24) + np.tile(np.arange(24), 365), STANDARD
    else:
        calendar = counted.chosen.plan.calendar
        place, clock = 24 * calendar.month + calendar.clock_hour, HOUSEHOLD
    sums = [np.bincount(place, series, 288).reshape(12, 24) for series in (sun, use, np.minimum(sun, use), np.ones_like(sun))]
    return HourlySums(*sums, clock)
