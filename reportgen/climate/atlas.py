"""A typical year for any place of the embedded worldwide table. Coarse, and it says so."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from reportgen.climate import table, temperature
from reportgen.climate.daylight import MONTH_DAYS, extraterrestrial_months
from reportgen.climate.errors import ClimateError
from reportgen.climate.how_sure import (
    ATLAS_ISLAND_SIGMA,
    ATLAS_SIGMA,
    ATLAS_SIGMA_IS,
    ATLAS_UNEVEN_SIGMA,
    YEAR_TO_YEAR_IS,
    YEAR_TO_YEAR_SIGMA,
)
from reportgen.climate.kriging import distance_km
from reportgen.climate.site import elevation_of, utc_offset_of
from reportgen.climate.sun import sun_path
from reportgen.climate.synthesis import hours_from_months
from reportgen.climate.typical_year import TypicalYear

NAME = "embedded worldwide atlas"
SOURCES = (
    ("Sunlight by month and its spread over days: NASA's MERRA-2 reanalysis, 2011 to 2015, in cells of 3° "
     "(doi:10.1175/JCLI-D-16-0758.1, doi:10.1016/j.energy.2016.08.060); free to use."),
    ("Brought to the level of mean sunshine hours of 270 cities (CC-BY-4.0, attribution in NOTICE.climate_atlas.md) by "
     "FAO Irrigation and Drainage Paper 56 (1998), equation 35."),
    ("Air temperature by month: normals 1981 to 2010 of the same cities (CC-BY-4.0, attribution in "
     "NOTICE.climate_atlas.md), carried to the place and its height."),
)
SIGMA, SIGMA_UNEVEN, SIGMA_ISLAND = ATLAS_SIGMA, ATLAS_UNEVEN_SIGMA, ATLAS_ISLAND_SIGMA
UNEVEN = 0.15                # cells that differ by more in the year's clearness make the place less sure
ISLAND_KM = 150.0
LEAST_WEIGHT = 0.05          # of the cells around the place; below it they lie too far off to speak for it
WIND_M_S = 1.5               # at the roof, all year; against the wind of weather files it costs 0.9 % of a year's output
WAYS_OUT = ('Give a weather file for the place instead: weather: {source: file, file: "weather/NAME"} '
            "(TMY3, TMY2, EPW or NSRDB CSV), or ask for satellite hours: weather: {source: satellite}.")


@dataclass(frozen=True, eq=False)
class MonthlySun:
    """What the table says of a place before it is turned into hours."""

    clearness: np.ndarray    # (12,) sunlight / extraterrestrial sunlight
    day_ratios: np.ndarray   # (12, 7)
    sigma: float
    notes: tuple[str, ...]
    sigma_is: str = ATLAS_SIGMA_IS

    def ghi_kwh_m2(self, latitude: float) -> np.ndarray:
        """Sunlight on level ground in each month [kWh/m²], (12,)."""
        return self.clearness * extraterrestrial_months(latitude)[0] * MONTH_DAYS * 24.0 / 1000.0


def atlas_year(latitude: float, longitude: float, elevation_m: float | None = None,
               time_zone: str | None = None) -> TypicalYear:
    """The typical year at a place. Raises ClimateError over the open sea and off the table (south of 57°, north of 72°).

    elevation_m [m] comes from a coarse map where missing, the clock from the place where no time_zone (IANA) is given.
    """
    months = monthly_sun(latitude, longitude)
    height = elevation_of(latitude, longitude) if elevation_m is None else float(elevation_m)
    offset = utc_offset_of(latitude, longitude, time_zone)
    hours = hours_from_months(months.clearness, months.day_ratios, latitude, longitude, height,
                              sun_path(latitude, longitude, offset, height))
    monthly_c, air_error = temperature.monthly_air_c(latitude, longitude, height)
    air = temperature.hourly_air_c(monthly_c, hours.day_clearness, 0.5 + longitude / 15.0 - offset)
    arrays = [hours.ghi_w_m2, hours.dni_w_m2, hours.dhi_w_m2, air, np.full(len(air), WIND_M_S)]
    for array in arrays:
        array.setflags(write=False)
    return TypicalYear(float(latitude), float(longitude), height, offset, *arrays, NAME, SOURCES, months.sigma,
                       YEAR_TO_YEAR_SIGMA, air_error, months.notes, months.sigma_is, YEAR_TO_YEAR_IS)


def monthly_sun(latitude: float, longitude: float) -> MonthlySun:
    """The table read between the four cell centres around a place, or the nearest listed city for an island."""
    t = table.table()
    north = table.SOUTH_DEG + table.CELL_DEG * (table.ROWS - 1)
    if not table.SOUTH_DEG <= latitude <= north:
        raise ClimateError(f"the embedded atlas ends at {-table.SOUTH_DEG:.0f}° south and {north:.0f}° north; "
                           f"the place lies at {latitude:g}°. {WAYS_OUT}")
    around = table.corners(latitude, longitude)
    found = [(t.cell_at[row, column], weight) for row, column, weight in around if t.cell_at[row, column] >= 0]
    if sum(weight for _, weight in found) < LEAST_WEIGHT:
        return _island(latitude, longitude)
    cells = np.array([cell for cell, _ in found])
    weights = np.array([weight for _, weight in found])
    known = np.isfinite(t.clearness[cells]) * weights[:, None]
    total = known.sum(axis=0)
    # In a month of polar night in every cell the clearness does not matter: there is no sun to share out.
    clearness = np.divide((known * np.nan_to_num(t.clearness[cells])).sum(axis=0), total, out=np.zeros(12),
                          where=total > 0)
    ratios = np.divide((known[..., None] * t.ratios[cells]).sum(axis=0), total[:, None],
                       out=np.ones((12, len(table.RATIO_AT))), where=total[:, None] > 0)
    sigma, notes = _how_sure(t, cells, len(found) < len(around), latitude)
    return MonthlySun(clearness, ratios, sigma, notes, ATLAS_SIGMA_IS + ("; wider here: " + notes[0] if notes else ""))


def _how_sure(t, cells, some_missing: bool, latitude: float) -> tuple[float, tuple[str, ...]]:
    outside = extraterrestrial_months(latitude)[0] * MONTH_DAYS
    year = np.nan_to_num(t.clearness[cells]) @ outside / outside.sum()
    uneven = year.max() / year.min() - 1.0
    if uneven > UNEVEN:
        note = (f"The cells of the atlas around this place differ by {uneven * 100:.0f} % in the year's sunlight "
                "(hills, coast or fog), so the range is wider than usual.")
        return SIGMA_UNEVEN, (note,)
    if some_missing:
        return SIGMA_UNEVEN, ("The place lies at the edge of the atlas by the sea: the range is wider than usual.",)
    return SIGMA, ()


def _island(latitude: float, longitude: float) -> MonthlySun:
    t = table.table()
    apart = distance_km(latitude, longitude, t.city_latitude, t.city_longitude)[0]
    nearest = int(apart.argmin())
    if apart[nearest] > ISLAND_KM:
        raise ClimateError(f"the embedded atlas has no sunlight at {latitude:g}, {longitude:g}: it covers land and "
                           "coasts in cells of 3°, and this place lies between them, in the open sea or on a small "
                           f"island. {WAYS_OUT}")
    rows = t.cell_at[round((latitude - table.SOUTH_DEG) / table.CELL_DEG)]
    ratios = t.ratios[rows[rows >= 0]].mean(axis=0)
    note = (f"Small islands are missing from the atlas. The sunlight here comes from the mean yearly hours of sunshine "
            f"in {t.city_name[nearest]}, {apart[nearest]:.0f} km away (FAO Paper 56, equation 35), with the same "
            "clearness in every month. A windward slope can be far duller than a leeward one: the range is wider.")
    return MonthlySun(np.full(12, t.city_clearness[nearest]), ratios, SIGMA_ISLAND, (note,),
                      "common practice, no source; one city's sunshine stands for the island")
