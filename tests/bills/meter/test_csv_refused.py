"""CSV exports that can't be used, or not without a word from the house file: one sentence each."""

from datetime import datetime

import pytest

from reportgen.bills.meter.errors import MeterFileError
from tests.bills.meter.samples import clock_rows, read, read_csv

HEAD = "Start,Usage (kWh)\n"
ROWS = clock_rows(2)


def text(rows=ROWS, head=HEAD):
    return head + "\n".join(rows) + "\n"


def wide():
    return text([f"2023-01-{d:02d}," + ",".join(["0.5"] * 24) for d in range(1, 20)],
                "Date," + ",".join(f"H{h} kWh" for h in range(24)) + "\n")


CASES = {
    "no table": ("Dear customer,\nthank you.\n", {}, "no rows of a time and a number"),
    "another delimiter asked": (text(), {"delimiter": "semicolon"}, "with the delimiter semicolon"),
    "gas": (text(head="Start,Usage (therms)\n"), {}, "gas or water"),
    "gas by a column of units": (text(clock_rows(2, form="{t:%Y-%m-%d %H:%M},0.5,CCF"), "Start,Usage,Units\n"), {}, "gas or water"),
    "a counter": (text([f"{r[:16]},{1000 + k}" for k, r in enumerate(ROWS)]), {}, "counter's level"),
    "two meters": (text([f"{r},M{k // 24}" for k, r in enumerate(ROWS)], "Start,Usage (kWh),Meter Number\n"), {}, "line 26 .*another meter"),
    "two meters without a column": (text([*ROWS, *(f"{r[:16]},9" for r in ROWS)]), {}, "contradict another"),
    "two columns that could be it": (text(clock_rows(2, form="{t:%Y-%m-%d %H:%M},{kwh},0.5"), "Start,A kWh,B kWh\n"), {}, "columns 2 and 3"),
    "a column that is not there": (text(), {"import_column": "Kilowatts"}, "no column .* import_column"),
    "export column that is not there": (text(), {"export": "own column"}, "no column .* named so"),
    "negative though none is said": (text([f"{r[:16]},-1" for r in ROWS]), {"export": "none"}, "48 numbers are negative"),
    "no unit for quarter-hours": (text(clock_rows(2, 900), "Start,Value\n"), {}, "unit .* named nowhere"),
    "no unit and no household's size": (text(clock_rows(2, kwh=20), "Start,Value\n"), {}, "neither is a household's"),
    "kWh that are Wh": (text(clock_rows(2, kwh=800)), {}, "no household's"),
    "a comma of two meanings": (text([f'{r[:16]},"1,234"' for r in ROWS]), {}, "1.234 or 1234"),
    "a comma among points": (text([*ROWS, '2023-01-03 00:00,"0,25"']), {}, "line 50 .*column 2"),
    "letters for a number": (text([*ROWS[:30], "2023-01-02 06:00,lots", *ROWS[31:]]), {}, "line 32 .*column 2"),
    "a line in between": (text([*ROWS[:30], "see below", *ROWS[30:]]), {}, "line 32 .*no date and time"),
    "a day in no calendar": (text([*ROWS, "2023-02-30 00:00,1"]), {}, "line 50 .*no calendar"),
    "one row a day": (wide(), {}, "24 columns of numbers"),
    "twelve hours without AM or PM": (text(clock_rows(2, form="{t:%Y-%m-%d %I:%M},{kwh}")), {}, "without AM or PM"),
    "zones in some rows": (text([*ROWS[:24], *(f"{r[:16]}Z{r[16:]}" for r in ROWS[24:])]), {}, "others do not"),
    "an unknown zone": (text(), {"time_zone": "Mars/Olympus"}, "time zone named"),
    "a day or a month": (text(["3/4/2023,10", "5/6/2023,12", "7/8/2023,11"]), {}, "March 4 or April 3"),
    "a clock never set": (text([f"1969-12-31 {h:02d}:00,1" for h in range(24)]), {}, "before the year 2000"),
    "an open quotation": (text([*ROWS[:40], '2023-01-02 16:00,"1', "x" * 140_000]), {}, "quotation mark"),
    "only one reading": (text(ROWS[:1]), {}, "fewer than two"),
}


@pytest.mark.parametrize("name", CASES)
def test_refused_with_one_sentence(tmp_path, name):
    content, settings, words = CASES[name]
    with pytest.raises(MeterFileError, match=words) as caught:
        read_csv(tmp_path, content, **settings)
    assert "\n" not in str(caught.value) and len(str(caught.value)) < 320 and caught.value.__cause__ is None


def test_no_time_zone_anywhere(tmp_path):
    with pytest.raises(MeterFileError, match="place.time_zone"):
        read_csv(tmp_path, text(), zone=None)


@pytest.mark.parametrize("content", [b"Start,kWh\n2023-01-01\0,1\n", b"Start,kWh\n" + b"x" * 5000 + b"\0", b"\xff\xfea"])
def test_binary(tmp_path, content):
    with pytest.raises(MeterFileError, match="zero bytes|encoding"):
        read(tmp_path, content, "meter.csv")


def test_a_kind_that_the_file_is_not(tmp_path):
    with pytest.raises(MeterFileError, match="kind: green button"):
        read_csv(tmp_path, text(), kind="green button")


def test_days_are_too_long_for_a_year_of_hours(tmp_path):
    readings = read_csv(tmp_path, text([f"{datetime(2023, 1 + k // 28, 1 + k % 28):%Y-%m-%d},{20 + k % 3}" for k in range(336)]))
    with pytest.raises(MeterFileError, match="336 of the 336 readings .* last longer than an hour \\(up to 25 hours\\)"):
        readings.hours(-5)
