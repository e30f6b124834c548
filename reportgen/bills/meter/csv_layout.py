"""Where things stand in a CSV export: the delimiter, the row of names, the columns. Found out from its first rows.

Only columns of times and of energy are ever read further. A message or a finding names a column by its number; its name
is repeated only where each word of it is a common word of such files.
"""

from __future__ import annotations

import csv
import re
from dataclasses import dataclass

from reportgen.bills.meter.csv_cells import is_blank, is_date, is_number, is_time, read_date
from reportgen.bills.meter.errors import MeterFileError
from reportgen.describe.meter_file import MeterFile

DELIMITERS = {"comma": ",", "semicolon": ";", "tab": "\t", "bar": "|"}
WORDS_OF_DELIMITER = {sign: word for word, sign in DELIMITERS.items()}
MOST_COLUMNS = 16
END_WORDS = re.compile(r"\b(end(ing|s)?|to|until|till|bis|ende|he)\b", re.IGNORECASE)
START_WORDS = re.compile(r"\b(start(ing|s)?|from|begin(ning|s)?|von|beginn)\b", re.IGNORECASE)
NEVER_ENERGY = re.compile(r"cost|price|amount|charge|currency|\$|€|£|\busd\b|\brates?\b|tariff|temperature|°|account|customer"
                          r"|address|phone|kvar|\bvar|kva", re.IGNORECASE)
NOT_ENERGY = re.compile(r"\btemp|degree|weather|name|meter ?(no|num|id|serial|#)|service|premise|point|\besi|\bnmi|serial|"
                        r"quality|status|flag|estimat|note|year|month|day\b|week|hour|\bid\b|volt|current|factor|demand|peak",
                        re.IGNORECASE)
EXPORT_WORDS = re.compile(r"export|to.?(the )?grid|received|returned?|feed.?in|surplus|sent|injec|einspeis|outflow|excess|reverse",
                          re.IGNORECASE)
IMPORT_WORDS = re.compile(r"import|from.?(the )?grid|delivered|consum|usage|\buse\b|used|bezug|verbrauch|purchas|inflow|forward"
                          r"|withdraw", re.IGNORECASE)
GENERATION_WORDS = re.compile(r"generat|solar|\bpv\b|produc|erzeug", re.IGNORECASE)
ENERGY_WORDS = re.compile(r"k?wh?\b|energy|electric|net\b|value|reading|load|power|watt", re.IGNORECASE)
FUEL_WORDS = re.compile(r"\b(therms?|ccf|mcf|ft3|m3|m³|gas|gallons?|cubic)\b", re.IGNORECASE)
METER_WORDS = re.compile(r"^meter$|meter ?(no|num|id|serial|#)|\besi|\bnmi|service point|premise|point id|account", re.IGNORECASE)
UNIT = re.compile(r"(?<![A-Za-z])(kWh|Wh|kW|W|watts?|kilowatt[- ]?hours?|watt[- ]?hours?|kilowatts?)(?![A-Za-z])", re.IGNORECASE)
SAFE_WORD = re.compile(
    "date|time|start|end|ending|starting|interval|period|stamp|timestamp|datetime|datum|zeit|uhrzeit|von|bis|hour|usage|use|"
    "used|consumption|consumed|import|export|imported|exported|imports|exports|delivered|received|energy|electric|"
    "electricity|kwh|wh|kw|w|watts|power|from|to|the|grid|net|value|reading|local|utc|of|in|by|bezug|einspeisung|"
    "verbrauch|generation|solar|surplus|feed|returned|total|date/time|units|unit", re.IGNORECASE)


@dataclass(frozen=True)
class Layout:
    delimiter: str
    header_row: int              # number of rows (as csv counts them) up to and with the row of names
    width: int
    date: int                    # column of the date, or of date and time
    time: int | None             # column of the time of day where it stands apart
    hour_numbers: bool           # the time column holds plain numbers of hours
    taken: int                   # column of import, or of both directions with signs
    sent: int | None
    unit: str | None             # as the names or a column of units say it
    stamps: str | None           # "start" or "end" where the names say it
    is_utc: bool                 # the name of the time column says UTC
    meters: tuple[int, ...]      # columns that may tell meters apart
    passed_over: int             # columns of numbers that are no import and no export: their count
    skipped: int                 # filled rows before the row of names
    names: tuple[str, ...]       # of each column, "" where it might be private


