"""Hours of sun from satellites, asked of NASA's free service through pvlib. The one place in the project that uses a network.

What is sent: a place rounded to 0.1°, dates, and the names of five quantities. Nothing else of a house is known here.
"""

from __future__ import annotations

import threading
from collections.abc import Callable
from queue import Empty, SimpleQueue
from time import sleep

import numpy as np
import pandas as pd
import requests
from pvlib import iotools

from reportgen.climate.errors import ClimateError

COLUMNS = ("ghi", "dni", "dhi", "temp_air", "wind_speed")
FIRST_YEAR = 2001             # hours begin then, by the service's own page
TIMEOUT_S = 90.0              # for one year of hours, about 1 MB
PAUSES_S = (3.0, 10.0)        # before the second and the third try
WAYS_OUT = ('Run make again later; or take a weather file, weather: {source: file, file: "weather/NAME"}; or the embedded '
            "atlas, weather: {source: atlas}.")


def hours_utc(latitude: float, longitude: float, first_year: int, last_year: int, *, url: str | None = None,
              timeout_s: float = TIMEOUT_S, pause: Callable[[float], None] = sleep) -> pd.DataFrame:
    """Hours of whole years and a day more at both ends, by the UTC time at which each begins.

    Columns ghi, dni, dhi [W/m²], temp_air [°C], wind_speed [m/s at 10 m]; NaN where the service has none.
    Raises ClimateError with a sentence where it does not answer in time, three times over, or answers something else.
    """
    parts = []
    for year in range(first_year, last_year + 1):
        # UTC days do not begin with local ones: a day more on either side serves every time zone.
        start = f"{year - 1}-12-31" if year == first_year else f"{year}-01-01"
        end = f"{year + 1}-01-01" if year == last_year else f"{year}-12-31"
        parts.append(_asked(latitude, longitude, start, end, url, timeout_s, pause))
    return pd.concat(parts)


def _asked(latitude, longitude, start, end, url, timeout_s, pause) -> pd.DataFrame:
    options = {} if url is None else {"url": url}
    said = ""
    for wait_s in (*PAUSES_S, None):
        try:
            data, _ = _within(timeout_s, lambda: iotools.get_nasa_power(latitude, longitude, start, end, list(COLUMNS),
                                                                        **options))
            return _whole(data, start, end)
        except TimeoutError:
            said = f"no answer within {timeout_s:g} seconds"
        except requests.ConnectionError:
            said = "no connection"
        except requests.HTTPError as problem:
            said = f"it refused: {' '.join(str(problem).split())[:120]}"
        except (requests.RequestException, ValueError, KeyError, TypeError, IndexError, AttributeError):
            said = "the answer could not be read"
        if wait_s is not None:
            pause(wait_s)
    raise ClimateError(f"the satellite service was asked three times for {start[:4]} to {end[:4]} at {latitude:g}, "
                       f"{longitude:g}; the last time: {said}. {WAYS_OUT}")


def _whole(data: pd.DataFrame, start: str, end: str) -> pd.DataFrame:
    """Every hour from start to end; rows that are missing become NaN. Raises KeyError where a quantity is missing."""
    hours = pd.date_range(start, f"{end} 23:00", freq="h", tz="UTC")
    found = data[list(COLUMNS)].astype(float)
    return found[~found.index.duplicated()].reindex(hours).where(lambda frame: frame > -900.0, np.nan)


def _within(seconds: float, work: Callable):
    """work(), or TimeoutError. pvlib's reader has no time limit of its own, and one must hold for the whole answer."""
    box: SimpleQueue = SimpleQueue()

    def run():
        try:
            box.put((work(), None))
        except Exception as problem:  # noqa: BLE001  raised again in the caller's thread
            box.put((None, problem))

    threading.Thread(target=run, daemon=True).start()
    try:
        found, problem = box.get(timeout=seconds)
    except Empty:
        raise TimeoutError from None
    if problem is not None:
        raise problem
    return found
