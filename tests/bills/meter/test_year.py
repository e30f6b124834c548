"""Twelve months of readings on 8,760 hours of standard time: sums kept, clock changes right, few holes bridged and counted."""

from datetime import UTC, date, datetime

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from reportgen.bills.meter.errors import MeterFileError
from reportgen.bills.meter.readings import settle
from tests.bills.meter.samples import clock_rows, read_csv

EAST = -5.0


def readings_of(first, hours, step_s=3600, kwh=None, drop=(), export=False):
    """Readings from a UTC time on; their kWh tell their hour apart."""
    start = int(first.replace(tzinfo=UTC).timestamp()) + step_s * np.arange(int(hours * 3600 / step_s))
    values = 0.2 + 0.001 * (np.arange(len(start)) % 977) if kwh is None else np.full(len(start), kwh)
    keep = ~np.isin(np.arange(len(start)), list(drop))
    start, values = start[keep], values[keep]
    return settle("CSV", start, np.full(len(start), step_s), values, values[::-1].copy() if export else None, {}, ())


NEW_YEAR_2023 = datetime(2023, 1, 1, 5)      # midnight, Eastern standard time


@pytest.mark.parametrize("step", [300, 900, 1800, 3600])
def test_a_whole_year_keeps_its_sum(step):
    readings = readings_of(NEW_YEAR_2023, 8760, step, export=True)
    year = readings.hours(EAST)
    assert year.import_kwh.sum() == pytest.approx(readings.import_kwh.sum(), rel=1e-9)
    assert year.export_kwh.sum() == pytest.approx(readings.export_kwh.sum(), rel=1e-9)
    assert year.year == 2023 and year.filled_hours == 0 and len(year.import_kwh) == 8760
    assert year.dates[0] == date(2023, 1, 1) and year.dates[-1] == date(2023, 12, 31)


def test_hour_k_is_the_kth_hour_of_standard_time_on_days_of_23_and_25_hours(tmp_path):
    rows = clock_rows(365, kwh=0.0)
    marks = {"2023-03-12 03:00,0.0": "2023-03-12 03:00,7", "2023-07-01 12:00,0.0": "2023-07-01 12:00,5"}
    rows = [marks.get(row, row) for row in rows]
    first_of_two = next(k for k, row in enumerate(rows) if row.startswith("2023-11-05 01:00"))
    rows[first_of_two], rows[first_of_two + 1] = "2023-11-05 01:00,3", "2023-11-05 01:00,4"
    readings = read_csv(tmp_path, "Start,Usage (kWh)\n" + "\n".join(rows))
    hours = readings.hours(EAST).import_kwh
    march, july, november = (date(2023, 3, 12), date(2023, 7, 1), date(2023, 11, 5))
    at = {d: (d - date(2023, 1, 1)).days * 24 for d in (march, july, november)}
    assert hours[at[march] + 2] == 7          # 03:00 summer time is 02:00 standard
    assert hours[at[july] + 11] == 5
    assert hours[at[november]] == 3 and hours[at[november] + 1] == 4     # 01:00 twice: 00:00 and 01:00 standard
    assert hours.sum() == 19 and readings.hours(EAST).filled_hours == 0
    assert len(readings.import_kwh) == 8760


def test_the_latest_twelve_months_are_taken_and_said():
    year = readings_of(datetime(2022, 5, 1, 5), 24 * 500).hours(EAST)      # to 12 September 2023
    assert year.dates[0] == date(2023, 1, 1) and year.dates[-1] == date(2022, 12, 31) and year.year == 2023
    assert "Taken: 2022-09-13 to 2023-09-12" in year.notes[0] and "two calendar years" in year.notes[1]


