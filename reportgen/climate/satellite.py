"""A typical year from ten years of satellite hours: of each month the year nearest to the mean of all, brought to that mean.

Direct and diffuse sunlight of each month have the energy of the mean of all years exactly, and the hours stay those of a
real month. The mean of each hour over the years would keep the energy too, but blur it: with ten years made by shuffling
the days of one, output came out 2.0 % too high, and 2.7 % behind a small inverter that should have cut more off.
"""

from __future__ import annotations

from collections.abc import Callable
from math import floor

import numpy as np
import pandas as pd

from reportgen.climate.clock import MOST_MIN, clock_error_min
from reportgen.climate.daylight import MONTH_OF_DAY
from reportgen.climate.errors import ClimateError
from reportgen.climate.how_sure import (
    SATELLITE_SIGMA,
    SATELLITE_SIGMA_IS,
    YEAR_TO_YEAR_IS,
    YEAR_TO_YEAR_SIGMA,
)
from reportgen.climate.satellite_cache import KeptHours, kept_hours
from reportgen.climate.satellite_service import COLUMNS, WAYS_OUT, hours_utc
from reportgen.climate.typical_year import HOURS, TypicalYear
from reportgen.climate.weather_file import MOST_W_M2, ROOF_WIND
from reportgen.figures import Figure, show

YEARS = 10                    # by default; they end two years before the report's, so that none is still provisional
MEASURED_FROM = 5             # years from which their own spread is taken
GAP_HOURS = 88                # 1 % of a year may be missing
MONTH_OF_HOUR = MONTH_OF_DAY.repeat(24)
AIR_ERROR_K = 1.0             # common practice, no source; a cell of half a degree stands for the place


def default_years(report_year: int) -> tuple[int, int]:
    return report_year - 1 - YEARS, report_year - 2


def satellite_year(latitude: float, longitude: float, elevation_m: float, utc_offset_h: float, years: tuple[int, int],
                   read: Callable[..., KeptHours] = lambda *place: kept_hours(*place, fetch=hours_utc)) -> TypicalYear:
    """The typical year at a place, rounded to 0.1°. Raises ClimateError where the service or its hours are wanting.

    years: first and last, both whole. read(latitude, longitude, first, last): where the hours come from.
    """
    place = round(latitude, 1) + 0.0, round(longitude, 1) + 0.0
    first, last = years
    kept = read(*place, first, last)
    # Hours begin on the hour in UTC: where local time is a half-hour off, the clock of the year is the whole hour below.
    offset = float(floor(utc_offset_h))
    by_year = _by_year(kept.hours, first, last, offset)
    gaps = _check(by_year, first)
    # An hour that one year misses is taken as the mean of the others.
    by_year = np.where(np.isnan(by_year), np.nanmean(by_year, axis=0), by_year)
    sums = by_year[:, :, 0].sum(axis=1) / 1000.0
    ghi, dni, dhi, air, wind = _typical(by_year)
    sigma, is_from = _year_to_year(sums, first, last)
    arrays = [ghi, dni, dhi, air, wind * ROOF_WIND]
    for array in arrays:
        array.setflags(write=False)
    source = (f"Sunlight from satellites (CERES SYN1deg, cells of 1°) and air (MERRA-2), hours of {first} to {last} at "
              f"{place[0]:g}, {place[1]:g}, retrieved on {kept.retrieved.isoformat()}. These data were obtained from the "
              "NASA Langley Research Center POWER Project; free to use.")
    notes = [(f"The hours are those of real months, each from the year nearest to the mean of {last - first + 1}, scaled to "
              "that mean; what the inverter's limit cuts off within an hour is not seen in them.")]
    if gaps:
        notes.append(f"{gaps:,} of the {by_year.shape[0] * HOURS:,} hours were missing; the other years stand for them.")
    year = TypicalYear(*place, elevation_m, offset, *arrays, f"satellite hours of {first} to {last}", (source,),
                       SATELLITE_SIGMA, sigma, AIR_ERROR_K, tuple(notes), SATELLITE_SIGMA_IS, is_from,
                       (_spread_figure(sums, sigma, first, source),) if len(sums) >= MEASURED_FROM else ())
    if abs(late := clock_error_min(year)) > MOST_MIN:
        raise ClimateError(f"the satellite hours have their noon {abs(late):.0f} minutes off the sun's; they are not in "
                           f"the time they say. {WAYS_OUT}")
    return year


