"""Where the sun stands: at given moments, over the model year, and when it rises and sets.

Positions by the Solar Position Algorithm (NREL/TP-560-34302), as pvlib computes it.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime, timedelta, timezone
from functools import lru_cache

import numpy as np
import pandas as pd
from pvlib import atmosphere, irradiance, solarposition

from reportgen.climate.typical_year import HOURS, MODEL_YEAR

AIR_C = 12.0  # air for the bending of light near the horizon; 10 K more or less moves the setting sun by 0.02°


@dataclass(frozen=True, eq=False)
class SunPath:
    """The sun at the middle of each of the 8,760 hours of `TypicalYear`. Arrays are read-only."""

    apparent_zenith_deg: np.ndarray       # from straight up, as seen through the air
    zenith_deg: np.ndarray                # from straight up, geometric
    azimuth_deg: np.ndarray               # clockwise from true north
    extraterrestrial_w_m2: np.ndarray     # normal to the ray, outside the air


def sun_at(times_utc, latitude: float, longitude: float, elevation_m: float,
           pressure_pa: float | None = None, air_c: float = AIR_C) -> SunPath:
    """The sun at any moments, as a SunPath of the same length.

    times_utc: DatetimeIndex with a time zone, or anything pandas turns into one; without a zone it is taken as UTC.
    pressure_pa: of the air at the place [Pa]; follows from the elevation where missing.
    """
    times = pd.DatetimeIndex(times_utc)
    times = times.tz_localize("UTC") if times.tz is None else times.tz_convert("UTC")
    pressure = atmosphere.alt2pres(elevation_m) if pressure_pa is None else pressure_pa
    seen = solarposition.spa_python(times, latitude, longitude, altitude=elevation_m, pressure=pressure,
                                    temperature=air_c)
    arrays = (seen["apparent_zenith"], seen["zenith"], seen["azimuth"],
              irradiance.get_extra_radiation(times.day_of_year.to_numpy(), method="spencer"))
    return SunPath(*(_read_only(a) for a in arrays))


def sun_path(latitude: float, longitude: float, utc_offset_h: float, elevation_m: float) -> SunPath:
    """The sun over the model year at mid-hour. Kept for the next house at the same place.

    The height only bends the light near the horizon, so it is taken to the nearest 100 m.
    """
    return _sun_path(float(latitude), float(longitude), float(utc_offset_h), round(elevation_m / 100.0) * 100.0)


@lru_cache(maxsize=64)
def _sun_path(latitude: float, longitude: float, utc_offset_h: float, elevation_m: float) -> SunPath:
    return sun_at(mid_hours_utc(utc_offset_h), latitude, longitude, elevation_m)


def mid_hours_utc(utc_offset_h: float, year: int = MODEL_YEAR) -> pd.DatetimeIndex:
    """The middle of each hour of a year of 365 days in local standard time, as UTC."""
    first = pd.Timestamp(year=year, month=1, day=1, tz="UTC") + pd.Timedelta(minutes=30 - round(utc_offset_h * 60))
    return pd.date_range(first, periods=HOURS, freq="h")


def sunrise_sunset(day: date, latitude: float, longitude: float,
                   utc_offset_h: float) -> tuple[datetime | None, datetime | None]:
    """Sunrise and sunset of one day in local standard time (no summer time), to the second; None where there is none."""
    zone = timezone(timedelta(hours=utc_offset_h))
    # The library finds the events of a day in UTC; far from Greenwich those can lie on the day before or after here.
    days = pd.DatetimeIndex([day + timedelta(days=k) for k in (-1, 0, 1)]).tz_localize(zone)
    events = solarposition.sun_rise_set_transit_spa(days, latitude, longitude)
    return _on_day(events["sunrise"], day), _on_day(events["sunset"], day)


def _on_day(moments: pd.Series, day: date) -> datetime | None:
    for moment in moments:
        if not pd.isna(moment) and moment.date() == day:
            return moment.tz_localize(None).round("s").to_pydatetime()
    return None


def _read_only(values) -> np.ndarray:
    array = np.array(values, dtype=float)
    array.setflags(write=False)
    return array
