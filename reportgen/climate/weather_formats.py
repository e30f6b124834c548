"""Four formats of weather file, brought to one shape: 8,760 rows of sun, air and wind, and where the station stands.

TMY3 ("Users Manual for TMY3 Data Sets", NREL/TP-581-43156), TMY2 ("User's Manual for TMY2s", 1995) and EPW are read by
pvlib. All three number the hours of a day 1 to 24 by their end; that number, not pvlib's time stamp, places a row.
CSV of the National Solar Radiation Database (two rows that describe the place, then named columns) is read here, since
pvlib takes whole-hour time zones alone. Its hours run from 0 to 23, stamped at their start or middle.
"""

from __future__ import annotations

import csv
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

    kind: str                    # "TMY3", "TMY2", "EPW", "NSRDB"
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
    """Read a file of any of the four formats, known by its content. Raises WeatherFileError."""
    text = _text(path)
    lines = text.splitlines()
    try:
        if lines[0].startswith("LOCATION,"):
            return _epw(path, lines)
        if len(lines) > 1 and lines[1].startswith("Date (MM/DD/YYYY)"):
            return _tmy3(lines)
        if len(lines) > 2 and lines[2].startswith("Year,Month,Day,Hour"):
            return _nsrdb(path, lines)
        if re.match(r"\s*\d{5}\s.*\s[NS]\s+\d+\s+\d+\s+[EW]\s+\d+\s+\d+\s+-?\d+\s*$", lines[0]):
            return _tmy2(path)
    except WeatherFileError:
        raise
    except (ValueError, KeyError, IndexError, TypeError, AttributeError) as problem:
        raise WeatherFileError(f"{path.name} begins like a weather file but can't be read to its end: {problem}. "
                               "Download it again, or take another file for the place.") from None
    raise WeatherFileError(f"{path.name} is none of the four formats read here: TMY3 (second line begins with "
                           '"Date (MM/DD/YYYY)"), TMY2, EPW (first line begins with "LOCATION,"), or NSRDB CSV '
                           '(third line begins with "Year,Month,Day,Hour").')


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


def _nsrdb(path: Path, lines: list[str]) -> Station:
    head = dict(zip(*csv.reader(lines[:2]), strict=False))
    rows = [row for row in csv.DictReader(lines[2:]) if not (int(row["Month"]) == 2 and int(row["Day"]) == 29)]
    column = {name: np.array([float(row[name]) if row[name].strip() else np.nan for row in rows])
              for name in ("Year", "Month", "Day", "Hour", "Minute", "GHI", "DNI", "DHI", "Temperature")}
    wind = [row.get("Wind Speed") or "nan" for row in rows]
    if not (len(set(column["Minute"])) == 1 and column["Minute"][0] in (0.0, 30.0)):
        found = ", ".join(f"{minute:02.0f}" for minute in sorted(set(column["Minute"]))[:5])
        raise WeatherFileError(f"{path.name}: the Minute column holds {found}; whole hours stamped 00 (their start) or 30 "
                               "(their middle) are expected. Take the file with one row an hour.")
    place = " ".join(part for key in ("City", "State", "Country") if (part := head.get(key, "").strip(" -b'\"")))
    return Station("NSRDB", _plain(place or f"grid cell {head.get('Location ID', '')}"), float(head["Latitude"]),
                   float(head["Longitude"]), float(head["Elevation"]), float(head["Time Zone"]),
                   (int(column["Year"].min()), int(column["Year"].max())), column["Month"], column["Day"],
                   column["Hour"] + 1, column["GHI"], column["DNI"], column["DHI"], column["Temperature"],
                   np.array(wind, dtype=float))


def _columns(data, *names: str) -> list[np.ndarray]:
    return [data[name].to_numpy(dtype=float) for name in names]


def _plain(name: str) -> str:
    return name.strip().strip('"').strip().title()
