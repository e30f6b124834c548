"""A typical year from a weather file, after checks on every hour: order, missing values, limits, clock and place."""

from __future__ import annotations

from pathlib import Path

import numpy as np

from reportgen.climate.daylight import MONTH_DAYS, MONTH_OF_DAY
from reportgen.climate.errors import WeatherFileError
from reportgen.climate.kriging import distance_km
from reportgen.climate.sun import mid_hours_utc, sun_at
from reportgen.climate.typical_year import HOURS, TypicalYear
from reportgen.climate.weather_formats import Station, read_station

SIGMA = 0.05                 # of the year's sunlight: "long-term horizontal 5 %", Solar Energy, online 31 May 2011
YEAR_TO_YEAR_SIGMA = 0.039   # the same article
AIR_ERROR_K = 0.6            # common practice, no source
ROOF_WIND = 0.7              # wind at the roof / wind at 10 m; common practice, no source
CALM_M_S = 1.5               # at the roof, where the file has no wind
MOST_W_M2 = {"global horizontal": 1500.0, "direct normal": 1200.0, "diffuse horizontal": 900.0}
AIR_C = (-70.0, 60.0)        # the missing code 99.9 lies outside
WIND_M_S = (0.0, 60.0)       # the missing code 999 lies outside
AIR_GAP_HOURS = 88           # 1 % of the year may be bridged
NEAR_KM, TOO_FAR_KM = 50.0, 500.0
CLOCK_NOTE_MIN, CLOCK_REFUSE_MIN = 15.0, 50.0
CLOSURE_REFUSE_W_M2 = 40.0   # files whose parts agree show 1 to 6; half an hour off, up to 23


def file_year(path: Path, latitude: float, longitude: float) -> TypicalYear:
    """The year in a TMY3, TMY2 or EPW file, for a house at a place [°]. Raises WeatherFileError.

    Place and clock are the file's own: its hours belong to its sky. The house is at most 500 km away.
    """
    station = read_station(path)
    notes = [_near(path, station, latitude, longitude)]
    _in_order(path, station)
    light = _light(path, station)
    air, air_note = _air(path, station)
    wind, wind_note = _wind(path, station)
    arrays = [*light, air, wind]
    for array in arrays:
        array.setflags(write=False)
    first, last = station.years
    spell = f"{first}" if first == last else f"months from {first} to {last}"
    source = f"Weather file {path.name}: {station.kind}, {station.name}, {spell}; under the terms of its publisher."
    year = TypicalYear(station.latitude, station.longitude, station.elevation_m, station.utc_offset_h, *arrays,
                       f"weather file for {station.name} ({station.kind})", (source,), SIGMA, YEAR_TO_YEAR_SIGMA,
                       AIR_ERROR_K)
    notes += [air_note, wind_note, _clock(path, year)]
    return TypicalYear(**{**vars(year), "notes": tuple(note for note in notes if note)})


def closure_rms_w_m2(year: TypicalYear, shift_min: float = 0.0) -> float:
    """How well GHI = DNI cos z + DHI holds: root of the mean square over 8,760 hours [W/m²].

    shift_min: minutes by which the sun is taken later than the middle of the hour.
    """
    cos_zenith = np.maximum(_cos_zenith(year, shift_min), 0.0)
    return float(np.sqrt(np.mean((year.ghi_w_m2 - year.dni_w_m2 * cos_zenith - year.dhi_w_m2) ** 2)))


def clock_error_min(year: TypicalYear) -> float:
    """Minutes by which the file's sun runs behind the sun of its place; positive when its noon is late.

    The shift at which GHI goes best with the height of the sun, from tries every quarter of an hour.
    """
    shifts = np.arange(-90.0, 91.0, 15.0)
    fits = []
    for shift in shifts:
        clear = np.maximum(_cos_zenith(year, -shift), 0.0) ** 1.15  # how a clear sky goes with the sun's height
        fits.append((year.ghi_w_m2 @ clear) ** 2 / (clear @ clear))
    best = int(np.clip(np.argmax(fits), 1, len(shifts) - 2))
    before, top, after = fits[best - 1:best + 2]
    return float(shifts[best] + 15.0 * 0.5 * (before - after) / (before - 2 * top + after))


def _cos_zenith(year: TypicalYear, shift_min: float) -> np.ndarray:
    times = mid_hours_utc(year.utc_offset_h - shift_min / 60.0)
    return np.cos(np.radians(sun_at(times, year.latitude, year.longitude, year.elevation_m).zenith_deg))


def _near(path: Path, station: Station, latitude: float, longitude: float) -> str:
    apart = float(distance_km(latitude, longitude, station.latitude, station.longitude)[0, 0])
    if apart > TOO_FAR_KM:
        raise WeatherFileError(f"{path.name} is for {station.name} at {station.latitude:g}, {station.longitude:g}, "
                               f"{apart:,.0f} km from the house at {latitude:g}, {longitude:g}. Check the signs (north "
                               "and east are positive) or take a file of a nearer place.")
    if abs((station.utc_offset_h - station.longitude / 15.0 + 12.0) % 24.0 - 12.0) > 4.0:
        raise WeatherFileError(f"{path.name} says UTC{station.utc_offset_h:+g} at longitude {station.longitude:g}°; the "
                               "two can't both be right. Mend the first line of the file.")
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


def _clock(path: Path, year: TypicalYear) -> str:
    late = clock_error_min(year)
    if abs(late) > CLOCK_REFUSE_MIN:
        raise WeatherFileError(f"{path.name}: noon comes {abs(late):.0f} minutes too {'late' if late > 0 else 'early'} "
                               f"for UTC{year.utc_offset_h:+g} at longitude {year.longitude:g}°. The UTC offset in the "
                               "first line is wrong, or the hours run in summer time; standard time is expected.")
    closure = closure_rms_w_m2(year)
    if closure > CLOSURE_REFUSE_W_M2:
        raise WeatherFileError(f"{path.name}: global, direct and diffuse sunlight contradict each other by {closure:.0f} "
                               "W/m² (root mean square). Check longitude and UTC offset in its first line.")
    if abs(late) < CLOCK_NOTE_MIN:
        return ""
    return (f"Noon in the weather file comes about {abs(late):.0f} minutes {'late' if late > 0 else 'early'}, so the "
            "split between faces to the east and to the west is less sure.")


def _hours(count: int) -> str:
    return "1 hour" if count == 1 else f"{count:,} hours"
