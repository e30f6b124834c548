"""Which period, season and window an hour of the year belongs to."""

from datetime import date

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from reportgen.bills.calendar import bill_calendar, day_kinds
from reportgen.describe import tariff_days as days
from reportgen.describe.tariff import Holidays, Tariff
from tests.bills.tariffs import PUBLISHED, benton_demand, demand_every_day, river_falls_time_of_day, seymour

SHORT = {"price_per_kwh": 0.15, "fixed_per_month": 12.0, "export": "one-to-one"}
CHICAGO = ("America/Chicago", -6.0)


def _first_hour(month: int, day: int) -> int:
    return 24 * ((date(2023, month, day) - date(2023, 1, 1)).days)


def test_calendar_months_are_the_periods_where_no_reading_day_is_written():
    calendar = bill_calendar(Tariff(**SHORT), None, -6)
    assert calendar.period_days.tolist() == [31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31]
    assert np.array_equal(calendar.period, calendar.month)
    assert bill_calendar(Tariff(**SHORT, read_day=1), None, -6).period_days.tolist() == calendar.period_days.tolist()


def test_the_days_before_the_first_reading_and_the_last_of_december_are_one_period():
    calendar = bill_calendar(Tariff(**SHORT, read_day=15), None, -6)
    assert calendar.period[[0, _first_hour(1, 14), _first_hour(1, 15), _first_hour(12, 14), _first_hour(12, 15)]].tolist() == [
        0, 0, 1, 11, 0]
    assert calendar.period_days.tolist() == [31, 31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30]


@settings(max_examples=20, deadline=None)
@given(st.integers(1, 28), st.sampled_from([CHICAGO, ("Australia/Sydney", 10.0), ("Asia/Kolkata", 5.5), (None, 0.0)]),
       st.sampled_from([2023, 2024, 2026]))
def test_every_hour_is_in_one_period_and_every_day_is_counted_once(read_day, place, year):
    calendar = bill_calendar(Tariff(**SHORT, read_day=read_day), *place, year)
    assert calendar.period_days.sum() == 365
    hours = np.bincount(calendar.period, minlength=12)
    assert hours.sum() == 8760
    assert np.abs(hours - 24 * calendar.period_days).max() <= 1      # the hours that summer time takes and gives


def test_a_month_begins_at_midnight_of_the_clock():
    calendar = bill_calendar(Tariff(**SHORT), *CHICAGO)
    last_of_june = _first_hour(7, 1) - 1                              # 23 h standard time is midnight in summer time
    assert (calendar.month[last_of_june], calendar.clock_hour[last_of_june], calendar.period[last_of_june]) == (6, 0, 6)
    assert (calendar.month[_first_hour(1, 1)], calendar.clock_hour[_first_hour(1, 1)]) == (0, 0)


def test_the_days_of_23_and_25_hours_have_their_hours():
    """12 March and 5 November 2023 in the United States."""
    clock = bill_calendar(Tariff(**SHORT), *CHICAGO).clock_hour
    spring, autumn = _first_hour(3, 12), _first_hour(11, 5)
    assert clock[spring:spring + 4].tolist() == [0, 1, 3, 4]
    assert clock[autumn - 1:autumn + 3].tolist() == [0, 1, 1, 2]


def test_on_peak_hours_begin_by_the_clock_in_winter_and_in_summer():
    calendar = bill_calendar(river_falls_time_of_day(), *CHICAGO, 2026)
    winter, summer = _first_hour(1, 14), _first_hour(7, 15)           # both Wednesdays
    assert np.flatnonzero(calendar.window[winter:winter + 24] == 0).tolist() == list(range(8, 20))
    assert np.flatnonzero(calendar.window[summer:summer + 24] == 0).tolist() == list(range(7, 19))


