"""Whole systems: the report's own chain, embedded atlas and default losses against metered years and a handbook."""

import pytest

from reportgen.climate.atlas import atlas_year
from reportgen.production.chain import produce
from tests.production.years import face, filled

# name, latitude, longitude, time zone, slope, azimuth, kW DC, kW AC, mounting, metered years in kWh per kW. Sources:
# NIST house: Energy and Buildings 101 (2015) 95-109, abstract (13,523 kWh); NIST release of March 2016 (13,717 kWh).
# NIST ground array: J. Sol. Energy Eng. 140(1):014503 (342,100 kWh; tilt and kWh seen in a table that cites it); its
#   AC limit was not to be had, 260 kW as in pairs of that size (common practice, no source).
# Utrecht home and Turin university roof: public workbook to doi 10.1016/j.rser.2024.115044, measured columns.
# San Diego home: university weblog, 7 August 2012 (4,447 kWh).
NEW_YORK = "America/New_York"
SYSTEMS = [
    ("NIST house", 39.1, -77.2, NEW_YORK, 18.4, 180.0, 10.24, 10.26, "close roof", [1320.6, 1339.6]),
    ("NIST ground array", 39.1, -77.2, NEW_YORK, 20.0, 180.0, 271.0, 260.0, "ground", [1262.4]),
    ("Utrecht home", 52.0, 5.3, "Europe/Amsterdam", 30.0, 170.0, 1.90, 2.0, "close roof",
     [971.5, 1017.5, 1043.6, 943.6]),
    ("Turin roof", 45.1, 7.7, "Europe/Rome", 26.0, 206.0, 604.6, 635.0, "close roof", [1248.9, 1190.7]),
    ("San Diego home", 32.7, -117.2, "America/Los_Angeles", 12.0, 180.0, 2.592, 2.267, "close roof", [1715.7]),
]


@pytest.mark.parametrize("system", SYSTEMS, ids=[row[0] for row in SYSTEMS])
def test_a_metered_array_lies_within_the_printed_range(system):
    """Losses and shade are the table's defaults. One year in five may lie outside such a range; none of these did."""
    _, latitude, longitude, zone, slope, azimuth, dc_kw, ac_kw, mounting, years = system
    roof = {"azimuth_deg": azimuth, "slope_deg": slope, "mounting": mounting}
    house = filled(place={"latitude": latitude, "longitude": longitude}, roof=[roof],
                   array={"array_kw": dc_kw, "inverter_kw": ac_kw})
    made = produce(house, atlas_year(latitude, longitude, time_zone=zone))
    for metered in years:
        assert made.specific_yield.low <= metered <= made.specific_yield.high


def test_the_hottest_hour_at_the_test_house():
    """NIST house, channel extremes of 2015: 67.7 to 71.0 °C behind four modules, minute data. 60 to 82: cells are some
    kelvin above their backs, hours below minutes, one year against a typical one. Nothing was tuned to this."""
    house = filled(roof=[face(slope_deg=18.4)], array={"array_kw": 10.24, "inverter_kw": 10.26})
    assert 60 <= produce(house, atlas_year(39.1, -77.2, time_zone=NEW_YORK)).hottest_cell_c <= 82


def _planes_a_day(slopes):
    year = atlas_year(38.6, -90.2, time_zone="America/Chicago")
    return [produce(filled(roof=[face(slope_deg=s)]), year).faces[0].plane_of_array_kwh_m2 / 365 for s in slopes]


def test_sun_on_tilted_planes_at_st_louis():
    """Solar Radiation Data Manual, NREL/TP-463-5607, 1961-1990 means as reprinted in "Energy and Human Ambitions on a
    Finite Planet", Table 13.2: level, latitude − 15, latitude, latitude + 15, upright. Shape first: rounding and sky
    model allow 0.03. Level: 5 %, rounding 1, another period 3 to 5; the atlas's own deviation is 8 %."""
    planes = _planes_a_day((0.0, 23.6, 38.6, 53.6, 90.0))
    level, _, latitude, steeper, upright = planes
    assert latitude / level == pytest.approx(1.14, abs=0.03)
    assert upright / level == pytest.approx(0.76, abs=0.03)
    assert steeper / latitude == pytest.approx(0.96, abs=0.03)
    assert planes == pytest.approx([4.2, 4.8, 4.8, 4.6, 3.2], rel=0.05)