def _by_year(hours: pd.DataFrame, first: int, last: int, offset_h: float) -> np.ndarray:
    """(years, 8760, 5) in local standard time; 29 February left out."""
    local = hours.copy()
    local.index = local.index.tz_localize(None) + pd.Timedelta(hours=offset_h)
    local = local.reindex(pd.date_range(f"{first}-01-01", f"{last}-12-31 23:00", freq="h"))
    local = local[~((local.index.month == 2) & (local.index.day == 29))]
    return local[list(COLUMNS)].to_numpy(dtype=float).reshape(last - first + 1, HOURS, len(COLUMNS))


def _check(by_year: np.ndarray, first: int) -> int:
    """Hours missing in all; ClimateError where a year misses too many or an hour is impossible."""
    for column, (name, most) in enumerate(MOST_W_M2.items()):
        values = by_year[:, :, column]
        if (bad := (values < 0.0) | (values > most)).any():
            year = first + int(np.argwhere(bad)[0][0])
            raise ClimateError(f"the satellite service gave {name} sunlight outside 0 to {most:,.0f} W/m² in {year}. {WAYS_OUT}")
    missing = np.isnan(by_year).any(axis=2)
    for k, count in enumerate(missing.sum(axis=1)):
        if count > GAP_HOURS:
            raise ClimateError(f"the satellite hours of {first + k} miss {count:,} of {HOURS:,}; at most {GAP_HOURS} may be "
                               f"missing. Choose other years with weather.years. {WAYS_OUT}")
    if np.isnan(by_year).all(axis=0).any():
        raise ClimateError(f"the satellite hours miss the same hour in every year. {WAYS_OUT}")
    if np.nan_to_num(by_year[:, :, 0]).sum() <= 0:
        raise ClimateError(f"the satellite service gave a year without any sunlight. {WAYS_OUT}")
    return int(missing.sum())


def _typical(by_year: np.ndarray) -> list[np.ndarray]:
    """(8760,) of each column. by_year: (years, 8760, 5) without gaps."""
    made = np.empty(by_year.shape[1:])
    for month in range(12):
        hours = by_year[:, month == MONTH_OF_HOUR]
        sums = hours[:, :, 0].sum(axis=1)
        ghi, dni, dhi, air, wind = hours[np.abs(sums - sums.mean()).argmin()].T
        # GHI of the service is not the sum of its parts to the last watt: the part that is not diffuse goes with the beam.
        beam, beams = ghi - dhi, hours[:, :, 0] - hours[:, :, 2]
        of_beam, of_diffuse = _to_mean(beam, beams), _to_mean(dhi, hours[:, :, 2])
        made[month == MONTH_OF_HOUR] = np.stack([
            np.maximum(beam * of_beam + dhi * of_diffuse, 0.0), dni * of_beam, dhi * of_diffuse,
            air + hours[:, :, 3].mean() - air.mean(), wind], axis=1)
    return [np.ascontiguousarray(column) for column in made.T]


def _to_mean(of_one, of_all) -> float:
    """What brings the month's sum of one year to the mean of all; 1 in polar night."""
    return float(of_all.sum() / len(of_all) / of_one.sum()) if of_one.sum() > 0 else 1.0


def _year_to_year(sums: np.ndarray, first: int, last: int) -> tuple[float, str]:
    if len(sums) < MEASURED_FROM:
        return YEAR_TO_YEAR_SIGMA, f"{YEAR_TO_YEAR_IS}; {len(sums)} years are too few to measure it"
    sigma = float(np.std(sums, ddof=1) / sums.mean())
    return sigma, f"measured: the spread of the years {first} to {last} at this place"


def _spread_figure(sums: np.ndarray, sigma: float, first: int, source: str) -> Figure:
    listed = ", ".join(f"{first + k}: {value:,.0f}" for k, value in enumerate(sums))
    return Figure("climate.year_to_year_percent", "Spread of the sun between single years", 100.0 * sigma, "%", None, None,
                  f"level ground, kWh/m²: {listed}; standard deviation / mean = {show(100.0 * sigma, '%', 1)}", (source,))
