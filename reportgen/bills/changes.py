"""Coming changes of use as hours, each with the year from which it counts."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

import numpy as np

from reportgen.bills.clock import HouseholdClock
from reportgen.bills.weather_use import heating_weights
from reportgen.describe.bill_periods import day_of_year
from reportgen.describe.fields import MONTHS
from reportgen.describe.tariff_days import hours_of
from reportgen.describe.use import Change

USUAL_HOURS = {"electric car": ("22-6",), "water heater": ("6-9", "17-22")}   # common practice, no source
WITH_THE_HOUSEHOLD = ("another person", "somebody leaves")
LEAST_LEFT = 0.05     # of what is used in those hours: a house with a meter never falls to nothing


@dataclass(frozen=True, eq=False)
class ChangeHours:
    what: str
    begins: date
    first_year: int            # 0 is the year that begins on the day the system is finished, or the report's day
    hours_kwh: np.ndarray      # 8,760, added in that year and every later one; read-only


def change_hours(changes: list[Change], start: date, use_kwh: np.ndarray, air_c: np.ndarray,
                 clock: HouseholdClock) -> tuple[tuple[ChangeHours, ...], tuple[str, ...]]:
    """What each change adds, and a sentence on each.

    start: first day of year 0. A change that begins within a year counts in that year from its day on, so it comes as two
    entries: the days from then to the year's end, and a year later the days before. use_kwh: 8,760, today's.
    """
    found, notes, left = [], [], np.array(use_kwh, dtype=float)
    for change in changes:
        extra, note = _full_year(change, left, air_c, clock)
        left = left + np.minimum(extra, 0.0)
        notes.append(note)
        found += _from_its_day(change, start, extra)
    return tuple(found), tuple(notes)


def _full_year(change: Change, use_kwh: np.ndarray, air_c: np.ndarray, clock: HouseholdClock) -> tuple[np.ndarray, str]:
    running, said = _running(change, clock)
    heat = change.what == "heat pump" and change.hours is None
    weights = np.where(running, use_kwh if change.kwh_per_year < 0 or change.what in WITH_THE_HOUSEHOLD else 1.0, 0.0)
    if heat:
        cold = np.where(running, heating_weights(air_c, "heat pump"), 0.0)
        weights = cold if cold.sum() > 0 else weights
        said = "it follows the cold of the place" if cold.sum() > 0 else "spread evenly, since this place knows no cold"
    elif change.what in WITH_THE_HOUSEHOLD and change.hours is None:
        said = "spread as the household's own use is"
    kwh, cut = change.kwh_per_year, ""
    if weights.sum() <= 0:
        return np.zeros_like(use_kwh), f"{_named(change)}: nothing is used in those hours, so nothing can go."
    if kwh < 0 and -kwh > (most := (1 - LEAST_LEFT) * float(weights.sum())):
        kwh, cut = -most, f" Only {most:,.0f} kWh are used in those hours and can go."
    return kwh * weights / weights.sum(), f"{_named(change)}: {change.kwh_per_year:+,.0f} kWh a year, {said}.{cut}"


def _running(change: Change, clock: HouseholdClock) -> tuple[np.ndarray, str]:
    texts = change.hours or USUAL_HOURS.get(change.what, ("0-24",))
    said = "spread evenly over the day" if texts == ("0-24",) else f"from {' and '.join(t.replace('-', ' to ') for t in texts)} o'clock"
    said += "" if change.hours or change.what not in USUAL_HOURS else ", its usual hours (common practice, no source)"
    hours = frozenset().union(*map(hours_of, texts))
    running = np.isin(clock.hour, list(hours))
    if change.months:
        running &= np.isin(clock.month, [MONTHS.index(month) for month in change.months])
        said += f", in {', '.join(change.months)}"
    return running, said


def _named(change: Change) -> str:
    return f"From {change.begins}, {change.what}"


def _from_its_day(change: Change, start: date, extra: np.ndarray) -> list[ChangeHours]:
    first_year, days_in = 0, 0
    if change.begins > start:
        first_day = day_of_year(start)
        days_in = (day_of_year(change.begins) - first_day) % 365
        first_year = change.begins.year - start.year - (day_of_year(change.begins) < first_day)
    if days_in == 0:
        return [_entry(change, first_year, extra)]
    day_of_this_year = np.repeat((np.arange(365) - day_of_year(start)) % 365, 24)
    return [_entry(change, first_year, np.where(day_of_this_year >= days_in, extra, 0.0)),
            _entry(change, first_year + 1, np.where(day_of_this_year < days_in, extra, 0.0))]


def _entry(change: Change, first_year: int, hours: np.ndarray) -> ChangeHours:
    hours.setflags(write=False)
    return ChangeHours(change.what, change.begins, first_year, hours)
