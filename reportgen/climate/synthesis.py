"""From twelve months to 8,760 hours, without random numbers: days first, then hours, then direct and diffuse light.

Days take fixed shares of the month's own spread of days in a fixed order. Hours have the shape of a clear day. The
diffuse share is found from the whole day, for a made-up day has no passing clouds from which an hour could tell it.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import pandas as pd
from pvlib import atmosphere, clearsky

from reportgen.climate.daylight import (
    DAYS,
    MONTH_DAYS,
    MONTH_OF_DAY,
    between_months,
    extraterrestrial_days,
    sunset_angle,
)
from reportgen.climate.sun import SunPath
from reportgen.climate.table import RATIO_AT

BRIGHTEST = 1.10   # no day above this share of the same day without clouds
BELIEVED = 1.2
# Order of a month's days, dullest 0. Found by search: each day is a little like the one before (correlation 0.25, in
# weather files 0.20 to 0.29), no trend over the month.
DAY_ORDER = {
    28: (15, 24, 8, 14, 16, 12, 10, 3, 20, 9, 5, 6, 2, 26, 19, 18, 27, 11, 17, 23, 22, 13, 7, 4, 1, 0, 25, 21),
    30: (8, 14, 4, 15, 28, 29, 27, 11, 24, 3, 0, 18, 9, 1, 10, 5, 26, 23, 17, 22, 21, 13, 7, 12, 2, 25, 20, 16, 19, 6),
    31: (23, 2, 0, 1, 25, 29, 9, 17, 24, 30, 16, 27, 18, 28, 14, 5, 7, 11, 12, 3, 8, 6, 20, 4, 15, 21, 22, 13, 26, 10,
         19),
}


@dataclass(frozen=True, eq=False)
class Hours:
    ghi_w_m2: np.ndarray       # (8760,) global horizontal
    dni_w_m2: np.ndarray       # (8760,) direct normal
    dhi_w_m2: np.ndarray       # (8760,) diffuse horizontal
    day_clearness: np.ndarray  # (365,) sunlight / extraterrestrial


def hours_from_months(month_clearness, day_ratios, latitude: float, longitude: float, elevation_m: float,
                      sun: SunPath) -> Hours:
    """Sunlight of each hour.

    month_clearness: (12,) mean sunlight / extraterrestrial sunlight. day_ratios: (12, 7) clearness of single days over
    the month's, at the shares RATIO_AT. Each month's sum is kept exactly, but at the edge of polar night.
    GHI = DNI cos z + DHI holds in every hour with the apparent zenith of `sun`.
    """
    outside_day = extraterrestrial_days(latitude)[0]
    clear = _clear_sky(latitude, longitude, elevation_m, sun).reshape(DAYS, 24)
    clear_day = clear.sum(axis=1) / 24.0
    day = _days(np.asarray(month_clearness), np.asarray(day_ratios), outside_day, clear_day)
    ghi = clear * _share(day, clear_day)[:, None]

    cos_zenith = np.maximum(np.cos(np.radians(sun.apparent_zenith_deg)), 0.0).reshape(DAYS, 24)
    outside = cos_zenith * sun.extraterrestrial_w_m2.reshape(DAYS, 24)
    clearness = _share(day, outside_day)
    diffuse_day = diffuse_share(clearness, sunset_angle(latitude)[0]) * day
    # Diffuse light follows the sun outside the air through the day (Liu and Jordan 1960, as in the article below).
    dhi = np.minimum(outside * _share(diffuse_day, outside.mean(axis=1))[:, None], ghi)
    dni = np.divide(ghi - dhi, cos_zenith, out=np.zeros_like(ghi), where=cos_zenith > 0)
    return Hours(ghi.ravel(), dni.ravel(), dhi.ravel(), clearness)


def diffuse_share(clearness, sunset_rad) -> np.ndarray:
    """Diffuse / global sunlight of a day, from its clearness and its sunset angle [rad].

    "Estimation of the diffuse radiation fraction for hourly, daily and monthly-average global radiation",
    Solar Energy 28 (1982) 293-302.
    """
    k = np.asarray(clearness, dtype=float)
    winter = np.where(k < 0.715, 1 + k * (-0.2727 + k * (2.4495 + k * (-11.9514 + k * 9.3879))), 0.143)
    summer = np.where(k < 0.722, 1 + k * (0.2832 + k * (-2.5557 + k * 0.8448)), 0.175)
    return np.clip(np.where(np.asarray(sunset_rad) < np.radians(81.4), winter, summer), 0.0, 1.0)


def _days(month_clearness, day_ratios, outside_day, clear_day) -> np.ndarray:
    """Mean sunlight of each day [W/m²], (365,)."""
    day = np.empty(DAYS)
    for month in range(12):
        at = month == MONTH_OF_DAY
        count = MONTH_DAYS[month]
        share = (np.array(DAY_ORDER[int(count)]) + 0.5) / count
        plain = np.interp(share, RATIO_AT, day_ratios[month]) * outside_day[at]
        day[at] = _below(plain, BRIGHTEST * clear_day[at], month_clearness[month] * outside_day[at].sum())
    return day


def _below(plain, most, total: float) -> np.ndarray:
    """`plain` scaled to sum to `total`, no value above `most`.

    Where the table says more than cloudless days by the turbidity map give (dusty places), the table is believed up to
    BELIEVED times as much; beyond that, near polar night, the sun is not there to give it.
    """
    if most.sum() <= total or plain.sum() <= 0:
        return most if most.sum() <= 0 else most * min(total / most.sum(), BELIEVED)
    free = np.ones(len(plain), dtype=bool)
    while True:   # ends: each round fixes at least one more day at its most
        left = total - most[~free].sum()
        scaled = np.where(free, plain * (left / plain[free].sum()), most)
        over = free & (scaled > most)
        if not over.any():
            return scaled
        free &= ~over


def _clear_sky(latitude, longitude, elevation_m, sun: SunPath) -> np.ndarray:
    """Global horizontal sunlight without clouds [W/m²]: the Ineichen model with pvlib's monthly turbidity."""
    up = sun.apparent_zenith_deg < 90.0
    zenith = sun.apparent_zenith_deg[up]
    months = pd.date_range("2023-01-15", periods=12, freq="30D", tz="UTC")   # one day in each month
    turbidity = clearsky.lookup_linke_turbidity(months, latitude, longitude, interp_turbidity=False).to_numpy()
    turbidity = np.repeat(between_months() @ turbidity, 24)[up]
    mass = atmosphere.get_absolute_airmass(atmosphere.get_relative_airmass(zenith), atmosphere.alt2pres(elevation_m))
    clear = np.zeros(len(up))
    clear[up] = clearsky.ineichen(zenith, mass, turbidity, elevation_m, sun.extraterrestrial_w_m2[up])["ghi"]
    return clear


def _share(part, whole) -> np.ndarray:
    return np.divide(part, whole, out=np.zeros_like(part), where=whole > 0)
