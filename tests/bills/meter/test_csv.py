"""CSV exports: each quirk met in issue trackers of public projects, and what it becomes."""

from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.bills.meter.samples import EASTERN, clock_rows, read, read_csv

HEAD = "Date and time,Usage (kWh)\n"
EIGHT_DAYS = 8 * 24
SPRING, AUTUMN = datetime(2023, 3, 9), datetime(2023, 11, 2)      # eight days around each clock change of 2023


def text(rows, head=HEAD):
    return head + "\n".join(rows) + "\n"


def said(readings, words):
    return any(words in line for line in readings.found)


def utc(*when):
    return int(datetime(*when, tzinfo=UTC).timestamp())


def test_plain_hours(tmp_path):
    readings = read_csv(tmp_path, text(clock_rows(3)))
    assert readings.start_utc[0] == utc(2023, 1, 1, 5) and readings.step_s == 3600 and len(readings.import_kwh) == 72
    assert readings.import_kwh.sum() == pytest.approx(3 * (24 * 0.25 + 0.01 * 276))
    for sentence in ("Delimiter: comma.", "Decimal sign: point.", "Unit: kWh (by the file).", "Gaps: none.", "Export: none in the file."):
        assert sentence in readings.found


def test_semicolons_and_decimal_commas(tmp_path):
    rows = [row.replace(".", ",") for row in clock_rows(2, 900, "Europe/Berlin", form="{t:%d-%m-%Y %H:%M};{kwh}")]
    readings = read_csv(tmp_path, text(rows, "Von;Bezug kWh\n"), zone="Europe/Berlin")
    assert said(readings, "Delimiter: semicolon") and said(readings, "Decimal sign: comma") and said(readings, "day first")
    assert readings.start_utc[0] == utc(2022, 12, 31, 23) and readings.import_kwh[0] == 0.25


def test_decimal_commas_in_quotes_between_commas(tmp_path):
    rows = [f'{r.split(",")[0]},"{r.split(",")[1].replace(".", ",")}"' for r in clock_rows(1)]
    assert read_csv(tmp_path, text(rows)).import_kwh[0] == 0.25


@pytest.mark.parametrize(("delimiter", "word"), [("\t", "tab"), ("|", "bar")])
def test_other_delimiters(tmp_path, delimiter, word):
    readings = read_csv(tmp_path, text(clock_rows(1)).replace(",", delimiter))
    assert said(readings, f"Delimiter: {word}") and len(readings.import_kwh) == 24


def test_average_watts_of_half_hours_are_not_watt_hours(tmp_path):
    readings = read_csv(tmp_path, text(clock_rows(1, 1800, kwh=460), "Start,Average W\n"))
    assert readings.import_kwh[0] == pytest.approx(0.23) and said(readings, "Unit: W, the mean power of each interval")


@pytest.mark.parametrize(("unit", "kwh"), [("kWh", 460.0), ("Wh", 0.46), ("kW", 115.0), ("W", 0.115)])
def test_the_unit_can_be_overruled(tmp_path, unit, kwh):
    readings = read_csv(tmp_path, text(clock_rows(1, 900, kwh=460), "Start,Value\n"), unit=unit)
    assert readings.import_kwh[0] == pytest.approx(kwh)


@pytest.mark.parametrize(("value", "unit", "kwh"), [(0.8, "kWh", 0.8), (800, "Wh", 0.8)])
def test_hours_without_a_unit_are_known_by_their_size_and_it_is_said(tmp_path, value, unit, kwh):
    readings = read_csv(tmp_path, text(clock_rows(2, kwh=value), "Start,Value\n"))
    assert readings.import_kwh[0] == pytest.approx(kwh) and said(readings, f"Unit: {unit} (named nowhere; by its size, 7,008 kWh")


def test_a_column_of_units(tmp_path):
    readings = read_csv(tmp_path, text(clock_rows(1, 900, form="{t:%Y-%m-%d %H:%M},250,Wh"), "Start,Usage,Units\n"))
    assert readings.import_kwh[0] == 0.25