def test_a_year_can_be_asked_for():
    readings = readings_of(datetime(2022, 1, 1, 5), 24 * 800)
    assert readings.hours(EAST, 2022).year == 2022 and {d.year for d in readings.hours(EAST, 2022).dates} == {2022}
    with pytest.raises(MeterFileError, match="nothing of the year 2019"):
        readings.hours(EAST, 2019)
    with pytest.raises(MeterFileError, match="leave year out"):
        readings.hours(EAST, 2024)             # two months of it


def test_29_february_is_left_out_and_said():
    readings = readings_of(datetime(2024, 1, 1, 5), 8784, kwh=1.0)
    year = readings.hours(EAST)
    assert year.import_kwh.sum() == 8760.0 and year.year == 2024 and date(2024, 2, 29) not in year.dates
    assert any("29 February is left out, with 24.000 kWh" in note for note in year.notes)


def test_a_few_missing_hours_are_bridged_by_the_same_hour_of_the_days_around_and_counted():
    drop = (5000, 5001, 5002, 7000)
    readings = readings_of(NEW_YEAR_2023, 8760, drop=drop)
    year = readings.hours(EAST)
    assert year.filled_hours == 4 and any("4 hours are missing" in note for note in year.notes)
    for k in drop:
        assert year.import_kwh[k] == pytest.approx((year.import_kwh[k - 24] + year.import_kwh[k + 24]) / 2)
    kept = np.delete(year.import_kwh, drop)
    assert kept.sum() == pytest.approx(readings.import_kwh.sum(), rel=1e-9)


def test_a_missing_quarter_keeps_the_other_three():
    year = readings_of(NEW_YEAR_2023, 8760, 900, kwh=0.25, drop=(4001,)).hours(EAST)
    assert year.import_kwh[1000] == pytest.approx(1.0) and year.filled_hours == 1


@pytest.mark.parametrize(("drop", "words"), [(range(5000, 5004), "4 hours are missing .*up to 4 in a row: 2023-07-28"),
                                             (range(1000, 1700, 100), "7 hours are missing .*2023-02-11, .* and 2 more days")])
def test_more_is_refused_with_the_count_and_the_dates(drop, words):
    with pytest.raises(MeterFileError, match=words):
        readings_of(NEW_YEAR_2023, 8760, drop=drop).hours(EAST)


def test_half_the_days_missing_is_refused():
    drop = [k for k in range(8760) if k // 24 % 2]
    with pytest.raises(MeterFileError, match="readings on 183 of the 365 days"):
        readings_of(NEW_YEAR_2023, 8760, drop=drop).hours(EAST)


def test_ten_months_are_refused_and_eleven_and_a_half_are_filled_openly():
    with pytest.raises(MeterFileError, match="at least 335"):
        readings_of(NEW_YEAR_2023, 24 * 334).hours(EAST)
    readings = readings_of(NEW_YEAR_2023, 24 * 350)
    year = readings.hours(EAST)
    assert year.filled_hours == 15 * 24 and any("assumed, not measured" in note for note in year.notes)
    assert year.import_kwh[:24 * 350].sum() == pytest.approx(readings.import_kwh.sum(), rel=1e-9)
    assert (year.import_kwh > 0).all()


def test_readings_across_the_hour_are_shared_by_time():
    readings = readings_of(datetime(2022, 12, 31, 18), 8760, kwh=1.0)      # whole hours of UTC, at UTC+5.5
    year = readings.hours(5.5)
    assert year.import_kwh[100] == pytest.approx(1.0) and year.import_kwh.sum() == pytest.approx(8760.0)


@settings(max_examples=15, deadline=None)
@given(st.integers(0, 400), st.sampled_from([900, 1800, 3600]), st.integers(-11, 12))
def test_wherever_a_year_begins_its_sum_is_kept(day, step, offset):
    first = datetime.fromtimestamp(1640995200 + 86400 * day, UTC).replace(tzinfo=None)
    readings = readings_of(first, 8760, step)
    year = readings.hours(float(offset))
    assert year.import_kwh.sum() == pytest.approx(readings.import_kwh.sum(), rel=1e-9) and year.filled_hours == 0
