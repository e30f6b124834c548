"""CSV exports of interval readings: everything about them is found out, said in plain sentences, and can be overruled."""

from __future__ import annotations

from pathlib import Path

import numpy as np

from reportgen.bills.meter.csv_cells import Stamp, naive_seconds
from reportgen.bills.meter.csv_clock import DAY_S, day_first, late_midnights, place, step_of
from reportgen.bills.meter.csv_layout import WORDS_OF_DELIMITER, Layout, find_layout
from reportgen.bills.meter.csv_rows import NO_OFFSET, Rows, decimal_comma, head_of, read_rows, text_encoding
from reportgen.bills.meter.errors import MeterFileError
from reportgen.bills.meter.readings import MeterReadings, settle
from reportgen.describe.meter_file import MeterFile

LEAST_YEAR_KWH, MOST_YEAR_KWH = 200.0, 150_000.0     # what a household may use; common practice, no source
HOME_LIMIT_KWH = 1_000_000.0
COUNTER_ROWS = 48            # so many rows that never fall are a counter's
_ENCODINGS = {"utf-8-sig": "UTF-8", "utf-16": "UTF-16", "cp1252": "Windows (Western)"}


def read_csv_export(path: Path, settings: MeterFile | None = None, time_zone: str | None = None) -> MeterReadings:
    """Readings of a CSV export. Raises MeterFileError. See read_meter_file for the arguments."""
    path, settings = Path(path), settings or MeterFile(file="meter.csv")
    encoding = text_encoding(path)
    lines = head_of(path, encoding)
    layout = find_layout(lines, settings)
    comma = decimal_comma(lines, layout, settings.decimal)
    rows = read_rows(path, encoding, layout, comma)
    notes = _about(layout, rows, encoding, comma)
    naive, order = _naive(rows, notes)
    taken, offset = np.frombuffer(rows.taken)[order], np.array(rows.offset)[order]
    sent = None if layout.sent is None else np.frombuffer(rows.sent)[order]
    naive, stamps, step = _stamps(naive, layout, rows, settings, notes)
    known = np.isfinite(taken) if sent is None else np.isfinite(taken) & np.isfinite(sent)
    empty = ~known | ((taken == 0) & (True if sent is None else sent == 0))
    start, seconds, keep = _starts(naive, offset, step, stamps, layout, settings, time_zone, empty, notes)
    keep &= known
    if not known.all():
        notes.append(f"Rows without a number, which count as missing: {int((~known).sum()):,}.")
    start, seconds, taken, sent = start[keep], seconds[keep], taken[keep], None if sent is None else sent[keep]
    if len(start) < 2 or step <= 0:
        raise MeterFileError("the meter file holds fewer than two readings at different times. Download the "
                             "interval readings of a year.")
    _no_counter(taken, sent)
    per_unit = _kwh_per_unit(np.abs(taken), step, layout, settings, notes)
    taken, sent = _directions(taken * per_unit, None if sent is None else sent * per_unit, settings, notes)
    return settle("CSV", start, seconds, taken, sent, {}, notes)


def _about(layout: Layout, rows: Rows, encoding: str, comma: bool) -> list[str]:
    notes = ["Kind: CSV export.", f"Letters: {_ENCODINGS[encoding]}.", f"Delimiter: {WORDS_OF_DELIMITER[layout.delimiter]}.",
             f"Decimal sign: {'comma' if comma else 'point'}."]
    if layout.skipped:
        notes.append(f"Rows before the readings, left out unread: {layout.skipped}.")
    notes.append(f"Time: {_column(layout, layout.date)}"
                 f"{'' if layout.time is None else f' with {_column(layout, layout.time)}'}.")
    notes.append(f"Import: {_column(layout, layout.taken)}.")
    if layout.sent is not None:
        notes.append(f"Export: {_column(layout, layout.sent)}.")
    if layout.passed_over:
        notes.append(f"Other columns of numbers, passed over: {layout.passed_over}.")
    if rows.totals:
        notes.append(f"Rows of totals, left out: {rows.totals}.")
    if rows.after:
        notes.append(f"Rows after the last reading, left out: {rows.after}.")
    return notes


