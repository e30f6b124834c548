"""MeterReadings: what both kinds of meter file are brought to. Times are UTC; nothing private is in it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

import numpy as np

from reportgen.bills.meter.errors import MeterFileError
from reportgen.bills.meter.year import MeterYear, year_of_hours

EARLIEST = datetime(2000, 1, 1, tzinfo=UTC).timestamp()
LATEST = datetime(2100, 1, 1, tzinfo=UTC).timestamp()
SAME_KWH = 1e-9              # two copies of a reading may differ by a rounding


@dataclass(frozen=True, eq=False)
class MeterReadings:
    """Readings in order of time, none twice, none overlapping. Arrays are read-only and of one length."""

    kind: str                          # "Green Button" or "CSV"
    start_utc: np.ndarray              # int64, seconds since 1970-01-01 00:00 UTC
    seconds: np.ndarray                # int64, how long each reading lasts
    import_kwh: np.ndarray             # taken from the grid in that time
    export_kwh: np.ndarray | None      # sent to the grid, positive; None where the file holds no export
    quality: Mapping[str, int]         # words of the schema to how many readings carry them; empty where none does
    found: tuple[str, ...]             # plain sentences: what was found out about the file
    gaps: tuple[tuple[int, int], ...]  # (start UTC, seconds) of the holes between readings

    @property
    def step_s(self) -> int:
        """The usual length of a reading [s]."""
        values, counts = np.unique(self.seconds, return_counts=True)
        return int(values[np.argmax(counts)])

    def hours(self, utc_offset_h: float, year: int | None = None) -> MeterYear:
        """A year of 8,760 hours of local standard time. Raises MeterFileError.

        utc_offset_h: local standard time = UTC + this, as in TypicalYear.
        year: a calendar year that the file must hold; the latest twelve months where None.
        """
        return year_of_hours(self.start_utc, self.seconds, self.import_kwh, self.export_kwh, utc_offset_h, year)

    def month_sums(self, time_zone: str) -> dict[tuple[int, int], float]:
        """(year, month) by the household's clock to kWh taken from the grid. A reading belongs where it starts."""
        zone = ZoneInfo(time_zone)
        sums: dict[tuple[int, int], float] = {}
        for start, kwh in zip(self.start_utc.tolist(), self.import_kwh.tolist(), strict=True):
            local = datetime.fromtimestamp(start, zone)
            sums[local.year, local.month] = sums.get((local.year, local.month), 0.0) + kwh
        return sums


def settle(kind: str, start_utc, seconds, import_kwh, export_kwh, quality: Mapping[str, int], found) -> MeterReadings:
    """Sort, drop repeats, refuse contradictions, find the gaps. Raises MeterFileError."""
    start, length = np.asarray(start_utc, dtype=np.int64), np.asarray(seconds, dtype=np.int64)
    taken = np.asarray(import_kwh, dtype=float)
    sent = None if export_kwh is None else np.asarray(export_kwh, dtype=float)
    notes = list(found)
    _plausible(start, length, taken, sent)
    in_order = bool(np.all(np.diff(start) >= 0))
    order = np.lexsort((length, start))
    start, length, taken = start[order], length[order], taken[order]
    sent = None if sent is None else sent[order]
    if not in_order:
        notes.append("The readings were not in order of time; they were sorted.")
    again = np.concatenate(([False], np.diff(start) == 0))
    if again.any():
        _same(again, start, length, taken, sent)
        keep = ~again
        start, length, taken = start[keep], length[keep], taken[keep]
        sent = None if sent is None else sent[keep]
        notes.append(f"Readings that came again with the same start and the same value: {int(again.sum()):,}; each "
                     "was counted once.")
    free = start[1:] - (start[:-1] + length[:-1])
    if (free < 0).any():
        k = int(np.flatnonzero(free < 0)[0])
        raise MeterFileError(f"the meter file holds {_count(int((free < 0).sum()), 'reading')} that begin before "
                             f"the one before has ended, first at {utc_words(start[k + 1])}. Readings of two "
                             "lengths or two meters seem mixed; download one.")
    holes = np.flatnonzero(free > 0)
    gaps = tuple((int(start[k] + length[k]), int(free[k])) for k in holes)
    for array in (start, length, taken, *(() if sent is None else (sent,))):
        array.setflags(write=False)
    result = MeterReadings(kind, start, length, taken, sent, dict(quality), (), gaps)
    return replace(result, found=(*notes, *_described(result)))