def find_layout(lines: list[str], settings: MeterFile | None) -> Layout:
    """From the first lines of the file. Raises MeterFileError."""
    asked = settings.delimiter if settings else None
    signs = [DELIMITERS[asked]] if asked else list(DELIMITERS.values())
    delimiter, rows = max(((sign, rows_of(lines, sign)) for sign in signs), key=lambda pair: _score(pair[1]))
    first = _first_data_row(rows)
    if first is None:
        raise MeterFileError("no rows of a time and a number were found in the first lines of the meter file"
                             f"{f' with the delimiter {asked}' if asked else ''}. A CSV export of interval readings "
                             "is expected: one row for each interval, with its date, time and kWh.")
    width = len(rows[first])
    data = [row for row in rows[first:] if len(row) == width and any(map(is_date, row))]
    above = next((k for k in range(first - 1, -1, -1) if any(c.strip() for c in rows[k])), None)
    named = above is not None and len(rows[above]) >= min(width, 2) and not any(map(is_number, filter(str.strip, rows[above])))
    head = [cell.strip() for cell in rows[above]] if named else []
    head = (head + [""] * width)[:width]
    skipped = sum(any(c.strip() for c in row) for row in rows[:above if named else first])
    return _columns(delimiter, (above + 1) if named else first, width, head, data, settings, skipped)


def rows_of(lines: list[str], delimiter: str) -> list[list[str]]:
    rows: list[list[str]] = []
    try:
        rows.extend(csv.reader(lines, delimiter=delimiter))
    except csv.Error:
        pass                     # the rows before the fault are kept; reading the whole file names the line
    return rows


def _score(rows: list[list[str]]) -> tuple[int, int]:
    good = [row for row in rows if any(map(is_date, row)) and any(is_number(c) and not is_date(c) for c in row)]
    return len(good), -max((len(row) for row in good), default=0)


def _first_data_row(rows: list[list[str]]) -> int | None:
    """The first of three rows in a row, of one width, with a date in the same column and a number."""
    def dates(row):
        return {k for k, cell in enumerate(row) if is_date(cell)}

    def fits(k, at):
        later = rows[k:k + 3]
        return all(len(row) == len(rows[k]) and at < len(row) and is_date(row[at]) for row in later)
    for k, row in enumerate(rows):
        if any(fits(k, at) for at in dates(row)) and any(is_number(c) and not is_date(c) for c in row):
            return k
    return None


def _columns(delimiter, header_row, width, head, data, settings, skipped) -> Layout:
    def share(test, k):
        return sum(test(row[k]) for row in data) / len(data)
    dates = [k for k in range(width) if share(is_date, k) > 0.8]
    ends = [k for k in dates if END_WORDS.search(head[k]) and not START_WORDS.search(head[k])]
    date = _asked(settings.time_column if settings else None, head, "time_column")
    times = [k for k in range(width) if k not in dates and share(is_time, k) > 0.8]
    hours = [k for k in range(width) if re.search(r"\bhour|\bhe\b|stunde", head[k], re.IGNORECASE)
             and k not in dates + times and all(re.fullmatch(r"\s*\d{1,2}\s*", row[k]) for row in data)]
    time = None
    if date is not None and date in times:
        time, date = date, next((k for k in dates if k not in ends), dates[0] if dates else None)
    elif date is None and dates:
        date = next((k for k in dates if k not in ends), dates[0])
    if date is None or date not in dates:
        raise MeterFileError("no column of dates was found in the meter file. Dates such as 2024-03-31, 3/31/2024 "
                             "or 31.03.2024 are expected.")
    whole_days = not any(stamp.seconds for row in data if (stamp := read_date(row[date])))
    if time is None and whole_days and (times or hours):
        starts = [k for k in times if not (END_WORDS.search(head[k]) and not START_WORDS.search(head[k]))]
        time = (starts or times or hours)[0]
    word = head[time if time is not None else date]
    stamps = "end" if END_WORDS.search(word) and not START_WORDS.search(word) else "start" if START_WORDS.search(word) else None
    numbers = [k for k in range(width) if k not in dates + times and k != time
               and share(lambda c: is_number(c) or is_blank(c), k) > 0.8 and share(is_number, k) > 0.2]
    if len(numbers) >= MOST_COLUMNS:
        raise MeterFileError(f"the rows of the meter file hold {len(numbers)} columns of numbers, as if a row were "
                             "a whole day. One row for each interval is expected; download it in that form.")
    taken, sent, others = _energy(numbers, head, data, settings)
    units = {cell for row in data for k, cell in enumerate(row) if k not in numbers and UNIT.fullmatch(cell.strip())}
    fuel = {cell for row in data[:50] for cell in row if FUEL_WORDS.fullmatch(cell.strip())} | set(FUEL_WORDS.findall(head[taken]))
    if fuel and not UNIT.search(head[taken]) and not units:
        raise MeterFileError("the readings of the meter file are in a unit of gas or water, not of electricity. "
                             "Download the file of the electricity meter.")
    meters = tuple(k for k in range(width) if METER_WORDS.search(head[k]) and k not in (date, time, taken, sent, *dates, *times))
    return Layout(delimiter, header_row, width, date, time, time is not None and time in hours, taken, sent, _unit(head[taken], units),
                  stamps, bool(re.search(r"\b(utc|gmt)\b", word, re.IGNORECASE)), meters, others, skipped, tuple(_shown(name) for name in head))


