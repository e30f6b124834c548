"""Published checks that need a weather file of the place: through a house file, `read_year` and `assess` or the chain.

Not tested, since no file was to be had from the Python index as this was written: St. Louis (level of the handbook's
tilt table; its shape is tested here on other places, its level on the atlas), Daggett, San Diego, Quillayute and
Fairbanks (handbook by month), Turin, and Amsterdam for the Utrecht home (tested on the atlas instead).
"""

from __future__ import annotations

from functools import cache

import numpy as np
import pytest

from reportgen.chain import assess
from reportgen.climate.clock import closure_rms_w_m2
from reportgen.climate.read import read_year
from reportgen.production.chain import produce
from tests.climate.files import PVLIB_DATA
from tests.houses import house
from tests.production.years import filled
from tests.published.airports import FILES, at, weather_folder

GREENSBORO = {"place": {"latitude": 36.1, "longitude": -79.9}, "weather": {"source": "file", "file": "723170TYA.CSV"}}


@cache
def year_of(place: str):
    if place == "Greensboro":
        return read_year(house(**GREENSBORO), PVLIB_DATA)
    return read_year(house(**at(place)), weather_folder())


def planes(place: str, *faces, sky: str = "haydavies") -> np.ndarray:
    """Sun on planes given as (slope, azimuth) [kWh/m²]."""
    year = year_of(place)
    roof = [{"azimuth_deg": azimuth, "slope_deg": slope, "module_count": 5, "shade_percent": 0} for slope, azimuth in faces]
    made = produce(filled(roof=roof, array={"module_count": 5 * len(roof)}), year, sky=sky)
    return np.array([face.plane_of_array_kwh_m2 for face in made.faces])


def assessed(airport: str, roof: dict, dc_kw: float, ac_kw: float):
    """With every loss left to the table's default, and no shade."""
    asked = house(**at(airport), roof=[roof | {"shade_percent": 0}], array={"array_kw": dc_kw, "inverter_kw": ac_kw})
    return assess(asked, read_year(asked, weather_folder()))


@pytest.mark.parametrize("airport", FILES)
def test_the_three_kinds_of_sunlight_of_each_file_agree_at_mid_hour(airport):
    """1.3 and 0.6 W/m² were measured on two such files; above 3 something is off (half an hour gives 16 to 23)."""
    assert closure_rms_w_m2(year_of(airport)) < 3.0


def test_east_south_and_west_at_dulles():
    """A general library alone (pvlib 0.16.1, Hay and Davies, albedo 0.2) on this file, tilt 30: 1,391, 1,676 and
    1,374 kWh/m². 1.5 %; a slip of half an hour moves east and west by 5 % in opposite directions."""
    found = planes("Dulles", (30, 90), (30, 180), (30, 270))
    assert found == pytest.approx([1391, 1676, 1374], rel=0.015)


@pytest.mark.parametrize(("place", "latitude", "upright"), [
    ("Dulles", 38.9, 0.766), ("Chicago", 42.0, 0.768), ("Greensboro", 36.1, 0.730)])
def test_ratios_of_tilted_planes_are_the_handbooks(place, latitude, upright):
    """Solar Radiation Data Manual, NREL/TP-463-5607, St. Louis 1961-1990 as reprinted in "Energy and Human Ambitions on a
    Finite Planet", Table 13.2: latitude / level 1.14, upright / level 0.76, (latitude + 15) / latitude 0.96; 0.03 for a
    continental US site of 38 to 42° N. Greensboro lies south of that, where a general library has 0.730 upright."""
    level, at_latitude, steeper, wall = planes(place, (0, 180), (latitude, 180), (latitude + 15, 180), (90, 180), sky="perez")
    assert at_latitude / level == pytest.approx(1.14, abs=0.03)
    assert steeper / at_latitude == pytest.approx(0.96, abs=0.03)
    assert wall / level == pytest.approx(0.76 if place != "Greensboro" else upright, abs=0.03)
    assert wall / level == pytest.approx(upright, abs=0.01)


