"""The embedded atlas: what holds at every place, how islands and open sea are treated, and what the report is told."""

from __future__ import annotations

import math
from functools import cache
from importlib import resources
from pathlib import Path

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from reportgen.climate import table
from reportgen.climate.atlas import SIGMA, SIGMA_ISLAND, SIGMA_UNEVEN, atlas_year, monthly_sun
from reportgen.climate.daylight import MONTH_DAYS, extraterrestrial_months
from reportgen.climate.errors import ClimateError
from reportgen.climate.read import read_year
from reportgen.climate.site import elevation_of
from reportgen.climate.sun import sun_path
from reportgen.climate.temperature import monthly_air_c
from tests.houses import house

MONTH_OF_HOUR = np.repeat(np.arange(12), MONTH_DAYS * 24)
LATITUDES, LONGITUDES = st.floats(-55.0, 66.0), st.floats(-179.9, 179.9)


def year_or_none(latitude, longitude):
    try:
        return atlas_year(latitude, longitude, time_zone="UTC")
    except ClimateError:
        return None


@cache
def greensboro():
    return atlas_year(36.1, -79.9)


@settings(max_examples=25, deadline=None, derandomize=True)
@given(LATITUDES, LONGITUDES)
def test_any_year_is_whole_and_physical(latitude, longitude):
    year = year_or_none(latitude, longitude)
    assume(year is not None)
    sun = sun_path(latitude, longitude, year.utc_offset_h, year.elevation_m)
    for key in ("ghi_w_m2", "dni_w_m2", "dhi_w_m2", "air_c", "wind_m_s"):
        array = getattr(year, key)
        assert array.shape == (8760,) and np.isfinite(array).all() and not array.flags.writeable, key
    night = sun.apparent_zenith_deg >= 90.0
    assert year.ghi_w_m2[night].max() == year.dni_w_m2[night].max() == 0.0
    assert min(year.ghi_w_m2.min(), year.dni_w_m2.min(), year.dhi_w_m2.min()) >= 0.0
    assert year.dni_w_m2.max() < 1150.0 and (year.ghi_w_m2 <= 1.3 * sun.extraterrestrial_w_m2).all()
    up = np.maximum(np.cos(np.radians(sun.apparent_zenith_deg)), 0.0)
    assert np.allclose(year.ghi_w_m2, year.dni_w_m2 * up + year.dhi_w_m2, atol=1e-6)
    assert -50.0 < year.air_c.min() < year.air_c.max() < 60.0


@settings(max_examples=25, deadline=None, derandomize=True)
@given(LATITUDES, LONGITUDES)
def test_months_of_any_year_are_those_of_the_table(latitude, longitude):
    year = year_or_none(latitude, longitude)
    assume(year is not None)
    expected = monthly_sun(latitude, longitude).ghi_kwh_m2(latitude)
    got = np.bincount(MONTH_OF_HOUR, year.ghi_w_m2) / 1000.0
    # Short of the table only where there is no sun to give it, at the edge of polar night, a few kWh.
    assert (got <= expected + 1e-6).all()
    reached = extraterrestrial_months(latitude)[0] > 60.0
    assert np.allclose(got[reached], expected[reached], rtol=1e-6)
    air, _ = monthly_air_c(latitude, longitude, year.elevation_m)
    assert np.allclose(np.bincount(MONTH_OF_HOUR, year.air_c) / (MONTH_DAYS * 24), air, atol=1e-6)


@settings(max_examples=60, deadline=None, derandomize=True)
@given(LATITUDES, LONGITUDES, st.floats(0.0, 2 * math.pi))
def test_houses_one_kilometre_apart_differ_by_less_than_one_percent(latitude, longitude, towards):
    assume(elevation_of(latitude, longitude) > 0)
    other = (latitude + math.cos(towards) / 111.2,
             longitude + math.sin(towards) / (111.2 * math.cos(math.radians(latitude))))
    try:
        here, there = monthly_sun(latitude, longitude), monthly_sun(*other)
    except ClimateError:
        assume(False)
    a, b = here.ghi_kwh_m2(latitude), there.ghi_kwh_m2(other[0])
    assert abs(a.sum() / b.sum() - 1.0) < 0.01
    assert abs(monthly_air_c(latitude, longitude, 100.0)[0] - monthly_air_c(*other, 100.0)[0]).max() < 0.2


def test_the_same_place_gives_the_same_bits():
    again = atlas_year(36.1, -79.9)
    assert np.array_equal(again.ghi_w_m2, greensboro().ghi_w_m2)
    assert np.array_equal(again.air_c, greensboro().air_c)


