"""Air temperature: monthly means anywhere from normals of 270 cities, and hours from the day's sunlight.

Between cities: universal kriging, trend in the sine of latitude (to the fourth power) and in height, fitted month by
month. Error measured by leaving each city out (`python -m reportgen.climate.build_atlas` prints it).
"""

from __future__ import annotations

from functools import cache

import numpy as np

from reportgen.climate.daylight import MONTH_OF_DAY, between_months
from reportgen.climate.kriging import Field
from reportgen.climate.table import table

RANGE_KM, NOISE = 1500.0, 0.2     # chosen by leaving cities out; 800 to 3,000 km and 0.1 to 0.4 do as well
FIELD_SIGMA_K = 2.0               # set so that the errors of the left-out cities have the spread that the field states
SWING_K_RS = 0.17                 # FAO-56 eq. 50: 0.16 inland, 0.19 at coasts; between the two
SWING_MIN_K, SWING_MAX_K = 2.0, 20.0


def trend(latitude, elevation_m) -> np.ndarray:
    """Terms of the trend, shape (places, 6)."""
    s = np.sin(np.radians(np.atleast_1d(latitude).astype(float)))
    return np.stack([np.ones_like(s), s, s**2, s**3, s**4, np.atleast_1d(elevation_m) / 1000.0], axis=1)


def covariance(apart_km) -> np.ndarray:
    return np.exp(-apart_km / RANGE_KM)


@cache
def _field() -> Field:
    t = table()
    return Field(t.city_latitude, t.city_longitude, t.city_air_c, trend(t.city_latitude, t.city_elevation_m),
                 covariance, NOISE)


def monthly_air_c(latitude: float, longitude: float, elevation_m: float) -> tuple[np.ndarray, float]:
    """Twelve monthly means [°C] at a place, and one standard deviation of the year's mean [K]."""
    values, sigma = _field().at([latitude], [longitude], trend(latitude, elevation_m))
    return values[0], float(sigma[0]) * FIELD_SIGMA_K


def daily_means(monthly_c) -> np.ndarray:
    """365 means [°C] that run in straight lines between mid-months and keep each month's mean exactly."""
    weights = between_months()
    to_months = np.stack([weights[m == MONTH_OF_DAY].mean(axis=0) for m in range(12)])
    return weights @ np.linalg.solve(to_months, np.asarray(monthly_c, dtype=float))


def hourly_air_c(monthly_c, day_clearness, solar_hour) -> np.ndarray:
    """8,760 hours [°C] whose monthly means are `monthly_c` (12).

    day_clearness: (365,) sunlight / extraterrestrial; sets the day's swing by FAO-56 eq. 50 turned round.
    solar_hour: hour of true solar time at the middle of the first hour of the day (0.5 where clock and sun agree).
    """
    swing = np.clip((np.asarray(day_clearness) / SWING_K_RS) ** 2, SWING_MIN_K, SWING_MAX_K)
    return (daily_means(monthly_c)[:, None] + swing[:, None] * _day_shape(solar_hour)[None, :]).reshape(-1)


def _day_shape(solar_hour: float) -> np.ndarray:
    """24 values with mean 0 and a range of 1: "An Introduction to Environmental Biophysics" (1998), equation 2.2."""
    t = (solar_hour + np.arange(24)) * np.pi / 12.0
    return -0.46 * np.sin(t + 0.9) + 0.11 * np.sin(2 * t + 0.9)