def _described(readings: MeterReadings) -> list[str]:
    start, length = readings.start_utc, readings.seconds
    span = f"from {utc_words(start[0])} to {utc_words(start[-1] + length[-1])}"
    lines = [f"Readings: {len(start):,}, each of {length_words(readings.step_s)}, {span}."]
    other = length != readings.step_s
    if other.any():
        lengths = ", ".join(length_words(int(v)) for v in np.unique(length[other])[:4])
        lines.append(f"Readings of another length: {int(other.sum()):,} ({lengths}).")
    lines.append(f"Taken from the grid: {readings.import_kwh.sum():,.3f} kWh in all.")
    if readings.export_kwh is not None:
        lines.append(f"Sent to the grid: {readings.export_kwh.sum():,.3f} kWh in all.")
    if readings.gaps:
        hours = sum(s for _, s in readings.gaps) / 3600
        lines.append(f"Gaps: {len(readings.gaps):,}, {hours:,.4g} h in all, the first at {utc_words(readings.gaps[0][0])}.")
    else:
        lines.append("Gaps: none.")
    if readings.quality:
        parts = ", ".join(f"{count:,} {words}" for words, count in readings.quality.items())
        lines.append(f"Quality marks: {parts}; readings without a mark count as good.")
    return lines


def _plausible(start, length, taken, sent) -> None:
    if not len(start):
        raise MeterFileError("the meter file holds no readings. Download the interval data, by the hour or finer, "
                             "of a year.")
    if len(start) > 1 and (start == start[0]).all():
        raise MeterFileError(f"all {len(start):,} readings carry the same start time, so it can't be known when "
                             "they were. Download the file again as interval data.")
    odd = (start < EARLIEST) | (start > LATEST)
    if odd.any():
        raise MeterFileError(f"the meter file holds {_count(int(odd.sum()), 'reading')} from before the year 2000 "
                             f"or after 2099, the first at {utc_words(start[odd][0])}. The file's clock was not "
                             "set; download it again.")
    if (length <= 0).any():
        raise MeterFileError(f"the meter file holds {_count(int((length <= 0).sum()), 'reading')} that last no time "
                             "at all; a length in seconds is expected. Download the file again.")
    for values in (taken, sent):
        if values is not None and not np.isfinite(values).all():
            raise MeterFileError("a reading is not a finite number. Download the file again.")


def _same(again, start, length, taken, sent) -> None:
    at = np.flatnonzero(again)
    differs = (length[at] != length[at - 1]) | (np.abs(taken[at] - taken[at - 1]) > SAME_KWH)
    if sent is not None:
        differs |= np.abs(sent[at] - sent[at - 1]) > SAME_KWH
    if differs.any():
        first = start[at[differs][0]]
        raise MeterFileError(f"the meter file holds {_count(int(differs.sum()), 'reading')} that contradict another "
                             f"of the same start, first at {utc_words(first)}. Either two meters are in one file, "
                             "or a reading was corrected; download the file of one meter again.")


def utc_words(seconds) -> str:
    try:
        return (datetime(1970, 1, 1) + timedelta(seconds=int(seconds))).strftime("%Y-%m-%d %H:%M UTC")
    except OverflowError:
        return "a time outside the calendar"


def length_words(seconds: int) -> str:
    if seconds % 86400 == 0:
        return _count(seconds // 86400, "day")
    if seconds % 3600 == 0:
        return _count(seconds // 3600, "hour")
    return f"{seconds / 60:g} minutes" if seconds % 60 == 0 else f"{seconds} seconds"


def _count(count: int, word: str) -> str:
    return f"1 {word}" if count == 1 else f"{count:,} {word}s"