def test_a_day_of_23_and_a_day_of_25_hours(tmp_path):
    for first, hours in ((SPRING, EIGHT_DAYS - 1), (AUTUMN, EIGHT_DAYS + 1)):
        readings = read_csv(tmp_path, text(clock_rows(8, first=first)))
        assert len(readings.start_utc) == hours and readings.gaps == () and (np.diff(readings.start_utc) == 3600).all()


def test_92_and_100_quarter_hours(tmp_path):
    for day, quarters in ((datetime(2023, 3, 12), 92), (datetime(2023, 11, 5), 100)):
        readings = read_csv(tmp_path, text(clock_rows(1, 900, first=day)))
        assert len(readings.start_utc) == quarters and readings.gaps == ()


def test_the_doubled_hour_row_by_row(tmp_path):
    rows = [f"2023-11-05 {h:02d}:00,{h}" for h in (0, 1, 1, 2, 3)]
    readings = read_csv(tmp_path, text(rows))
    assert readings.start_utc.tolist() == [utc(2023, 11, 5, h) for h in (4, 5, 6, 7, 8)]


def test_newest_first_keeps_the_doubled_hour_in_order(tmp_path):
    rows = clock_rows(8, first=AUTUMN)
    up, down = (read_csv(tmp_path, text(r)) for r in (rows, rows[::-1]))
    assert np.array_equal(up.start_utc, down.start_utc) and np.array_equal(up.import_kwh, down.import_kwh)
    assert said(down, "newest row comes first")


def test_a_file_in_standard_time_all_year_is_seen_by_the_hour_that_spring_leaves_out(tmp_path):
    rows = clock_rows(8, zone="Etc/GMT+5", first=SPRING)
    readings = read_csv(tmp_path, text(rows))
    assert len(readings.start_utc) == EIGHT_DAYS and (np.diff(readings.start_utc) == 3600).all()
    assert readings.start_utc[0] == utc(2023, 3, 9, 5) and said(readings, "standard time all year")


def test_utc_in_a_local_file_can_be_said(tmp_path):
    rows = clock_rows(8, zone="UTC", first=SPRING)
    assert read_csv(tmp_path, text(rows), time_zone="UTC").start_utc[0] == utc(2023, 3, 9)
    named = read_csv(tmp_path, text(rows, "Time (UTC),Usage kWh\n"))
    assert named.start_utc[0] == utc(2023, 3, 9) and said(named, "Time zone: UTC")


def test_an_empty_row_for_the_hour_that_spring_leaves_out(tmp_path):
    rows = clock_rows(8, first=SPRING)
    at = next(k for k, row in enumerate(rows) if row.startswith("2023-03-12 03:00"))
    readings = read_csv(tmp_path, text([*rows[:at], "2023-03-12 02:00,0", *rows[at:]]))
    assert len(readings.start_utc) == EIGHT_DAYS - 1 and said(readings, "spring leaves out, passed over: 1")


@pytest.mark.parametrize("first", [datetime(2023, 1, 5), SPRING, AUTUMN])
def test_times_that_name_the_end(tmp_path, first):
    start = read_csv(tmp_path, text(clock_rows(8, first=first)))
    ends = read_csv(tmp_path, text(clock_rows(8, first=first, stamps="end")))
    assert np.array_equal(start.start_utc, ends.start_utc) and said(ends, "Times name the end")


@pytest.mark.parametrize("first", [SPRING, AUTUMN])
def test_ends_written_as_the_starts_clock_plus_an_hour(tmp_path, first):
    clock = ZoneInfo(EASTERN)
    rows = []
    for row in clock_rows(8, first=first):
        local = datetime.fromisoformat(row[:16]) + timedelta(hours=1)
        rows.append(f"{local:%Y-%m-%d %H:%M}{row[16:]}")
    readings = read_csv(tmp_path, text(rows, "Hour ending,Usage kWh\n"))
    assert readings.gaps == () and (np.diff(readings.start_utc) == 3600).all()
    assert readings.start_utc[0] == first.replace(tzinfo=clock).timestamp()


