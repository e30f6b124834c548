"""Three public Green Button sample files (Apache-2.0), read by the reader of the report.

Sums and largest hours: measured on the files themselves and written down beside them, see their README. The files are
not part of this project; where they are not at hand, the checks skip.
"""

from datetime import date, datetime
from pathlib import Path
from zoneinfo import ZoneInfo

import numpy as np
import pytest

from reportgen.bills.meter.errors import MeterFileError
from reportgen.bills.meter.read import read_meter_file

FOLDER = Path(__file__).resolve().parents[3] / "shared" / "data" / "green-button"


def readings(name):
    path = FOLDER / name
    if not path.is_file():
        pytest.skip("the public Green Button sample files are not on this machine")
    return read_meter_file(path)


def test_an_hourly_year():
    year = readings("hourly-one-year-pacific.xml")
    assert len(year.start_utc) == 8760 and year.step_s == 3600 and year.gaps == ()
    assert year.import_kwh.sum() == pytest.approx(8343.306, abs=1e-6)
    assert year.import_kwh.max() == pytest.approx(2.370, abs=1e-9)
    assert year.export_kwh is None
    assert year.start_utc[0] == datetime(2011, 1, 1, 8, tzinfo=ZoneInfo("UTC")).timestamp()


def test_its_months_by_the_households_clock():
    months = readings("hourly-one-year-pacific.xml").month_sums("America/Los_Angeles")
    assert months[2011, 7] == pytest.approx(787.7, abs=0.05) and months[2011, 8] == pytest.approx(875.3, abs=0.05)
    assert sum(months.values()) == pytest.approx(8343.306, abs=1e-6) and len(months) == 12


def test_its_8760_hours_of_standard_time():
    year = readings("hourly-one-year-pacific.xml").hours(-8.0)
    assert year.import_kwh.sum() == pytest.approx(8343.306, rel=1e-9) and year.import_kwh.max() == pytest.approx(2.370)
    assert year.import_kwh[0] == 1.002 and year.import_kwh[-1] == 1.034     # the first and the last reading of the file
    assert year.year == 2011 and year.filled_hours == 0 and year.dates[0] == date(2011, 1, 1)


def test_its_days_of_23_and_25_hours():
    start = readings("hourly-one-year-pacific.xml").start_utc
    zone = ZoneInfo("America/Los_Angeles")
    days, counts = np.unique([datetime.fromtimestamp(int(s), zone).date().isoformat() for s in start], return_counts=True)
    by_day = dict(zip(days.tolist(), counts.tolist(), strict=True))
    assert len(by_day) == 365 and by_day["2011-03-13"] == 23 and by_day["2011-11-06"] == 25


def test_daily_readings_with_cost_and_long_and_short_days():
    days = readings("daily-with-cost-dst-durations.xml")
    assert len(days.start_utc) == 444 and days.import_kwh.sum() == pytest.approx(9917.817, abs=1e-6) and days.gaps == ()
    lengths, counts = np.unique(days.seconds, return_counts=True)
    assert dict(zip(lengths.tolist(), counts.tolist(), strict=True)) == {82800: 2, 86400: 441, 90000: 1}
    with pytest.raises(MeterFileError, match="444 of the 444 readings .* an hour or shorter are needed"):
        days.hours(-5.0)


def test_quarter_hours_of_one_day_with_quality_marks():
    day = readings("quarter-hour-one-day-quality-cost.xml")
    assert len(day.start_utc) == 96 and day.step_s == 900 and day.import_kwh.sum() == pytest.approx(93.846, abs=1e-9)
    assert dict(day.quality) == {"edited by a person": 1, "estimated by a reference day": 1}      # codes 7 and 8
    with pytest.raises(MeterFileError, match="1 of the 365 days"):
        day.hours(-5.0)
