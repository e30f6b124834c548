"""Coming changes of use: from their day on, in their hours, and never before."""

from datetime import date

import numpy as np
import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from reportgen.bills.clock import household_clock
from reportgen.bills.use import use_hours
from tests.bills.weather import plain_year
from tests.houses import house

YEAR = plain_year()
CLOCK = household_clock("America/New_York", -5, 2023)
KINDS = {"electric car": 2600.0, "heat pump": 3000.0, "water heater": 2500.0, "another person": 900.0, "other": -400.0,
         "somebody leaves": -1200.0}


def _use(*changes, finish_day="2027-05-01", **use):
    return use_hours(house(finish_day=finish_day, use={"changes": list(changes), **use}), YEAR)


def _change(what="electric car", begins="2029-05-01", **more):
    return {"what": what, "begins": begins, "kwh_per_year": KINDS[what], **more}


def test_a_change_on_the_finish_days_date_counts_from_that_whole_year_on():
    use = _use(_change(begins="2029-05-01"))
    for year in range(25):
        added = use.by_year(year).sum() - use.hours_kwh.sum()
        assert added == pytest.approx(2600 if year >= 2 else 0, abs=1e-6)


def test_without_a_finish_day_years_are_counted_from_the_reports_day():
    use = _use(_change(begins="2028-11-20"), finish_day=None)      # the report's day is 2026-11-20
    assert use.by_year(1).sum() == pytest.approx(9100)
    assert use.by_year(2).sum() == pytest.approx(11700)


def test_what_begins_within_a_year_counts_from_its_day_to_the_years_end():
    """Finished on 1 May 2027: the year from then has its car from 1 November on, half of the year's days and kWh."""
    use = _use(_change("other", begins="2027-11-01", kwh_per_year=3650.0))
    first = use.by_year(0) - use.hours_kwh
    assert first.sum() == pytest.approx(10 * 181, rel=1e-9)        # November to April
    by_day = first.reshape(365, 24).sum(axis=1)
    assert by_day[120:304] == pytest.approx(np.zeros(184))         # 1 May to 31 October
    assert (use.by_year(1) - use.hours_kwh).sum() == pytest.approx(3650)


def test_what_has_begun_already_counts_at_once():
    assert _use(_change(begins="2026-01-01")).by_year(0).sum() == pytest.approx(9100 + 2600)


def test_an_electric_car_is_charged_at_night_unless_other_hours_are_named():
    usual = _use(_change())
    extra = usual.by_year(5) - usual.hours_kwh
    assert set(CLOCK.hour[extra > 1e-9]) == {22, 23, 0, 1, 2, 3, 4, 5}
    assert any("from 22 to 6 o'clock, its usual hours (common practice, no source)" in note for note in usual.notes)
    named = _use(_change(hours=["10-16"], months=["June", "July"]))
    extra = named.by_year(5) - named.hours_kwh
    assert set(CLOCK.hour[extra > 1e-9]) == set(range(10, 16))
    assert set(CLOCK.month[extra > 1e-9]) == {5, 6}
    assert extra.sum() == pytest.approx(2600)


def test_a_heat_pump_follows_the_cold_and_a_person_the_household():
    pump = _use(_change("heat pump"))
    extra = pump.by_year(5) - pump.hours_kwh
    assert extra[YEAR.air_c >= 18].max() == pytest.approx(0, abs=1e-9)
    assert extra.sum() == pytest.approx(3000)
    person = _use(_change("another person"))
    assert person.by_year(5) == pytest.approx(person.hours_kwh * (1 + 900 / 9100))


def test_a_heat_pump_where_it_is_never_cold_is_spread_evenly_and_that_is_said():
    a_house = house(use={"changes": [_change("heat pump", begins="2026-01-01")]})
    use = use_hours(a_house, plain_year(mean_c=40))
    assert use.by_year(0).sum() == pytest.approx(9100 + 3000)
    assert any("this place knows no cold" in note for note in use.notes)


def test_more_than_is_used_can_not_go_and_that_is_said():
    use = _use(_change("somebody leaves", kwh_per_year=-50_000.0, begins="2026-01-01"))
    assert use.by_year(0).min() >= 0
    assert use.by_year(0).sum() == pytest.approx(0.05 * 9100)
    assert any("are used in those hours and can go" in note for note in use.notes)


def _years_on(day, count):
    """The same day of a later year; for 29 February the day after, where the year has none."""
    is_leap_day = (day.month, day.day) == (2, 29)
    return date(day.year + count, 3, 1) if is_leap_day else day.replace(year=day.year + count)


@settings(max_examples=40, deadline=None)
@given(st.sampled_from(sorted(KINDS)), st.dates(date(2024, 1, 1), date(2060, 12, 31)), st.dates(date(2024, 1, 1), date(2030, 12, 31)))
@example("another person", date(2025, 1, 28), date(2024, 1, 29))
@example("another person", date(2028, 2, 29), date(2024, 2, 29))
@example("another person", date(2028, 2, 29), date(2027, 2, 28))
@example("electric car", date(2028, 2, 29), date(2027, 3, 1))
def test_a_change_alters_no_day_before_it_begins_and_is_whole_a_year_after(what, begins, finish):
    use = _use(_change(what, begins=begins.isoformat()), finish_day=finish.isoformat())
    for year in range(25):
        hours = use.by_year(year)
        assert hours.min() >= 0
        if _years_on(finish, year + 1) <= begins:    # that year has ended by then
            assert np.array_equal(hours, use.hours_kwh)
        if _years_on(finish, year) >= begins:
            assert hours.sum() == pytest.approx(9100 + KINDS[what], abs=1e-6)
