"""Satellite hours once fetched are kept, so that nothing is asked twice for one rounded place and the same years.

They lie in the user's cache folder, one compressed CSV for a place and its years; its first line says the day on which
the hours were retrieved.
"""

from __future__ import annotations

import gzip
import io
import os
import re
from collections.abc import Callable
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import date
from pathlib import Path

import pandas as pd
import platformdirs

HEAD = re.compile(r"# retrieved (\d{4}-\d{2}-\d{2}), ")


@dataclass(frozen=True, eq=False)
class KeptHours:
    hours: pd.DataFrame      # as satellite_service.hours_utc gives them
    retrieved: date


def folder() -> Path:
    return platformdirs.user_cache_path("reportgen") / "satellite"


def kept_hours(latitude: float, longitude: float, first_year: int, last_year: int, fetch: Callable[..., pd.DataFrame],
               today: Callable[[], date] = date.today) -> KeptHours:
    """The hours at a place rounded to 0.1°, from the cache folder, else fetched and kept.

    fetch(latitude, longitude, first_year, last_year) is called at most once, also with several processes at work.
    """
    path = folder() / f"{latitude:+05.1f}_{longitude:+06.1f}_{first_year}-{last_year}.csv.gz"
    if (found := _read(path)) is not None:
        return found
    path.parent.mkdir(parents=True, exist_ok=True)
    with _locked(path.with_suffix(".lock")):
        if (found := _read(path)) is not None:      # another process was faster
            return found
        hours = fetch(latitude, longitude, first_year, last_year)
        _write(path, hours, today(), f"{latitude:g}, {longitude:g}")
    return _read(path)


def _read(path: Path) -> KeptHours | None:
    """None where nothing usable is kept."""
    try:
        text = gzip.decompress(path.read_bytes()).decode("utf-8")
        first, _, rest = text.partition("\n")
        hours = pd.read_csv(io.StringIO(rest), index_col=0)
        hours.index = pd.to_datetime(hours.index, utc=True)
        return KeptHours(hours, date.fromisoformat(HEAD.match(first)[1]))
    except (OSError, EOFError, ValueError, TypeError):
        return None


def _write(path: Path, hours: pd.DataFrame, day: date, place: str) -> None:
    text = io.StringIO()
    text.write(f"# retrieved {day.isoformat()}, {place}; UTC, start of the hour\n")
    hours.to_csv(text, float_format="%.2f", date_format="%Y-%m-%dT%H:%MZ")
    aside = path.with_suffix(".part")
    aside.write_bytes(gzip.compress(text.getvalue().encode("utf-8"), mtime=0))
    os.replace(aside, path)


@contextmanager
def _locked(path: Path):
    with open(path, "w", encoding="utf-8") as file:
        try:
            import fcntl
            fcntl.flock(file, fcntl.LOCK_EX)
        except ImportError:
            pass                 # Windows: two processes may both ask, and the second's answer stands
        yield
