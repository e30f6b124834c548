"""A typical year from a weather file, after checks on every hour: order, missing values, limits, clock and place."""

from __future__ import annotations

from pathlib import Path

import numpy as np

from reportgen.climate.clock import set_right
from reportgen.climate.daylight import MONTH_DAYS, MONTH_OF_DAY
from reportgen.climate.errors import WeatherFileError
from reportgen.climate.how_sure import FILE_SIGMA, FILE_SIGMA_IS, YEAR_TO_YEAR_IS, YEAR_TO_YEAR_SIGMA
from reportgen.climate.kriging import distance_km
from reportgen.climate.typical_year import HOURS, TypicalYear
from reportgen.climate.weather_formats import Station, read_station

AIR_ERROR_K = 0.6            # common practice, no source
ROOF_WIND = 0.7              # wind at the roof / wind at 10 m; common practice, no source
CALM_M_S = 1.5               # at the roof, where the file has no wind
MOST_W_M2 = {"global horizontal": 1500.0, "direct normal": 1200.0, "diffuse horizontal": 900.0}
AIR_C = (-70.0, 60.0)        # the missing code 99.9 lies outside
WIND_M_S = (0.0, 60.0)       # the missing code 999 lies outside
AIR_GAP_HOURS = 88           # 1 % of the year may be bridged
NEAR_KM, TOO_FAR_KM = 50.0, 500.0


def file_year(path: Path, latitude: float, longitude: float) -> TypicalYear:
    """The year in a TMY3, TMY2, EPW or NSRDB file, for a house at a place [°]. Raises WeatherFileError.

    Place and clock are the file's own: its hours belong to its sky. The house is at most 500 km away.
    """
    station = read_station(path)
    near = _near(path, station, latitude, longitude)
    _in_order(path, station)
    light = _light(path, station)
    air, air_note = _air(path, station)
    wind, wind_note = _wind(path, station)
    arrays = [*light, air, wind]
    for array in arrays:
        array.setflags(write=False)
    first, last = station.years
    spell = f"{first}" if first == last else f"months from {first} to {last}"
    # The file's own name stays with the coach: it may hold a household's.
    source = f"Weather file: {station.kind}, {station.name}, {spell}; under the terms of its publisher."
    year = TypicalYear(station.latitude, station.longitude, station.elevation_m, station.utc_offset_h, *arrays,
                       f"weather file for {station.name} ({station.kind})", (source,), FILE_SIGMA, YEAR_TO_YEAR_SIGMA,
                       AIR_ERROR_K, tuple(note for note in (near, air_note, wind_note) if note), FILE_SIGMA_IS,
                       YEAR_TO_YEAR_IS)
    return set_right(year, path.name)


def _near(path: Path, station: Station, latitude: float, longitude: float) -> str:
    apart = float(distance_km(latitude, longitude, station.latitude, station.longitude)[0, 0])
    if apart > TOO_FAR_KM:
        raise WeatherFileError(f"{path.name} is for {station.name} at {station.latitude:g}, {station.longitude:g}, "
                               f"{apart:,.0f} km from the house at {latitude:g}, {longitude:g}. Check the signs (north "
                               "and east are positive) or take a file of a nearer place.")
    if abs((station.utc_offset_h - station.longitude / 15.0 + 12.0) % 24.0 - 12.0) > 4.0:
        raise WeatherFileError(f"{path.name} says UTC{station.utc_offset_h:+g} at longitude {station.longitude:g}°; the "
                               "two can't both be right. Mend the head of the file, or take hours in local standard "
                               "time instead of UTC.")
    if apart <= NEAR_KM:
        return ""
    return f"The weather file is for {station.name}, {apart:.0f} km from the house; hills or a coast between change it."


def _in_order(path: Path, station: Station) -> None:
    count = len(station.month)
    if count != HOURS:
        raise WeatherFileError(f"{path.name} has {count:,} rows of hours (29 February left out); a typical year has "
                               f"{HOURS:,}. Take a file of whole hours and a whole year.")
    month = np.repeat(MONTH_OF_DAY + 1, 24)
    day = np.repeat(np.concatenate([np.arange(1, days + 1) for days in MONTH_DAYS]), 24)
    hour = np.tile(np.arange(1, 25), HOURS // 24)
    wrong = np.flatnonzero((station.month != month) | (station.day != day) | (station.hour != hour))
    if len(wrong):
        k = int(wrong[0])
        raise WeatherFileError(f"{path.name}: row {k + 1} of the data should be month {month[k]}, day {day[k]}, hour "
                               f"{hour[k]} (hours 1 to 24, from 1 January on); found month {station.month[k]:.0f}, day "
                               f"{station.day[k]:.0f}, hour {station.hour[k]:.0f}. Take a file in that order.")


def _light(path: Path, station: Station) -> list[np.ndarray]:
    three = [np.array(a) for a in (station.ghi_w_m2, station.dni_w_m2, station.dhi_w_m2)]
    for array, (name, most) in zip(three, MOST_W_M2.items(), strict=True):
        bad = np.flatnonzero(~((array >= 0.0) & (array <= most)))   # NaN is bad too
        if len(bad):
            k = int(bad[0])
            raise WeatherFileError(f"{path.name}: the {name} sunlight is missing or impossible in {_hours(len(bad))}, "
                                   f"first in row {k + 1} of the data ({array[k]:g} W/m²; 0 to {most:,.0f} is possible, "
                                   "9999 stands for missing). Take a file without gaps.")
    if three[0].sum() <= 0:
        raise WeatherFileError(f"{path.name} holds no sunlight at all. Take another file.")
    return three


def _air(path: Path, station: Station) -> tuple[np.ndarray, str]:
    air = np.array(station.air_c)
    known = (air >= AIR_C[0]) & (air <= AIR_C[1])
    gaps = int((~known).sum())
    if gaps > AIR_GAP_HOURS:
        raise WeatherFileError(f"{path.name}: the air temperature is missing or impossible in {_hours(gaps)} (99.9 "
                               f"stands for missing); at most {AIR_GAP_HOURS} can be bridged. Take another file.")
    if not gaps:
        return air, ""
    hours = np.arange(HOURS)
    air[~known] = np.interp(hours[~known], hours[known], air[known])
    return air, f"The air temperature is missing in {_hours(gaps)} of the weather file; a straight line bridges that."


def _wind(path: Path, station: Station) -> tuple[np.ndarray, str]:
    known = (station.wind_m_s >= WIND_M_S[0]) & (station.wind_m_s <= WIND_M_S[1])
    wind = np.where(known, station.wind_m_s * ROOF_WIND, CALM_M_S)
    gaps = int((~known).sum())
    return wind, "" if not gaps else (f"The wind is missing in {_hours(gaps)} of the weather file; {CALM_M_S:g} m/s is "
                                      "taken there.")


def _hours(count: int) -> str:
    return "1 hour" if count == 1 else f"{count:,} hours"