def test_midnight_that_keeps_yesterdays_date(tmp_path):
    rows = []
    for day in (1, 2, 3):
        rows += [f"1/{day}/2023 {h % 24}:00,{h / 10}" for h in range(1, 25)]
    readings = read_csv(tmp_path, text(rows))
    assert len(readings.start_utc) == 72 and readings.gaps == () and readings.start_utc[0] == utc(2023, 1, 1, 5)
    assert readings.import_kwh[23] == pytest.approx(2.4) and said(readings, "Midnight keeps the date")


def test_hour_24(tmp_path):
    rows = [f"2023-01-01 {h:02d}:00,{h / 10}" for h in range(1, 25)]
    readings = read_csv(tmp_path, text(rows))
    assert readings.start_utc[0] == utc(2023, 1, 1, 5) and len(readings.start_utc) == 24 and said(readings, "Times name the end")


def test_a_column_of_hours_from_1_to_24(tmp_path):
    rows = [f"01/{day:02d}/2023,{h},{h / 10}" for day in (13, 14) for h in range(1, 25)]
    readings = read_csv(tmp_path, text(rows, "Date,HE,kWh\n"))
    assert readings.start_utc[0] == utc(2023, 1, 13, 5) and readings.gaps == ()


def test_stamps_can_be_overruled(tmp_path):
    moved = read_csv(tmp_path, text(clock_rows(2)), stamps="end")
    assert moved.start_utc[0] == utc(2023, 1, 1, 4) and said(moved, "as the house file says")


def test_separate_date_and_time_on_a_twelve_hour_clock(tmp_path):
    rows = clock_rows(8, 900, first=AUTUMN, form="Electric usage,{t:%m/%d/%Y},{t:%I:%M %p},{t:%I:%M %p},{kwh},$0.10")
    readings = read_csv(tmp_path, text(rows, "Type,Date,Start Time,End Time,Usage (kWh),Cost\n"))
    assert len(readings.start_utc) == (EIGHT_DAYS + 1) * 4 and readings.gaps == ()
    assert said(readings, "column 2 “Date” with column 3 “Start Time”")


def test_negative_numbers_are_export(tmp_path):
    rows = [f"2023-01-01 {h:02d}:00,{0.5 if h < 12 else -0.25}" for h in range(24)]
    readings = read_csv(tmp_path, text(rows))
    assert readings.import_kwh.sum() == 6.0 and readings.export_kwh.sum() == 3.0 and said(readings, "negative numbers in the same column")


@pytest.mark.parametrize("sign", ["", "-"])
def test_export_in_a_column_of_its_own(tmp_path, sign):
    rows = clock_rows(1, form="{t:%Y-%m-%d %H:%M},{kwh}," + sign + "0.5")
    readings = read_csv(tmp_path, text(rows, "Start,Import kWh,Export kWh\n"))
    assert readings.export_kwh.sum() == 12.0 and readings.import_kwh[0] == 0.25


def test_columns_can_be_named(tmp_path):
    rows = clock_rows(1, form="{t:%Y-%m-%d %H:%M},{kwh},0.5,0.75")
    readings = read_csv(tmp_path, text(rows, "When,A,B,C\n"), import_column="c", export_column="B", unit="kWh")
    assert readings.import_kwh[0] == 0.75 and readings.export_kwh[0] == 0.5


def test_preamble_totals_and_an_unset_clock_in_the_preamble(tmp_path):
    preamble = "Name,Ada Example\nReading Start,12/31/1969\nReading End,1/3/2023\n\n"
    readings = read_csv(tmp_path, text([*clock_rows(3), "Total,27.1", "", "Thank you"], preamble + HEAD))
    assert len(readings.start_utc) == 72
    assert said(readings, "Rows before the readings, left out unread: 3") and said(readings, "Rows of totals, left out: 1")
    assert said(readings, "Rows after the last reading, left out: 1")


