"""Weather files are their own witness: GHI = DNI cos z + DHI holds only with the sun at the middle of their hours.

Files: Greensboro and Sand Point (TMY3) and Miami (TMY2), public data of NREL that pvlib carries; EPW made from the first.
Limits: 3 W/m² for TMY3 and EPW, 8 for TMY2 (measured 1.2, 0.6 and 6.1; rounding of the files explains them).
"""

from __future__ import annotations

import pytest

from reportgen.climate.clock import clock_error_min, closure_rms_w_m2
from reportgen.climate.read import read_year
from tests.climate.files import PVLIB_DATA, epw_lines, write_epw
from tests.houses import house

GREENSBORO = {"latitude": 36.1, "longitude": -79.9}
CASES = {
    "723170TYA.CSV": (GREENSBORO, 3.0),
    "703165TY.csv": ({"latitude": 55.3, "longitude": -160.5}, 3.0),
    "12839.tm2": ({"latitude": 25.8, "longitude": -80.3}, 8.0),
}


def year_of(folder, name, place):
    return read_year(house(place=place, weather={"source": "file", "file": name}), folder)


@pytest.mark.parametrize("name", CASES)
def test_the_three_kinds_of_sunlight_agree_at_mid_hour_and_no_half_hour_off(name):
    place, limit = CASES[name]
    year = year_of(PVLIB_DATA, name, place)
    assert closure_rms_w_m2(year) < limit
    assert closure_rms_w_m2(year, -30.0) > limit
    assert closure_rms_w_m2(year, 30.0) > limit
    assert abs(clock_error_min(year)) < 10.0


def test_an_epw_file_stamped_at_the_start_of_the_hour_agrees_too(tmp_path):
    write_epw(tmp_path / "town.epw", epw_lines())
    year = year_of(tmp_path, "town.epw", GREENSBORO)
    assert closure_rms_w_m2(year) < 3.0
    assert closure_rms_w_m2(year, -30.0) > 3.0
    assert closure_rms_w_m2(year, 30.0) > 3.0


@pytest.mark.parametrize(("name", "kwh_m2", "air_c"), [
    # Sums of the files as their own columns give them (read apart from this program, and rounded).
    ("723170TYA.CSV", 1566, 14.4), ("703165TY.csv", 829, 4.4), ("12839.tm2", 1793, 24.3)])
def test_units_are_those_of_the_format(name, kwh_m2, air_c):
    year = year_of(PVLIB_DATA, name, CASES[name][0])
    assert round(year.ghi_w_m2.sum() / 1000.0) == kwh_m2
    assert round(float(year.air_c.mean()), 1) == air_c
    assert 1.0 < year.wind_m_s.mean() < 6.0