def _column(layout: Layout, k: int) -> str:
    return f"column {k + 1}" + (f" “{layout.names[k]}”" if layout.names[k] else "")


def _naive(rows: Rows, notes: list[str]) -> tuple[np.ndarray, np.ndarray]:
    """Seconds since 1970 on the wall's clock in order of time, and the order in which the file's rows give that."""
    first, second, named = np.array(rows.first), np.array(rows.second), np.array(rows.named, dtype=bool)
    begins = day_first(first, second, named)
    if begins is None:
        tries = {choice: _wall(rows, choice) for choice in (False, True)}
        gaps = {choice: len(np.unique(np.diff(wall))) for choice, wall in tries.items()}
        if gaps[False] == gaps[True] and not np.array_equal(tries[False], tries[True]):
            raise MeterFileError("dates such as 3/4/2024 in the meter file could be March 4 or April 3, and no row "
                                 "tells. Give a file of more days, or dates written 2024-03-04.")
        begins = gaps[True] < gaps[False]
    if not named.all():
        notes.append(f"Dates: {'day' if begins else 'month'} first.")
    wall = _wall(rows, begins)
    order = np.arange(len(wall))
    if (np.diff(wall) < 0).sum() > (np.diff(wall) > 0).sum():
        order = order[::-1]
        notes.append("Order: the newest row comes first.")
    return wall[order], order


def _wall(rows: Rows, begins: bool) -> np.ndarray:
    days: dict[tuple, int | None] = {}
    result = np.empty(len(rows.year), dtype=np.int64)
    for k, key in enumerate(zip(rows.year, rows.first, rows.second, rows.named, strict=True)):
        if key not in days:
            days[key] = naive_seconds(Stamp(*key[:3], bool(key[3]), 0, None, False), begins)
        if days[key] is None:
            raise MeterFileError(f"line {rows.line[k]} of the meter file holds a date that is in no calendar. Mend "
                                 "or remove it.")
        result[k] = days[key] + rows.seconds[k]
    return result


def _stamps(naive, layout: Layout, rows: Rows, settings: MeterFile, notes: list[str]) -> tuple[np.ndarray, str, int]:
    """Times with their midnights set right, whether they name starts or ends, and the step [s]."""
    of_day = np.array(rows.seconds)
    late = late_midnights(naive)
    ends_by_midnight = late.sum() > 0 and late.sum() >= 0.5 * (naive % DAY_S == 0).sum()
    if ends_by_midnight:
        naive = np.where(late, naive + DAY_S, naive)
        notes.append("Midnight keeps the date of the day that it ends; it was taken as the end of that day.")
    step = step_of(naive)
    if layout.time is not None or (of_day > 0).any():
        half_clock = step <= 3600 and of_day.max() < 13 * 3600 and len(naive) > 1.5 * len(np.unique(naive)) and len(naive) > 12
        if half_clock:
            raise MeterFileError("the times of the meter file run to 12 only and come twice a day, without AM or "
                                 "PM. Download it with a 24-hour clock.")
    how = ""
    if settings.stamps:
        stamps, how = settings.stamps, "as the house file says"
    elif layout.stamps:
        stamps, how = layout.stamps, "by the column's name"
    elif (of_day == DAY_S).any() or ends_by_midnight:
        stamps, how = "end", "by its midnights"
    elif len(naive) > 2 and naive[0] % DAY_S == step and naive[-1] % DAY_S == 0 and step < DAY_S:
        stamps, how = "end", "by the first and last row"
    elif layout.hour_numbers and of_day.min() > 0:
        stamps, how = "end", "the hours count from 1"
    else:
        stamps, how = "start", "nothing in the file says otherwise"
    notes.append(f"Times name the {stamps} of each interval ({how}).")
    return naive, stamps, step