def _energy(numbers, head, data, settings) -> tuple[int, int | None, int]:
    taken = _asked(settings.import_column if settings else None, head, "import_column")
    sent = _asked(settings.export_column if settings else None, head, "export_column")
    usable = [k for k in numbers if not NEVER_ENERGY.search(head[k]) and not _is_label(k, data)
              and (UNIT.search(head[k]) or not NOT_ENERGY.search(head[k]))]
    if sent is None and not (settings and settings.export in ("negative", "none")):
        exports = [k for k in usable if EXPORT_WORDS.search(head[k]) and k != taken]
        sent = _one(exports, "sent to the grid", "export_column") if exports else None
    if sent is None and settings and settings.export == "own column":
        raise MeterFileError('the house file says export: "own column", but no column of the meter file is named '
                             'so. Write '
                             "export_column: with its name.")
    if taken is None:
        rest = [k for k in usable if k != sent and not GENERATION_WORDS.search(head[k]) and not EXPORT_WORDS.search(head[k])]
        by_name = [k for k in rest if IMPORT_WORDS.search(head[k])]
        by_unit = [k for k in rest if ENERGY_WORDS.search(head[k]) or UNIT.search(head[k])]
        taken = _one(by_name or by_unit or rest, "taken from the grid", "import_column")
    return taken, sent, len([k for k in numbers if k not in (taken, sent)])


def _one(columns: list[int], what: str, key: str) -> int:
    if not columns:
        raise MeterFileError(f"no column of the meter file could be told to hold what was {what}. Write {key}: with "
                             "the name of the column.")
    if len(columns) > 1:
        named = " and ".join(str(k + 1) for k in columns)
        raise MeterFileError(f"columns {named} of the meter file could each hold what was {what}. Write {key}: with "
                             "the name of the right one.")
    return columns[0]


def _is_label(k: int, data) -> bool:
    """A number that never changes and is too large for a reading: an account, spoilt to 2.31E+13 or not."""
    cells = {row[k].strip() for row in data}
    return len(cells) == 1 and len(data) > 2 and len(re.sub(r"\D", "", next(iter(cells)))) >= 5


def _asked(name: str | None, head: list[str], key: str) -> int | None:
    if name is None:
        return None
    found = [k for k, cell in enumerate(head) if cell.casefold() == name.strip().casefold()]
    if len(found) != 1:
        raise MeterFileError(f"{'no column' if not found else f'{len(found)} columns'} of the meter file bear the "
                             f"name that the house file gives in {key}. Write it as the row of names has it.")
    return found[0]


def _unit(name: str, units: set[str]) -> str | None:
    words = UNIT.findall(name) or [u.strip() for u in units]
    found = {_plain_unit(word) for word in words}
    return found.pop() if len(found) == 1 else None


def _plain_unit(word: str) -> str:
    low = word.lower().replace("-", " ")
    kilo, hours = low.startswith("k"), low.endswith("h") or "hour" in low
    return ("k" if kilo else "") + ("Wh" if hours else "W")


def _shown(name: str) -> str:
    words = re.findall(r"[^\s()\[\],;:_]+", name)
    return name if words and all(map(SAFE_WORD.fullmatch, words)) and len(name) <= 40 else ""