def test_an_account_number_spoilt_by_a_spreadsheet_is_no_reading(tmp_path):
    rows = clock_rows(2, form="2.31E+13,{t:%Y-%m-%d %H:%M},{kwh}")
    for head in ("Account Number,Start,Usage (kWh)\n", "Ref,Start,Value\n"):
        assert read_csv(tmp_path, text(rows, head)).import_kwh[0] == 0.25


def test_empty_cells_are_gaps(tmp_path):
    rows = clock_rows(2)
    rows[5], rows[6] = rows[5][:17], rows[6][:17] + "N/A"
    readings = read_csv(tmp_path, text(rows))
    assert readings.gaps == ((utc(2023, 1, 1, 10), 7200),) and said(readings, "which count as missing: 2")


def test_two_downloads_in_one_file_and_a_repeated_row(tmp_path):
    rows = clock_rows(4)
    readings = read_csv(tmp_path, text([*rows[:50], HEAD.strip(), *rows[48:]]))
    assert len(readings.start_utc) == 96 and said(readings, "counted once")


@pytest.mark.parametrize("shape", ["{t:%d.%m.%Y %H:%M};{kwh}", "{t:%Y/%m/%d %H:%M};{kwh}", "{t:%d-%b-%Y %H:%M};{kwh}", "{t:%Y-%m-%dT%H:%M:%S};{kwh}",
                                   "{t:%d/%m/%y %H:%M};{kwh}", "{t:%b %d, %Y %I:%M %p};{kwh}", "{t:%m/%d/%Y %H:%M};{kwh}"])
def test_ways_to_write_a_date(tmp_path, shape):
    readings = read_csv(tmp_path, text(clock_rows(15, form=shape), "Start;kWh\n"))
    assert readings.start_utc[0] == utc(2023, 1, 1, 5) and len(readings.start_utc) == 15 * 24 and readings.gaps == ()


def test_times_that_say_their_own_zone(tmp_path):
    rows = clock_rows(8, first=AUTUMN, form="{t:%Y-%m-%dT%H:%M:%S%z},{kwh}")
    readings = read_csv(tmp_path, text(rows), zone=None)
    assert len(readings.start_utc) == EIGHT_DAYS + 1 and readings.gaps == () and said(readings, "each time says its own (UTC-4 h, UTC-5 h)")


@pytest.mark.parametrize("encoding", ["utf-8-sig", "utf-16", "cp1252"])
def test_encodings(tmp_path, encoding):
    readings = read(tmp_path, text(clock_rows(1), "Straße,Müller\n\n" + HEAD).encode(encoding), "meter.csv")
    assert len(readings.import_kwh) == 24


@settings(max_examples=15, deadline=None)
@given(st.sampled_from([",", ";", "\t"]), st.sampled_from([900, 1800, 3600]), st.sampled_from(["start", "end"]),
       st.sampled_from(["%Y-%m-%d %H:%M", "%d.%m.%Y %H:%M", "%m/%d/%Y %I:%M %p"]), st.sampled_from([SPRING, AUTUMN]), st.booleans())
def test_however_it_is_written_the_readings_are_the_same(tmp_path_factory, delimiter, step, stamps, form, first, comma):
    folder = tmp_path_factory.mktemp("csv")
    plain = read_csv(folder, text(clock_rows(8, step, first=first)))
    rows = []
    for row in clock_rows(8, step, first=first, stamps=stamps, form="{t:" + form + "}|{kwh}"):
        when, kwh = row.split("|")
        rows.append(f'{when}{delimiter}"{kwh.replace(".", ",") if comma else kwh}"')
    other = read_csv(folder, text(rows, f"Date and time{delimiter}Usage (kWh)\n"))
    assert np.array_equal(plain.start_utc, other.start_utc) and np.array_equal(plain.import_kwh, other.import_kwh)
