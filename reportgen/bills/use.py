"""A year of use as 8,760 hours: the month's kWh are kept exactly, the hours within it are modelled by a daily shape.

Shapes lie in tables/load_shapes.csv: shares of the day by hour of the household's clock, month and kind of day.
"""

from __future__ import annotations

import csv
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from functools import lru_cache
from importlib import resources
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

import numpy as np

from reportgen.bills.months import MONTH_DAYS, MONTH_OF_DAY, month_sums
from reportgen.climate.typical_year import HOURS, MODEL_YEAR
from reportgen.describe.models import House

DEFAULT_SHAPE = "evening peak"
_WEEKEND = np.array([(date(MODEL_YEAR, 1, 1) + timedelta(days=int(d))).weekday() >= 5 for d in range(365)])


@dataclass(frozen=True, eq=False)
class HourlyUse:
    hours_kwh: np.ndarray      # 8,760, hour k as in TypicalYear (local standard time)
    shape_name: str
    shape_source: str
    notes: tuple[str, ...]     # what was assumed, for the reader


TROPICS_DEG = 23.4   # between the tropics there is no summer or winter to speak of


def use_hours(house: House, utc_offset_h: float) -> HourlyUse:
    """Use in each hour of the year [kWh], in local standard time.

    Each month's sum is the month's kWh to 1e-6. Households live by the clock, so where the clock is put forward in
    summer the shape moves with it. South of the equator the shape's seasons are taken half a year later.
    """
    name = house.use.shape or DEFAULT_SHAPE
    south = house.place.latitude < 0
    shift, clock_note = _clock_shift_h(house.place.time_zone, utc_offset_h)
    raw = _raw_hours(name, south, shift)
    months, month_note = month_use(house)
    hours = raw * np.repeat(months / month_sums(raw), np.array(MONTH_DAYS) * 24)
    hours.setflags(write=False)
    notes = [f"The hours of use are modelled, not measured: each month's kWh are spread by the daily shape “{name}”."]
    if month_note:
        notes.append(month_note)
    if clock_note:
        notes.append(clock_note)
    if house.place.latitude < -TROPICS_DEG:
        notes.append("The shape comes from the northern half of the world; its seasons are taken half a year later here.")
    return HourlyUse(hours, name, _shapes()[name][1], tuple(notes))


def month_use(house: House) -> tuple[np.ndarray, str]:
    """Twelve months of use [kWh], and a sentence where they are assumed from a year's sum."""
    if house.use.monthly_kwh is not None:
        return np.array(house.use.monthly_kwh, dtype=float), ""
    days = np.array(MONTH_DAYS, dtype=float)
    return house.use.annual_kwh * days / days.sum(), (
        f"Only the year's use is known ({house.use.annual_kwh:,.0f} kWh). It is spread evenly over the days of the year, "
        "which is assumed; twelve monthly bills would show the real seasons.")


@lru_cache(maxsize=64)
def _raw_hours(name: str, south: bool, shift: tuple[int, ...]) -> np.ndarray:
    """The shape laid over the model year in standard time; every whole clock day sums to 1."""
    table = _shapes()[name][0]
    clock = (np.arange(HOURS) + np.repeat(np.array(shift), 24)) % HOURS
    day = clock // 24
    month = (MONTH_OF_DAY[day] + (6 if south else 0)) % 12
    return table[month, _WEEKEND[day].astype(int), clock % 24]


@lru_cache(maxsize=256)
def _clock_shift_h(time_zone: str | None, utc_offset_h: float) -> tuple[tuple[int, ...], str]:
    """Hours by which the clock is ahead of standard time on each of 365 days, and a note where that is not known."""
    if time_zone is None:
        return (0,) * 365, ("The place's time zone is not written, so clocks are taken to show standard time all year; "
                            "summer time would move the use by an hour, which changes the share used at once by "
                            "about a point.")
    try:
        zone = ZoneInfo(time_zone)
    except (ZoneInfoNotFoundError, ValueError, OSError):
        raise ValueError(f'place.time_zone is "{time_zone}"; expected an IANA name such as "America/New_York"') from None
    noon = datetime(MODEL_YEAR, 1, 1, 12, tzinfo=zone)
    ahead = [(noon + timedelta(days=d)).utcoffset() / timedelta(hours=1) - utc_offset_h for d in range(365)]
    return tuple(int(np.floor(a + 0.5)) for a in ahead), ""


@lru_cache(maxsize=1)
def _shapes() -> dict[str, tuple[np.ndarray, str]]:
    """Shape name to (12 months × weekday, weekend × 24 hours; source)."""
    shapes: dict[str, tuple[np.ndarray, str]] = {}
    with (resources.files("reportgen") / "tables" / "load_shapes.csv").open(encoding="utf-8") as file:
        for row in csv.DictReader(file):
            table, _ = shapes.setdefault(row["shape"], (np.zeros((12, 2, 24)), row["source"]))
            kind = ("weekday", "weekend").index(row["day_type"])
            table[int(row["month"]) - 1, kind] = [float(row[f"share_{h:02d}"]) for h in range(24)]
    return shapes