def test_noon_of_the_clock_is_noon_of_the_sun():
    """At 80° west on UTC−5 the sun crosses the meridian at 12:20, give or take the equation of time (16 minutes)."""
    hours = greensboro().ghi_w_m2.reshape(365, 24)
    centre = (hours * (np.arange(24) + 0.5)).sum(axis=1) / hours.sum(axis=1)
    assert abs(centre.mean() - 12.33) < 0.05
    assert centre.min() > 11.95 and centre.max() < 12.7


def test_days_go_together_a_little_as_in_weather_files():
    """Clearness of one day and the next: correlation 0.20 to 0.29 in files; here with the seasons in it up to 0.5."""
    sun = sun_path(36.1, -79.9, -5.0, greensboro().elevation_m)
    outside = (sun.extraterrestrial_w_m2 * np.maximum(np.cos(np.radians(sun.zenith_deg)), 0.0)).reshape(365, 24).sum(1)
    clearness = greensboro().ghi_w_m2.reshape(365, 24).sum(axis=1) / outside
    assert 0.1 < np.corrcoef(clearness[1:], clearness[:-1])[0, 1] < 0.5


def test_summer_is_in_january_south_of_the_equator():
    south = atlas_year(-33.9, 151.2)
    months = np.bincount(MONTH_OF_HOUR, south.ghi_w_m2)
    assert months[0] > 2 * months[5]
    assert south.air_c[:744].mean() > south.air_c[MONTH_OF_HOUR == 6].mean() + 5


def test_a_higher_house_is_colder():
    low, high = monthly_air_c(39.7, -105.0, 1600.0)[0], monthly_air_c(39.7, -105.0, 2600.0)[0]
    assert 3.0 < (low - high).mean() < 6.5   # the free air cools by 6.5 K/km (standard atmosphere); valleys by less


def test_inland_in_calm_country_the_usual_uncertainty_stands_with_no_note():
    assert greensboro().weather_sigma == SIGMA
    assert greensboro().notes == ()
    assert 0.3 < greensboro().air_error_k < 3.0
    assert any("MERRA-2" in source for source in greensboro().sources)


def test_a_place_where_cells_disagree_or_are_missing_gets_a_wider_range_and_a_note():
    uneven = monthly_sun(48.1, -123.5)      # behind the Olympic Mountains
    assert uneven.sigma == SIGMA_UNEVEN and "differ by" in uneven.notes[0]
    edge = monthly_sun(62.0, -6.8)          # the Faroe Islands
    assert edge.sigma == SIGMA_UNEVEN and len(edge.notes) == 1


def test_hawaii_gets_a_year_from_honolulus_sunshine_and_a_note():
    year = atlas_year(21.3, -157.9)
    assert year.weather_sigma == SIGMA_ISLAND > SIGMA_UNEVEN
    assert "Honolulu" in year.notes[0] and "windward" in year.notes[0]
    # Range for the leeward coast of Oahu, from memory: 1,850 to 2,150 kWh/m².
    assert 1800 < year.ghi_w_m2.sum() / 1000 < 2200


@pytest.mark.parametrize(("latitude", "longitude"), [(20.0, -150.0), (-30.0, -110.0), (0.0, -25.0), (30.0, 180.0)])
def test_the_open_sea_is_refused_with_the_way_out(latitude, longitude):
    with pytest.raises(ClimateError, match="weather file"):
        atlas_year(latitude, longitude)


@pytest.mark.parametrize("latitude", [80.0, 72.5, -60.0, -90.0])
def test_beyond_the_table_the_message_names_its_ends(latitude):
    with pytest.raises(ClimateError, match="57° south and 72° north"):
        atlas_year(latitude, 20.0)


def test_polar_night_is_dark_and_the_year_is_whole():
    year = atlas_year(69.6, 18.9)
    months = np.bincount(MONTH_OF_HOUR, year.ghi_w_m2) / 1000.0
    assert months[11] < 0.5 and months[5] > 100


def test_a_house_is_read_with_its_own_height_and_clock():
    year = read_year(house(place={"latitude": 39.7, "longitude": -105.2, "elevation_m": 1830,
                                  "time_zone": "America/Denver"}), Path())
    assert (year.elevation_m, year.utc_offset_h) == (1830.0, -7.0)


def test_the_table_is_small_and_carries_its_notice():
    tables = resources.files("reportgen") / "tables"
    assert len((tables / table.FILE).read_bytes()) < 350_000
    notice = (tables / "NOTICE.climate_atlas.md").read_text(encoding="utf-8")
    for words in ("10.1175/JCLI-D-16-0758.1", "10.1016/j.energy.2016.08.060",
                  "Sunshine data © GeoRank.place (georank.place), CC-BY-4.0.",
                  "Temperature data © GeoRank.place (georank.place), CC-BY-4.0,", "Changed."):
        assert words in notice
