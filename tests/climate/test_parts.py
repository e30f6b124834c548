"""Closed formulas, the smooth field and the split of light, each against its own source."""

from __future__ import annotations

import numpy as np
import pytest

from reportgen.climate.daylight import (
    MONTH_OF_DAY,
    extraterrestrial_days,
    sunset_angle,
    sunshine_clearness,
)
from reportgen.climate.kriging import Field, distance_km, leave_one_out
from reportgen.climate.synthesis import DAY_ORDER, diffuse_share
from reportgen.climate.temperature import daily_means, hourly_air_c


def test_fao_56_example_8_extraterrestrial_radiation():
    """FAO-56 (1998), Example 8: 20 degrees south, 3 September: Ra = 32.2 MJ/m² in a day, sunset angle 1.527 rad."""
    day = 246 - 1
    assert extraterrestrial_days(-20.0)[0, day] * 86400 / 1e6 == pytest.approx(32.2, abs=0.1)
    assert sunset_angle(-20.0)[0, day] == pytest.approx(1.527, abs=0.001)


def test_fao_56_example_9_daylight_hours():
    """The same day and place: N = 11.7 hours."""
    assert 24 / np.pi * sunset_angle(-20.0)[0, 245] == pytest.approx(11.7, abs=0.05)


def test_fao_56_equation_35_runs_from_a_quarter_to_three_quarters():
    daylight = (24 / np.pi * sunset_angle(40.0)).sum()
    assert sunshine_clearness([40.0], [0.0])[0] == pytest.approx(0.25)
    assert sunshine_clearness([40.0], [daylight])[0] == pytest.approx(0.75)


def test_fao_56_example_10_sunlight_from_sunshine():
    """Rio de Janeiro in May: n = 7.1 of N = 10.9 hours, Ra = 25.1: Rs = 14.5 MJ/m². Here n / N for a whole year."""
    daylight = (24 / np.pi * sunset_angle(-22.9)).sum()
    assert sunshine_clearness([-22.9], [daylight * 7.1 / 10.9])[0] * 25.1 == pytest.approx(14.5, abs=0.1)


def test_the_diffuse_share_falls_with_clearness_and_is_whole_under_thick_cloud():
    """Ends as printed in Solar Energy 28 (1982) 293-302: 1 at clearness 0; 0.143 in winter, 0.175 otherwise, when clear."""
    k = np.linspace(0.0, 0.9, 91)
    for sunset, clear in ((np.radians(75), 0.143), (np.radians(95), 0.175)):
        share = diffuse_share(k, np.full(len(k), sunset))
        assert share[0] == pytest.approx(1.0) and share[-1] == clear
        assert (np.diff(share[15:]) < 0.02).all()
        assert (share <= 1.0).all() and (share >= clear - 0.01).all()


def test_the_order_of_days_uses_each_once_goes_together_by_a_quarter_and_has_no_trend():
    for count, order in DAY_ORDER.items():
        assert sorted(order) == list(range(count))
        ranks = np.array(order) - np.mean(order)
        assert (ranks * np.roll(ranks, 1)).mean() / (ranks**2).mean() == pytest.approx(0.25, abs=0.01)
        assert abs(np.corrcoef(ranks, np.arange(count))[0, 1]) < 0.01


def test_daily_means_keep_each_month_exactly():
    months = np.array([-5.0, -3.0, 4.0, 9.5, 15.0, 20.0, 24.0, 22.5, 17.0, 10.0, 3.0, -2.0])
    days = daily_means(months)
    assert np.allclose([days[m == MONTH_OF_DAY].mean() for m in range(12)], months)
    assert abs(np.diff(days)).max() < 0.6


def test_the_day_is_warmest_in_mid_afternoon_and_swings_as_fao_56_says():
    """FAO-56 eq. 50 turned round: clearness 0.6 and 0.17 give (0.6 / 0.17)² = 12.5 K; warmest near 15 h solar time."""
    hours = hourly_air_c(np.full(12, 10.0), np.full(365, 0.6), 0.5).reshape(365, 24)[100]
    assert hours.max() - hours.min() == pytest.approx(12.5, rel=0.05)
    assert 13 <= hours.argmax() <= 16 and 3 <= hours.argmin() <= 6
    assert hours.mean() == pytest.approx(10.0)


def test_distances_on_the_globe():
    """A quarter of the circle, through the Earth: radius times the root of 2."""
    assert distance_km(0, 0, 0, 90)[0, 0] == pytest.approx(6371 * 2**0.5)
    assert distance_km(40, -75, 41, -75)[0, 0] == pytest.approx(111.2, abs=0.1)


def test_the_field_passes_through_its_values_finds_a_plane_and_is_less_sure_far_off():
    latitude, longitude = np.linspace(-40, 40, 9), np.linspace(0, 80, 9)
    trend = np.stack([np.ones(9), latitude], axis=1)
    field = Field(latitude, longitude, 5 + 0.1 * latitude, trend, lambda d: np.exp(-d / 1000.0), 0.0)
    values, sigma = field.at(latitude, longitude, trend)
    assert np.allclose(values[:, 0], 5 + 0.1 * latitude) and sigma.max() < 1e-4
    far, far_sigma = field.at([20.0], [-150.0], np.array([[1.0, 20.0]]))
    assert far[0, 0] == pytest.approx(7.0) and far_sigma[0] > 0.9
    errors, _ = leave_one_out(latitude, longitude, 5 + 0.1 * latitude, trend, lambda d: np.exp(-d / 1000.0), 0.1, 100.0)
    assert abs(errors).max() < 1e-6
