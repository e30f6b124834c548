"""The household's clock over a year of 8,760 hours of local standard time: month, day of the week, hour, with summer time."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta
from functools import lru_cache
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

import numpy as np

from reportgen.climate.typical_year import HOURS


@dataclass(frozen=True, eq=False)
class HouseholdClock:
    month: np.ndarray      # 8,760 int, 0 to 11
    weekday: np.ndarray    # 8,760 int, 0 Monday to 6 Sunday
    hour: np.ndarray       # 8,760 int, 0 to 23
    day: np.ndarray        # 8,760 int, 0 to 364, the day of a year of 365 days
    note: str              # what is not known of it


@lru_cache(maxsize=64)
def household_clock(time_zone: str | None, utc_offset_h: float, year: int) -> HouseholdClock:
    """What the clock on the wall shows as each hour begins. Raises ValueError for a zone nobody knows.

    29 February is left out. Days of 23 and 25 hours need no care: each hour of standard time is there once.
    """
    zone, note = None, ""
    if time_zone is None:
        note = ("The place's time zone is not written, so clocks are taken to show standard time all year; summer time would "
                "move the use by an hour, which changes the share used at once by about a point.")
    else:
        try:
            zone = ZoneInfo(time_zone)
        except (ZoneInfoNotFoundError, ValueError, OSError):
            raise ValueError(f'place.time_zone is "{time_zone}"; expected an IANA name such as "America/New_York"') from None
    days = [date(year, 1, 1) + timedelta(days=d) for d in range(366)]
    days = [day for day in days if day.year == year and (day.month, day.day) != (2, 29)]
    number = {(day.month, day.day): i for i, day in enumerate(days)}
    offset = timedelta(hours=utc_offset_h)
    standard = [datetime(d.year, d.month, d.day) + timedelta(hours=h) for d in days for h in range(24)]
    shown = standard if zone is None else [
        (moment - offset).replace(tzinfo=UTC).astimezone(zone).replace(tzinfo=None) for moment in standard]
    shown = [m + timedelta(days=1) if (m.month, m.day) == (2, 29) else m for m in shown]   # a clock ahead may show that day
    assert len(shown) == HOURS
    # The year is a ring: an hour that the clock puts into the next year or the last one belongs to this year's other end.
    arrays = [np.array(values) for values in zip(*((m.month - 1, m.weekday(), m.hour, number[m.month, m.day]) for m in shown), strict=True)]
    for array in arrays:
        array.setflags(write=False)
    return HouseholdClock(*arrays, note)
