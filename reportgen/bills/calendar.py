"""The hours of a year as a tariff sorts them: billing period, season, window, and the hours in which demand counts.

Everything goes by the household's clock, summer time and all: a bill, a season and a day of a week begin at its midnight.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta

import numpy as np

from reportgen.bills.clock import HouseholdClock, household_clock
from reportgen.bills.months import MONTH_DAYS, MONTH_OF_DAY
from reportgen.climate.typical_year import HOURS, MODEL_YEAR
from reportgen.describe import tariff_days as days
from reportgen.describe.tariff import DemandCharge, Holidays, Tariff
from reportgen.describe.tariff_holidays import holiday_dates
from reportgen.describe.tariff_rules import in_full


@dataclass(frozen=True, eq=False)
class BillCalendar:
    """One model year of 8,760 hours of local standard time, hour k as in TypicalYear. Arrays are read-only."""

    year: int                       # the calendar year that gives weekdays and holidays; 29 February is left out
    period: np.ndarray              # 8,760 int, 0 to 11: billing period, named by the month in which it ends
    period_days: np.ndarray         # 12 int: days in each period
    season: np.ndarray              # 8,760 int into tariff_days.season_names(tariff)
    window: np.ndarray              # 8,760 int into tariff_days.window_names(tariff)
    month: np.ndarray               # 8,760 int, 0 to 11, by the household's clock
    clock_hour: np.ndarray          # 8,760 int, 0 to 23, by the household's clock
    demand: tuple[np.ndarray, ...]  # for each demand charge 8,760 bool: its hours


def bill_calendar(tariff: Tariff, time_zone: str | None, utc_offset_h: float, year: int = MODEL_YEAR) -> BillCalendar:
    """The calendar of a tariff, in either form, at a place.

    time_zone: IANA name; None: the clock shows standard time all year. utc_offset_h: as in TypicalYear.
    With read_day the year is a ring: the days before the first reading and the last days of December are one period.
    """
    tariff = in_full(tariff)
    clock = household_clock(time_zone, utc_offset_h, year)
    kind = day_kinds(tariff.holidays, year)
    seasons = days.season_names(tariff)
    season_of_day = np.array([seasons.index(tariff.seasons[entries[0]].name) for entries in days.season_of_days(tariff)])
    period_of_day = _periods(tariff.read_day)
    made = {
        "period": period_of_day[clock.day], "period_days": np.bincount(period_of_day, minlength=12),
        "season": season_of_day[clock.day],
        "window": _windows(tariff)[season_of_day[clock.day], kind[clock.day], clock.hour],
        "month": clock.month, "clock_hour": clock.hour,
    }
    demand = tuple(_demand_hours(tariff, charge, seasons, season_of_day, kind, clock) for charge in tariff.demand)
    for array in (*made.values(), *demand):
        array.setflags(write=False)
    return BillCalendar(year, **made, demand=demand)


def day_kinds(holidays: Holidays | None, year: int) -> np.ndarray:
    """365 int: weekday, weekend or holiday as in `tariff_days`; a holiday on a Saturday or Sunday is a weekend day."""
    all_days = [date(year, 1, 1) + timedelta(days=d) for d in range(366)]
    all_days = [day for day in all_days if day.year == year and (day.month, day.day) != (2, 29)]
    named = frozenset() if holidays is None else holiday_dates(holidays.country, holidays.state, tuple(holidays.names),
                                                               holidays.celebrated, year)
    return np.array([days.WEEKEND if day.weekday() >= 5 else days.HOLIDAY if day in named else days.WEEKDAY for day in all_days])


def _periods(read_day: int | None) -> np.ndarray:
    """365 int: the month in which the bill ends that this day belongs to."""
    if read_day in (None, 1):
        return MONTH_OF_DAY.copy()
    day_of_month = np.concatenate([np.arange(1, length + 1) for length in MONTH_DAYS])
    return (MONTH_OF_DAY + (day_of_month >= read_day)) % 12


def _windows(tariff: Tariff) -> np.ndarray:
    """Seasons × kinds of day × 24: the window, by its place among the names."""
    names = days.window_names(tariff)
    found = np.zeros((len(days.season_names(tariff)), len(days.KINDS), 24), dtype=int)
    for s, season in enumerate(days.season_names(tariff)):
        for kind in range(len(days.KINDS)):
            if kind == days.HOLIDAY and tariff.holidays is None:
                continue     # there is no such day
            held = days.windows_of_hours(tariff, season, kind)
            found[s, kind] = [names.index(tariff.windows[entries[0]].name) for entries in held]
    return found


def _demand_hours(tariff: Tariff, charge: DemandCharge, seasons: tuple[str, ...], season_of_day: np.ndarray, kind: np.ndarray,
                  clock: HouseholdClock) -> np.ndarray:
    if charge.windows is None:
        return np.ones(HOURS, dtype=bool)
    counts = np.zeros(HOURS, dtype=bool)
    for window in charge.windows:
        held = [seasons.index(name) for name in window.seasons or seasons]
        on_day = np.isin(season_of_day, held) & np.isin(kind, days.KINDS_OF[window.days])
        counts |= on_day[clock.day] & np.isin(clock.hour, sorted(frozenset().union(*map(days.hours_of, window.hours))))
    return counts
