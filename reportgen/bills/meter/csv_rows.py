"""The rows of a CSV export, read one by one: times and energy are kept, every other cell is forgotten at once."""

from __future__ import annotations

import csv
import re
from array import array
from dataclasses import dataclass, field
from pathlib import Path

from reportgen.bills.meter.csv_cells import comma_is_decimal, is_blank, read_date, read_number, read_time
from reportgen.bills.meter.csv_layout import Layout, rows_of
from reportgen.bills.meter.errors import MeterFileError

HEAD_LINES = 400
NO_OFFSET = 10**6
TOTAL = re.compile(r"\s*(grand[ -]|sub-?)?(totals?|sum|summe|gesamt)(\s*\(?kwh\)?)?:?\s*", re.IGNORECASE)


@dataclass
class Rows:
    """As written, in the file's order. One item a row that has a time."""

    year: array = field(default_factory=lambda: array("h"))
    first: array = field(default_factory=lambda: array("h"))
    second: array = field(default_factory=lambda: array("h"))
    named: array = field(default_factory=lambda: array("b"))
    seconds: array = field(default_factory=lambda: array("l"))
    offset: array = field(default_factory=lambda: array("l"))        # [s] east of UTC, or NO_OFFSET
    taken: array = field(default_factory=lambda: array("d"))         # NaN where the cell is empty
    sent: array = field(default_factory=lambda: array("d"))
    line: array = field(default_factory=lambda: array("l"))
    totals: int = 0
    after: int = 0               # rows after the last reading that hold none


def text_encoding(path: Path) -> str:
    """utf-8-sig, utf-16 or cp1252. Raises MeterFileError where the file is no text."""
    with path.open("rb") as file:
        head = file.read(4096)
    if head.startswith((b"\xff\xfe", b"\xfe\xff")):
        encoding = "utf-16"
    elif b"\0" in head:
        raise MeterFileError("the meter file is not text: it holds zero bytes. Save the readings as CSV in UTF-8.")
    else:
        encoding = "utf-8-sig"
    for name in (encoding, "cp1252"):
        try:
            with path.open(encoding=name, newline="") as file:
                while part := file.read(1 << 20):
                    if "\0" in part:
                        raise MeterFileError("the meter file is not text: it holds zero bytes. Save the readings "
                                             "as CSV in UTF-8.")
            return name
        except UnicodeError:
            if encoding == "utf-16":
                break
    raise MeterFileError("the letters of the meter file are in no encoding read here (UTF-8, UTF-16, Windows). "
                         "Save the readings as CSV in UTF-8.")


def head_of(path: Path, encoding: str) -> list[str]:
    lines = []
    with path.open(encoding=encoding, newline="") as file:
        while len(lines) < HEAD_LINES and (line := file.readline(100_000)):
            lines.append(line)
    return lines


def decimal_comma(lines: list[str], layout: Layout, asked: str | None) -> bool:
    if asked is not None:
        return asked == "comma"
    columns = [layout.taken] + ([] if layout.sent is None else [layout.sent])
    rows = rows_of(lines, layout.delimiter)[layout.header_row:]
    comma = comma_is_decimal([row[k] for row in rows for k in columns if len(row) == layout.width], layout.delimiter)
    if comma is None:
        raise MeterFileError("numbers such as 1,234 in the meter file could mean 1.234 or 1234. Write decimal: "
                             "point or decimal: comma.")
    return comma


def read_rows(path: Path, encoding: str, layout: Layout, comma: bool) -> Rows:
    """Raises MeterFileError with the number of the line that can't be read."""
    rows = Rows()
    meters: dict[int, int] = {}
    unread: list[int] = []
    head: list[str] = []
    with path.open(encoding=encoding, newline="") as file:
        reader = csv.reader(file, delimiter=layout.delimiter)
        try:
            for number, row in enumerate(reader):
                if number < layout.header_row:
                    head = row
                    continue
                if not any(cell.strip() for cell in row) or row == head:   # two downloads put together: the names come again
                    continue
                if any(TOTAL.fullmatch(cell) for cell in row):
                    rows.totals += 1
                elif not _keep(row, layout, comma, rows, reader.line_num):
                    unread.append(reader.line_num)
                else:
                    if unread:
                        raise MeterFileError(f"line {unread[0]} of the meter file has no date and time that can be "
                                             "read, though readings follow it. Mend or remove that line.")
                    _one_meter(row, layout, meters, reader.line_num)
        except csv.Error:
            raise MeterFileError(f"line {reader.line_num} of the meter file can't be split into columns: a "
                                 "quotation mark is never closed, or a cell is far too long. Download the file "
                                 "again.") from None
    rows.after = len(unread)
    if not rows.year:
        raise MeterFileError("the meter file holds no rows with a time that can be read. Download the interval "
                             "readings again.")
    return rows


def _keep(row: list[str], layout: Layout, comma: bool, rows: Rows, line: int) -> bool:
    """True where the row has a date and a time; its energy may be missing."""
    if max(layout.date, layout.time or 0) >= len(row):
        return False
    stamp = read_date(row[layout.date])
    if stamp is None:
        return False
    seconds, offset = stamp.seconds, stamp.offset_s
    if layout.time is not None:
        if layout.hour_numbers:
            cell = row[layout.time].strip()
            if not cell.isdecimal() or int(cell) > 24:
                return False
            seconds = int(cell) * 3600
        else:
            clock = read_time(row[layout.time])
            if clock is None:
                return False
            seconds, offset = clock[0], clock[1] if clock[1] is not None else offset
    taken = _energy(row, layout.taken, comma, line)
    sent = None if layout.sent is None else _energy(row, layout.sent, comma, line)
    rows.year.append(stamp.year)
    rows.first.append(stamp.first)
    rows.second.append(stamp.second)
    rows.named.append(stamp.named)
    rows.seconds.append(seconds)
    rows.offset.append(NO_OFFSET if offset is None else offset)
    rows.taken.append(taken)
    rows.line.append(line)
    if sent is not None:
        rows.sent.append(sent)
    return True


def _energy(row: list[str], column: int, comma: bool, line: int) -> float:
    cell = row[column] if column < len(row) else ""
    if is_blank(cell):
        return float("nan")
    value = read_number(cell, comma)
    if value is None or abs(value) > 1e12:
        raise MeterFileError(f"line {line} of the meter file: column {column + 1} should hold a number with a "
                             f"decimal {'comma' if comma else 'point'}, or nothing. Mend that line, or write "
                             "decimal, import_column or export_column.")
    return value


def _one_meter(row: list[str], layout: Layout, meters: dict[int, int], line: int) -> None:
    for column in layout.meters:
        if column < len(row) and row[column].strip():
            mark = hash(row[column].strip())
            if meters.setdefault(column, mark) != mark:
                raise MeterFileError(f"line {line} of the meter file belongs to another meter or account than the "
                                     f"lines before (column {column + 1}). Download the file of one meter.")
