"""Day length and sunlight outside the air for each day of the year, by the closed formulas of FAO-56.

FAO Irrigation and Drainage Paper 56 (1998): equations 21 to 25 (extraterrestrial radiation), 34 (daylight hours)
and 35 (sunlight on the ground from hours of sunshine).
"""

from __future__ import annotations

import numpy as np

MONTH_DAYS = np.array([31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31])
DAYS = 365
MONTH_OF_DAY = np.repeat(np.arange(12), MONTH_DAYS)   # 0 = January, for each of 365 days
SOLAR_CONSTANT_W_M2 = 0.0820e6 / 60.0                 # FAO-56: 0.0820 MJ/m² in a minute
FAO_A, FAO_B = 0.25, 0.50                             # eq. 35, where nothing was measured at the place


def sunset_angle(latitude) -> np.ndarray:
    """Hour angle of sunset [rad], shape (places, 365): 0 in polar night, pi in midnight sun. latitude: [°], (places,)."""
    latitude = np.radians(np.atleast_1d(np.asarray(latitude, dtype=float)))[:, None]
    return np.arccos(np.clip(-np.tan(latitude) * np.tan(_declination()), -1.0, 1.0))


def extraterrestrial_days(latitude) -> np.ndarray:
    """Sunlight on level ground outside the air, mean over each day [W/m²], shape (places, 365)."""
    angle = sunset_angle(latitude)
    phi = np.radians(np.atleast_1d(np.asarray(latitude, dtype=float)))[:, None]
    day = np.arange(1, DAYS + 1)
    distance = 1.0 + 0.033 * np.cos(2 * np.pi * day / DAYS)
    height = angle * np.sin(phi) * np.sin(_declination()) + np.cos(phi) * np.cos(_declination()) * np.sin(angle)
    return SOLAR_CONSTANT_W_M2 / np.pi * distance * np.maximum(height, 0.0)


def extraterrestrial_months(latitude) -> np.ndarray:
    """The same as means of the twelve months [W/m²], shape (places, 12)."""
    days = extraterrestrial_days(latitude)
    return np.stack([days[:, MONTH_OF_DAY == m].mean(axis=1) for m in range(12)], axis=1)


def sunshine_clearness(latitude, sunshine_h_year) -> np.ndarray:
    """Share of the extraterrestrial sunlight of a year that reaches the ground, from hours of sunshine; (places,)."""
    daylight_h = (24.0 / np.pi * sunset_angle(latitude)).sum(axis=1)
    return FAO_A + FAO_B * np.asarray(sunshine_h_year, dtype=float) / daylight_h


def between_months() -> np.ndarray:
    """Weights (365, 12) that carry twelve mid-month values to days in straight lines, December joined to January."""
    middles = np.cumsum(MONTH_DAYS) - MONTH_DAYS / 2.0
    knots = np.concatenate([[middles[-1] - DAYS], middles, [middles[0] + DAYS]])
    eye = np.eye(12)
    around = np.vstack([eye[-1:], eye, eye[:1]])
    return np.stack([np.interp(np.arange(DAYS) + 0.5, knots, around[:, m]) for m in range(12)], axis=1)


def _declination() -> np.ndarray:
    return 0.409 * np.sin(2 * np.pi * np.arange(1, DAYS + 1) / DAYS - 1.39)