def test_the_hottest_hour_of_a_flush_roof_at_dulles():
    """NIST test house, channel extremes of 2015: 67.7 to 71.0 °C behind four modules in a year of minutes; the year's
    hottest modelled hour on this file should lie in 60 to 82 °C. Parameters by source, none tuned to this row."""
    roof = {"facing": "south", "slope_deg": 18.4, "mounting": "close roof"}
    assert 60 <= assessed("Dulles", roof, 10.24, 10.26).production.hottest_cell_c <= 82


@pytest.mark.parametrize("metered_kwh", [13_523, 13_717])
def test_the_net_zero_test_house_within_10_percent_and_inside_the_range(metered_kwh):
    """NIST, Gaithersburg MD: 10.24 kW, slope 18.4°, due south. 13,523 kWh from July 2013 to June 2014, Energy and Buildings
    101 (2015) 95-109, abstract; 13,717 kWh from February 2015 to January 2016, NIST release of March 2016. 10 %: year to
    year 4, losses 4, mounting 3 to 4, rating 3."""
    year = assessed("Dulles", {"facing": "south", "slope_deg": 18.4, "mounting": "close roof"}, 10.24, 10.26).production.year
    assert year.value == pytest.approx(metered_kwh, rel=0.10)
    assert year.low < metered_kwh < year.high


def ground_array():
    """NIST campus: 271 kW, tilt 20, south, 342,100 kWh from October 2014 to September 2015; J. Sol. Energy Eng.
    140(1):014503 (kWh and tilt seen in a table that cites it). Its AC limit was not to be had: 260 kW, common practice."""
    return assessed("Dulles", {"facing": "south", "slope_deg": 20.0, "mounting": "ground"}, 271.0, 260.0).production.year


def test_the_ground_array_lies_inside_the_range():
    year = ground_array()
    assert year.low < 342_100 < year.high


def test_the_ground_array_within_7_percent():
    """Close to its limit: the default losses are those of a house roof and the paper names snow and outages in that year.
    Before 1 % of snow became the middle at this latitude (a middle at the bottom of its range leans one way), the sum was
    7.5 % above; the other losses were not touched."""
    assert ground_array().value == pytest.approx(342_100, rel=0.07)


# Utrecht home, 1.90 kWp, tilt 30, azimuth 170: kWh per kWp by year and month, 2014 to 2017, measured columns of the
# workbook to doi 10.1016/j.rser.2024.115044 (public repository, MIT).
UTRECHT_YEARS = (971.5, 1017.5, 1043.6, 943.6)
UTRECHT_JUNE, UTRECHT_JULY = (125.7, 133.4, 110.9, 122.2), (126.2, 128.7, 122.9, 124.8)
UTRECHT_DECEMBER = (13.4, 26.5, 21.2, 10.7)


def test_the_utrecht_home_on_the_atlas():
    """No weather file of the place was to be had, so the atlas stands for it. The year within 18 % and each metered year
    inside the range. Shape, with the year's level taken out: June and July within 15 %, December within 50 %."""
    asked = house(place={"latitude": 52.0, "longitude": 5.3, "country": "NL", "time_zone": None, "elevation_m": None},
                  money={"currency": "EUR", "installed_price": 5000},
                  roof=[{"azimuth_deg": 170, "slope_deg": 30, "mounting": "close roof", "shade_percent": 0}],
                  array={"array_kw": 1.90, "inverter_kw": 2.0})
    made = assess(asked, read_year(asked, None)).production
    mean = sum(UTRECHT_YEARS) / 4
    assert made.specific_yield.value == pytest.approx(mean, rel=0.18)
    for metered in UTRECHT_YEARS:
        assert made.specific_yield.low < metered < made.specific_yield.high
    months = made.month_kwh / 1.90 * (mean / made.specific_yield.value)
    assert months[5] == pytest.approx(sum(UTRECHT_JUNE) / 4, rel=0.15)
    assert months[6] == pytest.approx(sum(UTRECHT_JULY) / 4, rel=0.15)
    assert months[11] == pytest.approx(sum(UTRECHT_DECEMBER) / 4, rel=0.50)
