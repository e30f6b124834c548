"""The same house on the other side of the equator: what follows from the geometry of the sphere, no source needed."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from reportgen.climate.read import read_year
from reportgen.production.chain import produce
from reportgen.production.plane import incidence_deg
from tests.climate.files import PVLIB_DATA
from tests.houses import house
from tests.production.years import filled

HALF_A_YEAR_H = 182 * 24


def textbook_sun(latitude_deg, declination_deg, hour_angle_deg):
    """(zenith, azimuth clockwise from north) [°] of a sun at this declination; hour angle negative before noon."""
    lat, dec, hour = np.radians([latitude_deg, declination_deg, hour_angle_deg])
    east, north = -np.cos(dec) * np.sin(hour), np.cos(lat) * np.sin(dec) - np.sin(lat) * np.cos(dec) * np.cos(hour)
    up = np.sin(lat) * np.sin(dec) + np.cos(lat) * np.cos(dec) * np.cos(hour)
    return np.degrees(np.arccos(np.clip(up, -1.0, 1.0))), np.degrees(np.arctan2(east, north)) % 360


@settings(max_examples=100, deadline=None, derandomize=True)
@given(st.floats(-66, 66), st.floats(-23.4, 23.4), st.floats(-120, 120), st.floats(0, 90), st.floats(0, 359))
def test_incidence_is_mirrored_exactly_at_equal_declination(latitude, declination, hour, slope, azimuth):
    here = incidence_deg(slope, azimuth, *textbook_sun(latitude, declination, hour))
    there = incidence_deg(slope, (180 - azimuth) % 360, *textbook_sun(-latitude, -declination, hour))
    assert there == pytest.approx(here, abs=1e-5)


@pytest.mark.parametrize(("place", "name"), [
    ({"latitude": 36.1, "longitude": -79.9}, "723170TYA.CSV"), ({"latitude": 55.3, "longitude": -160.5}, "703165TY.csv")])
def test_a_mirrored_house_under_weather_half_a_year_later_gives_the_same_year(place, name):
    """Within 1 %: the sun's path is not quite the same in both halves of its year."""
    year = read_year(house(place=place, weather={"source": "file", "file": name}), PVLIB_DATA)
    arrays = {key: np.roll(getattr(year, key), HALF_A_YEAR_H)
              for key in ("ghi_w_m2", "dni_w_m2", "dhi_w_m2", "air_c", "wind_m_s")}
    mirrored = replace(year, latitude=-year.latitude, **arrays)
    faces = [(30, 180), (20, 135), (40, 260)]

    def made(azimuths, a_year):
        roof = [{"slope_deg": slope, "azimuth_deg": azimuth, "module_count": 8} for (slope, _), azimuth
                in zip(faces, azimuths, strict=True)]
        return produce(filled(roof=roof, array={"module_count": 24, "inverter_kw": 9.0}), a_year)

    here, there = made([a for _, a in faces], year), made([(180 - a) % 360 for _, a in faces], mirrored)
    assert there.year.value == pytest.approx(here.year.value, rel=0.01)
    assert there.faces[0].year_kwh == pytest.approx(here.faces[0].year_kwh, rel=0.01)
