"""A year of use as hours: months exact, shapes as stated, clocks and seasons of the place."""

import csv
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from reportgen.bills.clock import household_clock
from reportgen.bills.months import MONTH_DAYS
from reportgen.bills.shapes import shapes
from reportgen.bills.use import use_hours
from reportgen.climate.typical_year import MODEL_YEAR
from tests.bills.hours import LOAD_KWH
from tests.bills.weather import plain_year
from tests.houses import house

SAMPLES = Path(__file__).parents[2].parent / "shared" / "data" / "loadshape" / "greenbutton-sdk-2011-daily-shapes.csv"
MADE_OF = {"evening peak": ("coastal_multi_family", "inland_multi_family"),
           "home by day": ("desert_single_family", "mountain_multi_family")}


def _use(offset=-5, **changed):
    return use_hours(house(**changed), plain_year(offset))


def _month_sums(hours):
    """By the household's months: they begin at its own midnight, in summer time an hour before that of standard time."""
    return np.bincount(household_clock("America/New_York", -5, MODEL_YEAR).month, hours)


def _mean_day(hours, month):
    """24 means over one month (January = 0), in standard time."""
    start = sum(MONTH_DAYS[:month])
    return hours.reshape(365, 24)[start:start + MONTH_DAYS[month]].mean(axis=0)


@settings(max_examples=25, deadline=None)
@given(st.lists(st.floats(0, 5000), min_size=12, max_size=12).filter(lambda m: sum(m) > 1),
       st.sampled_from(["evening peak", "home by day"]), st.floats(-60, 60))
def test_each_months_hours_sum_to_the_months_use(months, shape, latitude):
    use = _use(use={"annual_kwh": None, "monthly_kwh": months, "shape": shape}, place={"latitude": latitude})
    assert len(use.hours_kwh) == 8760
    assert use.hours_kwh.min() >= 0
    assert _month_sums(use.hours_kwh) == pytest.approx(months, abs=1e-6)


def test_a_years_sum_is_spread_evenly_over_the_days_and_that_is_said():
    use = _use(use={"annual_kwh": 7300})
    assert _month_sums(use.hours_kwh) == pytest.approx(20 * np.array(MONTH_DAYS), abs=1e-6)
    assert any("which is assumed" in note for note in use.notes)
    months = _use(use={"annual_kwh": None, "monthly_kwh": LOAD_KWH})
    assert not any("which is assumed" in note for note in months.notes)


def test_the_hours_are_said_to_be_modelled():
    assert any("modelled, not measured" in note for note in _use().notes)


def test_every_day_of_a_shape_sums_to_one():
    for name in MADE_OF:
        table, source = shapes()[name]
        assert table.sum(axis=2) == pytest.approx(np.ones((12, 3)), abs=1e-4)   # the samples carry five decimals
        assert "Apache-2.0" in source


def test_a_household_at_home_by_day_uses_more_of_its_power_from_9_to_16():
    evening, by_day = (shapes()[name][0] for name in ("evening peak", "home by day"))
    assert by_day[:, 0, 9:16].mean() > evening[:, 0, 9:16].mean()
    assert by_day[:, 0, 17:22].mean() < evening[:, 0, 17:22].mean()


def test_the_shapes_are_the_means_of_two_published_samples():
    """Six hourly sample years of 2011 in the open Green Button software kit, Apache-2.0."""
    if not SAMPLES.exists():
        pytest.skip(f"{SAMPLES.name} is not beside this clone")
    shares = {}
    with SAMPLES.open(encoding="utf-8") as file:
        for row in csv.DictReader(file):
            key = (row["household"], int(row["month"]) - 1, ("weekday", "weekend").index(row["daytype"]), int(row["hour_local"]))
            shares[key] = float(row["share_of_day"])
    for name, parts in MADE_OF.items():
        table = shapes()[name][0][:, :2]
        for index in np.ndindex(table.shape):
            assert table[index] == pytest.approx(sum(shares[part, *index] for part in parts) / 2, abs=1e-6)


def test_in_summer_time_the_day_of_use_comes_an_hour_earlier_by_standard_time():
    with_clock_change = _use(place={"time_zone": "America/New_York"}).hours_kwh
    without = _use(place={"time_zone": "Etc/GMT+5"}).hours_kwh
    assert _mean_day(with_clock_change, 0) == pytest.approx(_mean_day(without, 0), rel=1e-6)
    shifted = np.roll(_mean_day(without, 6), -1)
    assert _mean_day(with_clock_change, 6) == pytest.approx(shifted, rel=0.01)   # weekends begin an hour earlier too


def test_a_place_without_a_written_time_zone_keeps_standard_time_and_says_so():
    use = _use(place={"time_zone": None})
    assert use.hours_kwh == pytest.approx(_use(place={"time_zone": "Etc/GMT+5"}).hours_kwh)
    assert any("time zone is not written" in note for note in use.notes)


def test_an_unknown_time_zone_is_named_with_what_is_expected():
    with pytest.raises(ValueError, match='the time zone "America/Nowhere" is not known; an IANA name is expected'):
        _use(place={"time_zone": "America/Nowhere"})


def test_south_of_the_equator_the_seasons_are_half_a_year_later():
    north = _use(place={"latitude": 34.0, "time_zone": "Etc/GMT+5"}, use={"annual_kwh": None, "monthly_kwh": [100] * 12})
    south = _use(place={"latitude": -34.0, "time_zone": "Etc/GMT+5"}, use={"annual_kwh": None, "monthly_kwh": [100] * 12})
    # January and July both have 31 days; weekends fall differently, hence one per cent
    assert _mean_day(south.hours_kwh, 0) == pytest.approx(_mean_day(north.hours_kwh, 6), rel=0.01)
    assert any("half a year later" in note for note in south.notes)