def _starts(naive, offset, step: int, stamps: str, layout: Layout, settings: MeterFile, house_zone: str | None,
            empty, notes):
    """Starts in UTC, how long each interval lasts [s], and which rows to keep."""
    lengths = np.full(len(naive), step)
    written = offset != NO_OFFSET
    if settings.time_zone is None and written.all():
        zones = sorted({f"UTC{o / 3600:+g} h" for o in np.unique(offset).tolist()})
        notes.append(f"Time zone: each time says its own ({', '.join(zones)}).")
        return naive - offset - (step if stamps == "end" else 0), lengths, np.ones(len(naive), dtype=bool)
    if settings.time_zone is None and written.any():
        raise MeterFileError("some times of the meter file say their distance from UTC and others do not. Write "
                             "time_zone: for the file, or download it again.")
    zone = settings.time_zone or ("UTC" if layout.is_utc else house_zone)
    if zone is None:
        raise MeterFileError('the times of the meter file say no time zone, and the house file has none. Write '
                             'place.time_zone, for example "America/New_York".')
    placed = place(naive, step, stamps, zone, empty)
    notes.append(placed.note)
    if step > 0 and step % DAY_S == 0:      # days by the wall's clock last 23 or 25 hours where it changes
        lengths = place(naive + step, step, stamps, zone, empty).start_utc - placed.start_utc
    return placed.start_utc, lengths, placed.keep.copy()


def _no_counter(taken, sent) -> None:
    for values in (taken, sent):
        if values is None or len(values) < COUNTER_ROWS:
            continue
        apart = np.diff(values)
        if (apart >= 0).all() and values[-1] > values[0] and (apart > 0).sum() > COUNTER_ROWS / 2:
            raise MeterFileError("the numbers of the meter file never fall: they are a counter's level, not the "
                                 "energy of each interval. Download the interval data.")


def _kwh_per_unit(size, step: int, layout: Layout, settings: MeterFile, notes: list[str]) -> float:
    hours = step / 3600.0
    year = float(size.mean()) / hours * 8760.0
    unit, how = settings.unit or layout.unit, "as the house file says" if settings.unit else "by the file"
    if unit is None:
        if step != 3600:
            raise MeterFileError("the unit of the numbers in the meter file is named nowhere, and by the size "
                                 "alone energy and mean "
                                 'power can\'t be told apart. Write unit: "kWh", "Wh", "kW" or "W".')
        unit = next((u for u, k in (("kWh", 1.0), ("Wh", 1e-3)) if LEAST_YEAR_KWH <= year * k <= MOST_YEAR_KWH), None)
        if unit is None:
            raise MeterFileError("the unit of the numbers in the meter file is named nowhere: as kWh they make "
                                 f"{year:,.3g} kWh a year, "
                                 'as Wh a thousandth of it, and neither is a household\'s. Write unit: "kWh", '
                                 '"Wh", "kW" or "W".')
        how = f"named nowhere; by its size, {year * (1.0 if unit == 'kWh' else 1e-3):,.0f} kWh a year"
    per_unit = {"kWh": 1.0, "Wh": 1e-3, "kW": hours, "W": hours * 1e-3}[unit]
    if not settings.unit and year * per_unit > HOME_LIMIT_KWH:
        raise MeterFileError(f"the numbers of the meter file, read as {unit}, make more than {HOME_LIMIT_KWH:,.0f} "
                             "kWh a year, which is no household's. Write the right unit:.")
    notes.append(f"Unit: {unit}{', the mean power of each interval' if unit in ('kW', 'W') else ''} ({how}).")
    return per_unit


def _directions(taken, sent, settings: MeterFile, notes: list[str]):
    below = int((taken < 0).sum())
    if sent is not None:
        if below:
            raise MeterFileError(f"{below:,} numbers in the column of import are negative though export has a "
                                 "column of its own. Write import_column and export_column, or export: negative.")
        if (sent < 0).any() and (sent > 0).any():
            raise MeterFileError("the column of export holds both positive and negative numbers. Write "
                                 "export_column: for the right one.")
        notes.append(f"Export: a column of its own{', written as negative numbers' if (sent < 0).any() else ''}.")
        return taken, np.abs(sent)
    if settings.export == "none" and below:
        raise MeterFileError(f"the house file says export: none, but {below:,} numbers are negative. Leave export "
                             "out if they are power sent to the grid.")
    if below or settings.export == "negative":
        notes.append(f"Export: negative numbers in the same column ({below:,} intervals), net within each interval.")
        return np.maximum(taken, 0.0), np.maximum(-taken, 0.0)
    notes.append("Export: none in the file.")
    return taken, None
