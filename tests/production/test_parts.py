"""Limits of each part of the chain that physics or a definition dictates."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from reportgen.climate.sun import SunPath
from reportgen.production.conversion import EFFICIENCY, LOAD, WEIGHT, convert
from reportgen.production.degradation import degradation_factor
from reportgen.production.heat import cell_temperature_c, heat_factor
from reportgen.production.plane import PlaneLight, geometry, glass_modifier, plane_light
from reportgen.production.spread import nine_in_ten, spread_of
from tests.production.years import greensboro

MOUNTINGS = ("close roof", "flat roof", "raised", "ground")


@pytest.mark.parametrize("percent", [90.0, 96.0, 97.0, 100.0])
def test_the_weighted_efficiency_over_six_loads_is_the_data_sheets(percent):
    load_kw = LOAD * 5.0 / (percent / 100)
    assert WEIGHT @ (convert(load_kw, 5.0, percent) / load_kw) == pytest.approx(percent / 100, rel=1e-12)


def test_the_measured_set_comes_back_at_its_own_weighted_efficiency():
    own = 100 * float(WEIGHT @ EFFICIENCY)
    load_kw = LOAD * 5.0 / (own / 100)
    assert convert(load_kw, 5.0, own) / load_kw == pytest.approx(EFFICIENCY, rel=1e-12)


@settings(max_examples=30, deadline=None)
@given(limit=st.floats(0.1, 50), percent=st.floats(80, 100))
def test_more_dc_never_gives_less_ac_and_ac_never_exceeds_dc(limit, percent):
    dc = np.linspace(0, 3 * limit, 400)
    ac = convert(dc, limit, percent)
    assert ac[0] == 0
    assert (np.diff(ac) >= -1e-12 * limit).all()
    assert (ac <= dc + 1e-12 * limit).all()
    assert (ac >= 0).all()


@pytest.mark.parametrize("mounting", MOUNTINGS)
def test_in_the_dark_the_cells_have_the_airs_temperature(mounting):
    assert cell_temperature_c(0.0, -7.0, 3.0, 45, mounting) == -7.0


@pytest.mark.parametrize("mounting", MOUNTINGS)
def test_wind_cools(mounting):
    still, windy = (cell_temperature_c(800.0, 20.0, wind, 45, mounting) for wind in (0.0, 5.0))
    assert still > windy > 20


def test_power_is_the_labels_at_25_degrees_more_when_cold_and_never_negative():
    assert heat_factor(25.0, -0.36) == 1.0
    assert heat_factor(65.0, -0.36) == pytest.approx(1 - 0.36 * 0.40)
    assert heat_factor(-15.0, -0.36) > 1
    assert heat_factor(200.0, -1.0) == 0


def test_glass_lets_all_pass_straight_on_and_nothing_along_it():
    angles = np.linspace(0, 90, 91)
    passed = glass_modifier(angles)
    assert passed[0] == pytest.approx(1.0, abs=1e-12)
    assert passed[-1] == pytest.approx(0.0, abs=1e-12)
    assert (np.diff(passed) <= 1e-12).all()


def test_glass_treats_beam_sky_and_ground_each_by_its_own_measure():
    sun = SunPath(*(np.array([v]) for v in (70.0, 70.0, 250.0, 1360.0)))
    plane = geometry(40.0, 180.0, sun)
    passed = [PlaneLight(*(np.array([100.0 * (part == kind)]) for part in range(4))).behind_glass(plane)[0]
              for kind in range(4)]
    beam = 100 * plane.beam_modifier[0]
    assert passed == pytest.approx([beam, beam, 100 * plane.sky_modifier, 100 * plane.ground_modifier])
    assert len({round(p, 3) for p in passed}) == 3


def test_a_sun_behind_the_plane_gives_no_beam():
    sun = SunPath(*(np.array([v]) for v in (60.0, 60.0, 0.0, 1360.0)))
    wall = geometry(90.0, 180.0, sun)
    light = plane_light(wall, sun, np.array([500.0]), np.array([800.0]), np.array([100.0]))
    assert light.beam[0] == light.circumsolar[0] == 0
    assert light.sky[0] > 0 and light.ground[0] == pytest.approx(500 * 0.2 / 2)


def test_only_the_single_years_part_averages_out():
    spread = spread_of(greensboro())
    fixed = sum(p.sigma ** 2 for p in spread.parts if not p.every_year_anew)
    assert spread.one_year_sigma ** 2 == pytest.approx(fixed + 0.039 ** 2)
    assert spread.mean_of_25_sigma ** 2 == pytest.approx(fixed + 0.039 ** 2 / 25)
    assert [p.every_year_anew for p in spread.parts].count(True) == 1


def test_a_year_never_gives_less_than_nothing():
    assert nine_in_ten(1000.0, 2.0)[0] == 0


def test_the_first_year_is_the_measure_and_no_ageing_stays_one():
    assert degradation_factor(1, 0.5) == 1.0
    assert degradation_factor(30, 0.0) == 1.0
    with pytest.raises(ValueError, match="years count from 1"):
        degradation_factor(0, 0.5)
