"""Three formats of weather file, brought to one shape: 8,760 rows of sun, air and wind, and where the station stands.

TMY3 ("Users Manual for TMY3 Data Sets", NREL/TP-581-43156), TMY2 ("User's Manual for TMY2s", 1995) and EPW are read by
pvlib. All three number the hours of a day 1 to 24 by their end; that number, not pvlib's time stamp, places a row.
"""

from __future__ import annotations

import io
import re
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from pvlib import iotools

from reportgen.climate.errors import WeatherFileError
from reportgen.climate.typical_year import MODEL_YEAR

MOST_BYTES = 20_000_000
EPW_COLUMNS, EPW_HEADER_LINES = 35, 8


@dataclass(frozen=True, eq=False)
class Station:
    """A file's rows in the file's order, unchecked. Missing values are still the format's codes."""

    kind: str                    # "TMY3", "TMY2", "EPW"
    name: str
    latitude: float
    longitude: float
    elevation_m: float
    utc_offset_h: float
    years: tuple[int, int]       # first and last year from which months were taken
    month: np.ndarray
    day: np.ndarray
    hour: np.ndarray             # 1 to 24, the hour that ends then
    ghi_w_m2: np.ndarray
    dni_w_m2: np.ndarray
    dhi_w_m2: np.ndarray
    air_c: np.ndarray
    wind_m_s: np.ndarray         # at 10 m


def read_station(path: Path) -> Station:
    """Read a file of any of the three formats, known by its content. Raises WeatherFileError."""
    text = _text(path)
    lines = text.splitlines()
    try:
        if lines[0].startswith("LOCATION,"):
            return _epw(path, lines)
        if len(lines) > 1 and lines[1].startswith("Date (MM/DD/YYYY)"):
            return _tmy3(lines)
        if re.match(r"\s*\d{5}\s.*\s[NS]\s+\d+\s+\d+\s+[EW]\s+\d+\s+\d+\s+-?\d+\s*$", lines[0]):
            return _tmy2(path)
    except WeatherFileError:
        raise
    except (ValueError, KeyError, IndexError, TypeError, AttributeError) as problem:
        raise WeatherFileError(f"{path.name} begins like a weather file but can't be read to its end: {problem}. "
                               "Download it again, or take another file for the place.") from None
    raise WeatherFileError(f"{path.name} is none of the three formats read here: TMY3 (second line begins with "
                           '"Date (MM/DD/YYYY)"), TMY2, or EPW (first line begins with "LOCATION,").')


def _text(path: Path) -> str:
    if not path.is_file():
        raise WeatherFileError(f"the weather file {path.name} is not there. weather.file is a path inside the batch "
                               'folder, for example "weather/town.epw".')
    if path.stat().st_size > MOST_BYTES:
        raise WeatherFileError(f"{path.name} is larger than {MOST_BYTES // 1_000_000} MB; a year of hours is under "
                               "2 MB. Take the file of one typical year.")
    text = path.read_bytes().decode("latin-1")  # every byte is a letter in Latin-1: accents in names never stop it
    if not text.strip():
        raise WeatherFileError(f"{path.name} is empty.")
    return text.removeprefix("\u00ef\u00bb\u00bf")


def _epw(path: Path, lines: list[str]) -> Station:
    head = lines[0].split(",")
    if len(head) != 10:
        raise WeatherFileError(f"{path.name}: the LOCATION line has {len(head)} fields, 10 are expected. A decimal comma "
                               '("5,5" for 5.5) or a comma in a name does this; mend the line.')
    rows = []
    for line in lines[EPW_HEADER_LINES:]:
        fields = line.split(",")
        if line.strip() and not (fields[1].strip() == "2" and fields[2].strip() == "29"):
            rows.append(",".join((fields + [""] * EPW_COLUMNS)[:EPW_COLUMNS]))   # older files have 32 columns
    years = [int(row.split(",", 1)[0]) for row in rows]
    data, meta = iotools.read_epw(io.StringIO("\n".join(lines[:EPW_HEADER_LINES] + rows) + "\n"), MODEL_YEAR)
    return Station("EPW", _plain(meta["city"]), meta["latitude"], meta["longitude"], meta["altitude"], meta["TZ"],
                   (min(years), max(years)), *_columns(data, "month", "day", "hour", "ghi", "dni", "dhi", "temp_air",
                                                       "wind_speed"))


def _tmy3(lines: list[str]) -> Station:
    kept = [line for line in lines if not line.startswith("02/29/")]
    data, meta = iotools.read_tmy3(io.StringIO("\n".join(kept) + "\n"), coerce_year=MODEL_YEAR)
    dates = [date.split("/") for date in data["Date (MM/DD/YYYY)"]]
    clock = [time.split(":") for time in data["Time (HH:MM)"]]
    # 00:00 is another writer's way for the end of the day before; such rows are then out of order and refused.
    hours = np.array([int(h) if int(m) == 0 else -1 for h, m in clock])
    years = [int(date[2]) for date in dates]
    return Station("TMY3", _plain(meta["Name"]), meta["latitude"], meta["longitude"], meta["altitude"], meta["TZ"],
                   (min(years), max(years)), np.array([int(d[0]) for d in dates]), np.array([int(d[1]) for d in dates]),
                   hours, *_columns(data, "ghi", "dni", "dhi", "temp_air", "wind_speed"))


def _tmy2(path: Path) -> Station:
    data, meta = iotools.read_tmy2(str(path))
    years = 1900 + data["year"].to_numpy().astype(int)
    values = _columns(data, "month", "day", "hour", "GHI", "DNI", "DHI", "DryBulb", "Wspd")
    values[6:] = [tenths / 10.0 for tenths in values[6:]]
    return Station("TMY2", _plain(meta["City"]), meta["latitude"], meta["longitude"], meta["altitude"],
                   float(meta["TZ"]), (int(years.min()), int(years.max())), *values)


def _columns(data, *names: str) -> list[np.ndarray]:
    return [data[name].to_numpy(dtype=float) for name in names]


def _plain(name: str) -> str:
    return name.strip().strip('"').strip().title()
