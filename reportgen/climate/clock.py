"""Does the clock of a year of sun go with the sun of its place? Two witnesses, and what follows from what they say.

The first: sunlight is as high before the sun's noon as after it, over a year. The second: GHI = DNI cos z + DHI holds in
every hour, but only with the sun where it stood. Files whose clock is right show a rest of 1 to 6 W/m² at mid-hour.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from reportgen.climate.daylight import MONTH_OF_DAY
from reportgen.climate.errors import WeatherFileError
from reportgen.climate.sun import mid_hours_utc, sun_at
from reportgen.climate.typical_year import TypicalYear
from reportgen.describe.fields import MONTHS

NOTICED_MIN, MOST_MIN = 15.0, 50.0
CLOSURE_FITS_W_M2 = 8.0       # the rest of files whose parts and clock agree
CLOSURE_REFUSED_W_M2 = 40.0
# A shift is believed where both witnesses name the same one, and the second is much better off with it. Of six
# files of one publisher, four with noon 26 to 29 minutes off pass, two with months an hour apart (Brest, Perth) are refused.
AGREE_MIN = 10.0
CLOSURE_GAIN, CLOSURE_AFTER_W_M2 = 0.6, 20.0
MONTHS_AGREE_MIN = 25.0       # months that differ by more were stamped by different clocks: no one shift mends them
DARK_W_M2 = 20.0              # a month with less sun on average tells nothing of its clock
SHIFTS_MIN = np.arange(-90.0, 91.0, 15.0)
MONTH_OF_HOUR = MONTH_OF_DAY.repeat(24)


def closure_rms_w_m2(year: TypicalYear, shift_min: float = 0.0) -> float:
    """How well GHI = DNI cos z + DHI holds: root of the mean square over 8,760 hours [W/m²].

    shift_min: minutes by which the sun is taken later than the middle of the hour.
    """
    return float(np.sqrt(np.mean(_rest(year, _cos_zenith(year, shift_min)) ** 2)))


def clock_error_min(year: TypicalYear) -> float:
    """Minutes by which the year's sun runs behind the sun of its place; positive when its noon is late.

    The shift at which GHI goes best with the height of the sun, from tries every quarter of an hour.
    """
    return _by_noon(year, _cosines(year))


def set_right(year: TypicalYear, name: str) -> TypicalYear:
    """The year with its clock checked, and shifted where the fit is clear; what was done stands in its notes.

    name: of the file, for the message. Raises WeatherFileError where the clock is off and the fit is not clear.
    """
    cosines = _cosines(year)
    late = _by_noon(year, cosines)
    if abs(late) > MOST_MIN:
        raise WeatherFileError(f"{name}: noon comes {_minutes(late)} for UTC{year.utc_offset_h:+g} at longitude "
                               f"{year.longitude:g}°. The UTC offset in its head is wrong, or the hours run in summer "
                               "time; standard time is expected.")
    by_closure = _by_closure(year, cosines)
    _same_clock_in_all_months(year, cosines, name)
    closure = closure_rms_w_m2(year)
    if abs(late) < NOTICED_MIN:
        if closure > CLOSURE_REFUSED_W_M2:
            raise WeatherFileError(f"{name}: global, direct and diffuse sunlight contradict each other by "
                                   f"{closure:.0f} W/m² (root mean square). Check longitude and UTC offset in its head.")
        return year
    if closure <= CLOSURE_FITS_W_M2:
        return _noted(year, f"Noon in the weather file seems to come {_minutes(late)}, but its direct and diffuse "
                            "sunlight go with its clock: one half of the day is cloudier there. Nothing was shifted.")
    shift = round((late + by_closure) / 2.0)
    after = closure_rms_w_m2(year, -shift)
    if abs(late - by_closure) > AGREE_MIN or after > CLOSURE_GAIN * closure or after > CLOSURE_AFTER_W_M2:
        raise WeatherFileError(
            f"{name}: noon comes {_minutes(late)}, and it is not clear what its clock shows: by its direct and diffuse "
            f"sunlight it would be {_minutes(by_closure)}, with {after:.0f} W/m² still unexplained. Mend the UTC offset in "
            "its head, or take another file.")
    shifted = replace(year, utc_offset_h=year.utc_offset_h + shift / 60.0)
    return _noted(shifted, f"This file's clock is {abs(shift)} minutes off (its noon comes {_minutes(shift)}); we shifted "
                           f"it. Direct and diffuse sunlight then agree within {after:.0f} W/m², before {closure:.0f}.")


def _same_clock_in_all_months(year: TypicalYear, cosines, name: str) -> None:
    """Files put together from months of several years can hold months an hour apart; summer time does the same."""
    sunny = np.bincount(MONTH_OF_HOUR, year.ghi_w_m2) / np.bincount(MONTH_OF_HOUR) > DARK_W_M2
    found = {month: _by_closure(year, cosines, month == MONTH_OF_HOUR) for month in np.flatnonzero(sunny)}
    usual = float(np.median(list(found.values())))
    apart = {month: late - usual for month, late in found.items() if abs(late - usual) > MONTHS_AGREE_MIN}
    if apart:
        named = ", ".join(f"{MONTHS[month]} {_minutes(late)}" for month, late in apart.items())
        raise WeatherFileError(f"{name}: its clock is not the same in all months. Against the others: {named}. Either hours "
                               "run in summer time for part of the year, or its months were stamped differently. Take "
                               "another file.")


def _by_noon(year: TypicalYear, cosines) -> float:
    fits = []
    for cos_zenith in cosines:
        clear = np.maximum(cos_zenith, 0.0) ** 1.15  # how a clear sky goes with the sun's height
        fits.append((year.ghi_w_m2 @ clear) ** 2 / (clear @ clear))
    return _top(fits)


def _by_closure(year: TypicalYear, cosines, at=slice(None)) -> float:
    """Minutes by which the sun is late by the second witness: the shift at which the parts contradict least."""
    return _top([-float(np.mean(_rest(year, cos_zenith)[at] ** 2)) for cos_zenith in cosines])


def _cosines(year: TypicalYear) -> list[np.ndarray]:
    """Of the sun's zenith angle, were the file late by each of SHIFTS_MIN."""
    return [_cos_zenith(year, -shift) for shift in SHIFTS_MIN]


def _rest(year: TypicalYear, cos_zenith) -> np.ndarray:
    return year.ghi_w_m2 - year.dni_w_m2 * np.maximum(cos_zenith, 0.0) - year.dhi_w_m2


def _noted(year: TypicalYear, note: str) -> TypicalYear:
    return replace(year, notes=(*year.notes, note))


def _minutes(late: float) -> str:
    return f"{abs(late):.0f} minutes too {'late' if late > 0 else 'early'}"


def _top(fits) -> float:
    """Where the parabola through the best of the tries and its neighbours has its top [minutes]."""
    best = int(np.clip(np.argmax(fits), 1, len(SHIFTS_MIN) - 2))
    before, top, after = fits[best - 1:best + 2]
    return float(SHIFTS_MIN[best] + (SHIFTS_MIN[1] - SHIFTS_MIN[0]) * 0.5 * (before - after) / (before - 2 * top + after))


def _cos_zenith(year: TypicalYear, shift_min: float) -> np.ndarray:
    times = mid_hours_utc(year.utc_offset_h - shift_min / 60.0)
    return np.cos(np.radians(sun_at(times, year.latitude, year.longitude, year.elevation_m).zenith_deg))
