"""Cells of a CSV export: which hold a date, a time of day, a number; and how to read them once their order is known."""

from __future__ import annotations

import re
from dataclasses import dataclass
from datetime import datetime

NAMES = ("jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec")
_DATE = (r"(?:(?P<y>\d{4})[-/.](?P<a>\d{1,2})[-/.](?P<b>\d{1,2})"
         r"|(?P<c>\d{1,2})(?P<sep>[-/. ])(?P<d>\d{1,2}|[A-Za-z]{3,9})[-/. ](?P<z>\d{4}|\d{2})"
         r"|(?P<name>[A-Za-z]{3,9})\.? (?P<e>\d{1,2}),? (?P<w>\d{4}))")
_TIME = (r"(?P<hour>\d{1,2})[:h](?P<minute>\d{2})(?:[:.](?P<second>\d{2})(?:[.,]\d+)?)?(?:\s*(?P<half>[AaPp])\.?[Mm]\.?)?"
         r"\s*(?P<zone>Z|UTC|GMT|[+-]\d{2}(?::?\d{2})?|[A-Z]{3,4})?")
DATE = re.compile(rf"\s*{_DATE}(?:[T ,]+{_TIME.replace('[:h]', '[:.h]')})?\s*")
TIME = re.compile(rf"\s*{_TIME}\s*")
NUMBER = re.compile(r"\s*[+-]?(?=[.,]?\d)[\d., \u00a0\u202f']*(?:[eE][+-]?\d{1,3})?\s*")
BLANK = {"", "-", "--", "n/a", "na", "nan", "null", "none", "#n/a", "missing", "no data"}
WITH_POINT = re.compile(r"[+-]?(?:\d{1,3}(?:,\d{3})+|\d*)(?:\.\d*)?(?:[eE][+-]?\d{1,3})?")
WITH_COMMA = re.compile(r"[+-]?(?:\d{1,3}(?:\.\d{3})+|\d*)(?:,\d*)?(?:[eE][+-]?\d{1,3})?")
DIGITS = str.maketrans("", "", " \u00a0\u202f'")


@dataclass(frozen=True)
class Stamp:
    """A date as written, in three numbers of unknown order, and the seconds of the day; offset_s where the cell says it."""

    year: int
    first: int
    second: int
    named: bool                  # the order is plain: a year first, or a month by name
    seconds: int
    offset_s: int | None
    has_time: bool


def is_date(cell: str) -> bool:
    return DATE.fullmatch(cell) is not None


def is_time(cell: str) -> bool:
    return TIME.fullmatch(cell) is not None


def is_number(cell: str) -> bool:
    return NUMBER.fullmatch(cell) is not None


def is_blank(cell: str) -> bool:
    return cell.strip().lower() in BLANK


def read_date(cell: str) -> Stamp | None:
    """The date, and the time where the cell holds one; None where it is no date. The numbers are not checked."""
    found = DATE.fullmatch(cell)
    if found is None:
        return None
    part = found.groupdict()
    if part["y"]:
        year, first, second, named = int(part["y"]), int(part["a"]), int(part["b"]), True
    else:
        word = part["name"] or (part["d"] if part["d"].isalpha() else None)
        year = int(part["w"] or part["z"])
        year += 2000 if year < 70 else 1900 if year < 100 else 0
        if word:
            if word[:3].lower() not in NAMES:
                return None
            first, second, named = NAMES.index(word[:3].lower()) + 1, int(part["e"] or part["c"]), True
        else:
            first, second, named = int(part["c"]), int(part["d"]), False
    if part["hour"] is None:
        return Stamp(year, first, second, named, 0, None, False)
    clock = _seconds(part)
    return None if clock is None else Stamp(year, first, second, named, clock, _offset(part["zone"]), True)


def read_time(cell: str) -> tuple[int, int | None] | None:
    """Seconds of the day and the offset from UTC where written; None where the cell is no time of day."""
    found = TIME.fullmatch(cell)
    if found is None:
        return None
    clock = _seconds(found.groupdict())
    return None if clock is None else (clock, _offset(found["zone"]))


def _seconds(part) -> int | None:
    hour, minute, second = int(part["hour"]), int(part["minute"]), int(part["second"] or 0)
    if part["half"]:
        if not 1 <= hour <= 12:
            return None
        hour = hour % 12 + (12 if part["half"] in "pP" else 0)
    if hour > 24 or minute > 59 or second > 59 or (hour == 24 and (minute or second)):
        return None
    return hour * 3600 + minute * 60 + second


def _offset(zone: str | None) -> int | None:
    """Letters such as EST are passed over: they are written all year by some, and by others change with the clock."""
    if not zone:
        return None
    if zone in ("Z", "UTC", "GMT"):
        return 0
    if zone[0] not in "+-":
        return None
    hours, minutes = int(zone[1:3]), int(zone[-2:]) if len(zone) > 3 else 0
    return (-1 if zone[0] == "-" else 1) * (hours * 3600 + minutes * 60)


def naive_seconds(stamp: Stamp, day_first: bool) -> int | None:
    """Seconds since 1970 by the clock on the wall; None where there is no such day."""
    month, day = stamp.first, stamp.second
    if not stamp.named and day_first:
        month, day = day, month
    try:
        return int((datetime(stamp.year, month, day) - datetime(1970, 1, 1)).total_seconds()) + stamp.seconds
    except ValueError:
        return None


def read_number(cell: str, comma: bool) -> float | None:
    """The number in a cell, its decimals after a comma or a point; None where it is none."""
    if not is_number(cell):
        return None
    plain = cell.translate(DIGITS)
    if not (WITH_COMMA if comma else WITH_POINT).fullmatch(plain):
        return None              # the other sign stands where no thousands are
    plain = plain.replace(".", "").replace(",", ".") if comma else plain.replace(",", "")
    try:
        return float(plain)
    except ValueError:
        return None


def comma_is_decimal(cells: list[str], delimiter: str) -> bool | None:
    """Whether numbers are written with a decimal comma; None where 1,234 or 1.234 could be either."""
    open_commas = open_points = plain = 0
    for cell in cells:
        text = cell.translate(DIGITS).strip().lstrip("+-")
        at_comma, at_point = text.rfind(","), text.rfind(".")
        if at_comma >= 0 and at_point >= 0:
            return at_comma > at_point
        at = max(at_comma, at_point)
        if at < 0:
            plain += text not in ("", "0")
            continue
        comma = at_comma >= 0
        if text.count(text[at]) > 1:
            return not comma         # a sign that comes twice parts thousands
        if len(text) - at - 1 != 3 or text.startswith("0") or at > 3 or at == 0:
            return comma
        open_commas, open_points = open_commas + comma, open_points + (not comma)
    if open_commas and open_points:
        return None
    if open_commas:
        return True if delimiter != "," else None
    # Whole numbers beside 1.234 look like thousands; where every number has three decimals, they are decimals.
    return None if open_points and plain else False
