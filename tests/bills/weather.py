"""A year of weather for tests of use: a seasonal, daily air temperature and a sun that shines from 6 to 18 o'clock."""

from __future__ import annotations

import numpy as np

from reportgen.climate.typical_year import HOURS, TypicalYear


def plain_year(utc_offset_h: float = -5, mean_c: float = 13.0, swing_c: float = 13.0) -> TypicalYear:
    hour = np.arange(HOURS)
    season = -np.cos(2 * np.pi * (hour / 24 - 15) / 365)      # coldest in the middle of January
    air = mean_c + swing_c * season - 5 * np.cos(2 * np.pi * (hour % 24 - 3) / 24)
    sun = np.maximum(0.0, np.sin(np.pi * (hour % 24 + 0.5 - 6) / 12)) * (600 + 250 * season)
    flat = np.zeros(HOURS)
    return TypicalYear(36.1, -79.8, 250, utc_offset_h, sun, flat, flat, air, flat, "a plain year", ("made for tests",), 0.05, 0.04, 0.5)
