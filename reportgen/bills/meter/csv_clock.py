"""Times of a CSV export, as written, to starts of intervals in UTC.

On the household's clock one hour of spring is missing and one of autumn comes twice; a file may follow that clock, or
run through in standard time. Which it does is found out from the hour that its clock would have left out.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, timedelta
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

import numpy as np

from reportgen.bills.meter.errors import MeterFileError

DAY_S = 86400
_GRID_S = 900                # clocks are put forward and back at quarter hours


@dataclass(frozen=True, eq=False)
class Placed:
    start_utc: np.ndarray
    keep: np.ndarray             # False for rows of the hour that spring leaves out
    note: str


def day_first(first, second, named) -> bool | None:
    """Whether dates of two plain numbers begin with the day; None where the file leaves it open."""
    plain = ~named
    if not plain.any() or (second[plain] > 12).any():
        return False
    if (first[plain] > 12).any():
        return True
    return None


def step_of(naive) -> int:
    """The usual distance of two rows [s]."""
    apart = np.diff(np.sort(naive))
    apart = apart[apart > 0]
    if not len(apart):
        return 0
    values, counts = np.unique(apart, return_counts=True)
    return int(values[np.argmax(counts)])


def late_midnights(naive) -> np.ndarray:
    """Rows stamped 00:00 that come after 23 h of the same date: the midnight that ends that day."""
    before = np.concatenate(([naive[0]], naive[:-1]))
    return (naive % DAY_S == 0) & (before // DAY_S == naive // DAY_S) & (before % DAY_S >= 20 * 3600)


def time_zone_of(name: str) -> ZoneInfo:
    try:
        return ZoneInfo(name)
    except (ZoneInfoNotFoundError, ValueError, OSError):
        raise MeterFileError("the time zone named for the meter file is not known; an IANA name such as "
                             "America/New_York, or UTC, is expected.") from None


def place(naive, step_s: int, stamps: str, zone_name: str, empty) -> Placed:
    """Starts in UTC of rows in order of time, stamped on the clock of a zone.

    naive: seconds since 1970 by the clock on the wall; empty: rows whose values are all zero or missing.
    """
    zone = time_zone_of(zone_name)
    if stamps == "start":
        return _local(naive, zone, zone_name, empty)
    # An end may be the start's clock plus the step, or the true clock at the end; they differ where the clock changes.
    by_start = _local(naive - step_s, zone, zone_name, empty)
    ends = _local(naive, zone, zone_name, empty)
    by_end = Placed(ends.start_utc - step_s, ends.keep, ends.note)
    return min((by_start, by_end), key=lambda placed: _faults(placed, step_s))


def _faults(placed: Placed, step_s: int) -> int:
    apart = np.diff(np.sort(placed.start_utc[placed.keep]))
    return int((apart == 0).sum() + (apart > step_s).sum() + (~placed.keep).sum())


def _local(naive, zone: ZoneInfo, name: str, empty) -> Placed:
    keep = np.ones(len(naive), dtype=bool)
    summer, winter = _offsets(naive, zone)
    skipped, doubled = summer < winter, summer > winter      # hours that the clock leaves out, and has twice
    if skipped.any():
        if (skipped & ~empty).any():
            standard = int(summer[skipped].min())
            return Placed(naive - standard, keep, f"Time zone: {name}, but in standard time all year (UTC{standard / 3600:+g} h): the "
                          "hour that summer time would leave out is there. If the times are UTC, write time_zone: \"UTC\".")
        keep = ~skipped
    offset = summer.copy()
    seen: dict[int, int] = {}
    for k in np.flatnonzero(doubled):
        seen[int(naive[k])] = seen.get(int(naive[k]), 0) + 1
        if seen[int(naive[k])] > 1:
            offset[k] = winter[k]
    follows = len(np.unique(summer)) > 1
    note = f"Time zone: {name}{', with its summer time' if follows else ''}."
    if not keep.all():
        note += f" Empty rows of the hour that spring leaves out, passed over: {int((~keep).sum())}."
    return Placed(naive - offset, keep, note)


def _offsets(naive, zone: ZoneInfo) -> tuple[np.ndarray, np.ndarray]:
    """Offsets from UTC [s] at the first and the second coming of each time on the wall."""
    grid, at = np.unique(naive // _GRID_S, return_inverse=True)
    pairs = []
    for quarter in grid.tolist():
        local = (datetime(1970, 1, 1) + timedelta(seconds=quarter * _GRID_S)).replace(tzinfo=zone)
        pairs.append([int(local.replace(fold=fold).utcoffset().total_seconds()) for fold in (0, 1)])
    both = np.array(pairs, dtype=np.int64)[at]
    return both[:, 0], both[:, 1]
