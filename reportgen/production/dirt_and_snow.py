"""What dirt and snow take, month by month: as written, or from rain days and measured snow by a published model."""

from __future__ import annotations

from functools import lru_cache

import numpy as np

from reportgen.describe.equipment import Losses
from reportgen.describe.fields import MONTHS
from reportgen.describe.models import House
from reportgen.describe.roof import RoofFace
from reportgen.production.module import module_of

GIVEN = "the house file, or the list of what was assumed"
INCH_CM = 2.54
# Height of the lower edge above where slid snow rests, where the house file says none [m]; common practice, no source.
LOWER_EDGE_M = {"ground": 0.6}
LOWER_EDGE_ELSEWHERE_M = 3.0
RINSE_MM = 6.0                # a day with this much rain cleans; Kimber's threshold
SNOW_SOURCE = ("Townsend and Powers, Photovoltaics and snow, 37th IEEE Photovoltaic Specialists Conference, 2011, as "
               "carried by pvlib; monthly, fed with the measured snow of the house file")
BUILDUP_SOURCE = ("Build-up by dry days up to a cap, back to nothing with rain above 6 mm or a cleaning: Kimber and "
                  "others, 4th World Conference on Photovoltaic Energy Conversion, 2006, as carried by pvlib. Its damp "
                  "days after rain are left out, and the rain days are spread evenly over each month")


def dirt_months(losses: Losses) -> np.ndarray:
    """Share of the light that dirt takes in each month, twelve from January."""
    if losses.dirt_buildup is not None:
        built = losses.dirt_buildup
        return np.array(_built_up(built.percent_per_dry_day, tuple(built.rainy_days), tuple(built.cleaned_in),
                                  built.highest_percent))
    return np.array(losses.dirt_percent) / 100.0


def snow_months(house: House, face: RoofFace, plane_kwh_m2, air_c) -> np.ndarray:
    """Share of the face's light that snow takes in each month, twelve from January.

    plane_kwh_m2, air_c: sun on the plane and mean air of each month; used with measured snow alone.
    """
    snowfall = house.losses.snowfall
    if snowfall is None:
        return np.array(house.losses.snow_percent) / 100.0
    from pvlib import snow
    fallen_cm = np.array(snowfall.snow_cm if snowfall.snow_cm is not None
                         else [inches * INCH_CM for inches in snowfall.snow_in])
    lit = plane_kwh_m2 > 0
    lost = snow.loss_townsend(
        fallen_cm, np.array(snowfall.snow_days), face.tilt_deg, np.array(snowfall.relative_humidity_percent), air_c,
        np.where(lit, plane_kwh_m2, 1.0) * 1000.0, _slant_m(house, face), lower_edge_m(house, face))
    return np.where(lit, np.nan_to_num(lost), 0.0)


def lower_edge_m(house: House, face: RoofFace) -> float:
    """Height of the array's lower edge above where slid snow rests [m]."""
    said = house.losses.snowfall.lower_edge_m if house.losses.snowfall is not None else None
    if said is None and face.mounting != "ground" and face.eave_m is not None:
        return face.eave_m
    return said if said is not None else LOWER_EDGE_M.get(face.mounting, LOWER_EDGE_ELSEWHERE_M)


def _slant_m(house: House, face: RoofFace) -> float:
    """Length of the array down the slope [m]: the face's depth where known, else one module upright."""
    if face.corners is None:
        return module_of(house).long_m
    heights = [y for _, y in face.corners]
    return max(heights) - min(heights)


@lru_cache(maxsize=64)
def _built_up(percent_per_dry_day: float, rainy_days: tuple, cleaned_in: tuple, highest_percent: float) -> tuple:
    """Twelve mean shares of a year that follows upon itself."""
    import pandas as pd
    from pvlib import soiling
    days = pd.date_range("2022-01-01", "2023-12-31", freq="D")    # two ordinary years; the first only fills the second
    rain = pd.Series(0.0, index=days)
    for month, count in enumerate(rainy_days, start=1):
        for year in (2022, 2023):
            of_month = days[(days.year == year) & (days.month == month)]
            wet = min(round(count), len(of_month))
            rain[of_month[[int((k + 0.5) * len(of_month) / wet) for k in range(wet)]]] = 2 * RINSE_MM
    washed = [pd.Timestamp(year, MONTHS.index(name) + 1, 1).date() for year in (2022, 2023) for name in cleaned_in]
    # Both periods are counted in rows, which are days here; the rain day itself counts as clean.
    lost = soiling.kimber(rain, cleaning_threshold=RINSE_MM, soiling_loss_rate=percent_per_dry_day / 100.0,
                          grace_period=1, rain_accum_period=1, max_soiling=highest_percent / 100.0,
                          manual_wash_dates=washed)
    second = lost[lost.index.year == 2023]
    return tuple(float(v) for v in second.groupby(second.index.month).mean())


def dirt_words(losses: Losses) -> tuple[str, str]:
    """(how the months were found, "" where percents are written or assumed; source)."""
    built = losses.dirt_buildup
    if built is None:
        return "", GIVEN
    cleaned = f"cleaned on the first of {', '.join(built.cleaned_in)}" if built.cleaned_in else "never cleaned"
    how = (f"{built.percent_per_dry_day:g} % more with each dry day, at most {built.highest_percent:g} %, rinsed on "
           f"{sum(built.rainy_days):g} rain days a year, {cleaned}")
    return how, f"{built.source}. {BUILDUP_SOURCE}"


def snow_words(losses: Losses) -> tuple[str, str]:
    """As `dirt_words`, for snow."""
    measured = losses.snowfall
    if measured is None:
        return "", GIVEN
    fallen = (f"{sum(measured.snow_cm):,.0f} cm" if measured.snow_cm is not None
              else f"{sum(measured.snow_in):,.0f} inches")
    how = (f"a published model on {fallen} of measured snow and {sum(measured.snow_days):g} snow days a year; it leaves "
           "wide room, one winter is not the next")
    return how, f"{measured.source}. {SNOW_SOURCE}"
