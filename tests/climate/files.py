"""EPW and NSRDB files made from the TMY3 file of Greensboro that pvlib carries, so that tests need no other file."""

from __future__ import annotations

import csv
from functools import cache
from pathlib import Path

import pvlib

PVLIB_DATA = Path(pvlib.__file__).parent / "data"
LOCATION = "LOCATION,Grünsborough,NC,USA,TMY3,723170,36.10,-79.95,-5.0,273.0"
HEADER = ("DESIGN CONDITIONS,0", "TYPICAL/EXTREME PERIODS,0", "GROUND TEMPERATURES,0",
          "HOLIDAYS/DAYLIGHT SAVINGS,No,0,0,0", "COMMENTS 1,", "COMMENTS 2,",
          "DATA PERIODS,1,1,Data,Sunday, 1/ 1,12/31")
GHI, DNI, DHI, AIR, WIND = 13, 14, 15, 6, 21   # places of the fields in a row of EPW


@cache
def _rows() -> tuple[tuple[str, ...], ...]:
    with (PVLIB_DATA / "723170TYA.CSV").open(encoding="utf-8", newline="") as file:
        next(file)
        rows = []
        for row in csv.DictReader(file):
            month, day, year = row["Date (MM/DD/YYYY)"].split("/")
            fields = ["9999"] * 35
            fields[:6] = [year, str(int(month)), str(int(day)), str(int(row["Time (HH:MM)"][:2])), "60", "?9?9"]
            for place, column in ((GHI, "GHI (W/m^2)"), (DNI, "DNI (W/m^2)"), (DHI, "DHI (W/m^2)"),
                                  (AIR, "Dry-bulb (C)"), (WIND, "Wspd (m/s)")):
                fields[place] = row[column]
            fields[32] = "999"   # albedo missing in every hour, as in many files: must never be used
            rows.append(tuple(fields))
    return tuple(rows)


def epw_lines(location: str = LOCATION, columns: int = 35, changed: dict[tuple[int, int], str] | None = None) -> list[str]:
    """Lines of the file. changed: {(row, field): text}."""
    lines = [location, *HEADER]
    rows = [list(row[:columns]) for row in _rows()]
    for (row, field), text in (changed or {}).items():
        rows[row][field] = text
    return lines + [",".join(row) for row in rows]


def nsrdb_lines(minute: str = "30", offset: str = "-5") -> list[str]:
    """The same year as CSV of the National Solar Radiation Database: two rows of head, then columns, hours from 0 to 23.

    Layout as in pvlib's `read_nsrdb_psm4` and its test files.
    """
    lines = ["Source,Location ID,City,State,Country,Latitude,Longitude,Time Zone,Elevation,Local Time Zone,GHI Units",
             f"NSRDB,1234,Grünsborough,NC,USA,36.10,-79.95,{offset},273,-5,w/m2",
             "Year,Month,Day,Hour,Minute,GHI,DNI,DHI,Temperature,Wind Speed"]
    for row in _rows():
        hour = str(int(row[3]) - 1)
        lines.append(",".join([*row[:3], hour, minute, *(row[place] for place in (GHI, DNI, DHI, AIR, WIND))]))
    return lines


def write_epw(path: Path, lines: list[str]) -> None:
    path.write_bytes(("\r\n".join(lines) + "\r\n").encode("latin-1"))