def test_demand_has_a_calendar_of_its_own():
    calendar = bill_calendar(demand_every_day(), None, -6, 2026)
    sunday = _first_hour(7, 5)
    assert set(calendar.window[sunday:sunday + 24].tolist()) == {1}
    assert np.flatnonzero(calendar.demand[0][sunday:sunday + 24]).tolist() == list(range(6, 22))
    benton = bill_calendar(benton_demand(), None, -8)
    for month, hours in ((1, [6, 7, 8, 17, 18, 19]), (7, [17, 18, 19])):
        day = _first_hour(month, 10)
        assert np.flatnonzero(benton.demand[0][day:day + 24]).tolist() == hours


def test_a_season_may_lie_over_the_end_of_the_year():
    calendar = bill_calendar(seymour(), None, -5)
    assert calendar.season[[0, _first_hour(5, 31), _first_hour(6, 1), _first_hour(9, 30), _first_hour(10, 1), 8759]].tolist() == [
        1, 1, 0, 0, 1, 1]


def test_entries_of_one_name_are_one_window_and_one_season():
    tariff = Tariff.model_validate({
        "seasons": [{"name": "shoulder", "begins": "March 1", "ends": "May 31"}, {"name": "summer", "begins": "June 1", "ends": "August 31"},
                    {"name": "shoulder", "begins": "September 1", "ends": "November 30"},
                    {"name": "winter", "begins": "December 1", "ends": "February 28"}],
        "windows": [{"name": "on-peak", "seasons": ["summer"], "hours": ["14-19"]},
                    {"name": "on-peak", "seasons": ["winter", "shoulder"], "hours": ["6-9", "17-20"]}, {"name": "off-peak"}],
        "energy": [{"prices": [{"window": "on-peak", "price_per_kwh": 0.3}, {"window": "off-peak", "price_per_kwh": 0.1}]}],
        "export_rule": {"rule": "none"}})
    calendar = bill_calendar(tariff, None, -5)
    assert calendar.season[[_first_hour(4, 1), _first_hour(10, 1), _first_hour(7, 1), 0]].tolist() == [0, 0, 1, 2]
    for month, hours in ((7, [14, 15, 16, 17, 18]), (10, [6, 7, 8, 17, 18, 19])):
        day = _first_hour(month, 10)
        assert np.flatnonzero(calendar.window[day:day + 24] == 0).tolist() == hours


@pytest.mark.parametrize("published", PUBLISHED, ids=lambda tariff: tariff.__name__)
def test_every_published_tariff_has_a_calendar(published):
    calendar = bill_calendar(published(), *CHICAGO, 2026)
    assert all(array.shape == (8760,) and not array.flags.writeable for array in (
        calendar.period, calendar.season, calendar.window, calendar.month, calendar.clock_hour, *calendar.demand))


def test_a_holiday_of_a_weekend_is_celebrated_on_friday_or_monday_unless_the_tariff_says_no():
    """US Code title 5 § 6103: Christmas 2021, a Saturday, on Friday 24; Christmas 2022, a Sunday, on Monday 26."""
    for year, celebrated in ((2021, (12, 24)), (2022, (12, 26))):
        for counts in (True, False):
            kinds = day_kinds(Holidays(country="US", names=["Christmas Day"], celebrated=counts), year)
            found = np.flatnonzero(kinds == days.HOLIDAY).tolist()
            assert found == ([_first_hour(*celebrated) // 24] if counts else [])


def test_a_holiday_known_in_one_state_alone_is_found_by_its_name():
    kinds = day_kinds(Holidays(country="US", names=["Day After Thanksgiving"]), 2026)
    assert np.flatnonzero(kinds == days.HOLIDAY).tolist() == [_first_hour(11, 27) // 24]


def test_a_leap_year_has_no_29_february_here():
    assert len(day_kinds(None, 2024)) == 365
    assert day_kinds(None, 2024)[59] == days.WEEKDAY        # 1 March 2024 was a Friday
    calendar = bill_calendar(Tariff(**SHORT), "Australia/Sydney", 10.0, 2024)
    assert np.bincount(calendar.period, minlength=12)[1] == 28 * 24
