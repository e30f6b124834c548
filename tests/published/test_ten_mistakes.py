"""Ten mistakes that programs make with a year of weather, each as a case that this one must get right.

The cases were collected from the issue threads of open libraries (pvlib #47, #156, #307, #577, #627, #681, #865, #889,
#1105, #1156, #1246, #1372, #1481, #1966; NatLabRockies/EnergyPlus #6716), where what each costs was measured on the TMY3
file of Greensboro at a slope of 25°. All of them go through a weather file, `read_year` and the chain of the report.
"""

from __future__ import annotations

import csv
from functools import cache

import numpy as np
import pytest

from reportgen.climate.atlas import atlas_year
from reportgen.climate.errors import WeatherFileError
from reportgen.climate.read import read_year
from reportgen.production.chain import month_sums, produce
from tests.climate.files import AIR, DHI, DNI, GHI, LOCATION, PVLIB_DATA, epw_lines, nsrdb_lines, write_epw
from tests.houses import house
from tests.production.years import filled

HERE = {"latitude": 36.1, "longitude": -79.9}
EAST_SOUTH_WEST = [{"name": name, "facing": name, "slope_deg": 25, "module_count": 8, "shade_percent": 0}
                   for name in ("east", "south", "west")]


def planes(year) -> np.ndarray:
    """Sun on planes of 25° to the east, south and west [kWh/m²], as the report has it."""
    made = produce(filled(roof=EAST_SOUTH_WEST, array={"module_count": 24}), year)
    return np.array([face.plane_of_array_kwh_m2 for face in made.faces])


@pytest.fixture
def read(tmp_path):
    def read(lines, name="town.epw", place=HERE):
        write_epw(tmp_path / name, lines)
        return read_year(house(place=place, weather={"source": "file", "file": name}), tmp_path)
    return read


@cache
def tmy3():
    return read_year(house(place=HERE, weather={"source": "file", "file": "723170TYA.CSV"}), PVLIB_DATA)


@cache
def right() -> np.ndarray:
    return planes(tmy3())


def test_1_hours_in_universal_time_are_never_taken_as_local_ones(read):
    """Taken as UTC, east gains 33 %, south and west lose 32 and 47 %. Refused, whichever format says it."""
    for lines, name in ((epw_lines(location=LOCATION.replace("-5.0", "0.0")), "town.epw"), (nsrdb_lines(offset="0"), "cell.csv")):
        with pytest.raises(WeatherFileError, match="can't both be right"):
            read(lines, name)


def test_2_a_label_at_the_end_the_start_or_the_middle_of_the_hour_is_the_same_hour(read):
    """Half an hour off costs −4.4, −0.4 and +4.6 %: a roof to the south alone hides it. Four labellings, one result."""
    for year in (read(epw_lines()), read(nsrdb_lines(minute="30"), "cell.csv"), read(nsrdb_lines(minute="0"), "cell.csv")):
        assert planes(year) == pytest.approx(right(), rel=1e-6)
    assert right()[0] / right()[2] == pytest.approx(1.0, abs=0.02)     # mornings and evenings of this file are alike


@pytest.mark.parametrize("offset", ["-4.5", "-5.5"])
def test_3_a_file_whose_own_clock_is_shifted_is_set_right(read, offset):
    """15 of 58 public files had their noon 15 to 45 minutes off."""
    year = read(epw_lines(location=LOCATION.replace("-5.0", offset)))
    assert planes(year) == pytest.approx(right(), rel=0.003)
    assert any("we shifted it" in note for note in year.notes)


def test_4_hours_in_summer_time_are_refused(read):
    """Standard time taken as summer time: +6.7, −1.2 and −6.6 %."""
    with pytest.raises(WeatherFileError, match="summer time; standard time is expected"):
        read(epw_lines(location=LOCATION.replace("-5.0", "-4.0")))


def test_4_a_clock_put_forward_in_summer_alone_is_refused(read):
    """8 March to 1 November one row later: no one shift of the whole year mends it."""
    lines = epw_lines()
    first, last = 8 + 66 * 24 + 2, 8 + 304 * 24 + 2
    columns = [line.split(",") for line in lines]
    moved = [row[:] for row in columns]
    for k in range(first, last):
        moved[k][5:] = columns[k - 1][5:]
    with pytest.raises(WeatherFileError, match="not the same in all months.*summer time for part of the year"):
        read([",".join(row) for row in moved])


def test_5_a_leap_day_is_left_out_and_moves_no_month(read):
    """A year laid on 2020 without that day ends on 30 December: February +4.2 %, December −4.4 %."""
    lines = epw_lines()
    start = 8 + 59 * 24
    leap = [",".join(["1988", "2", "29", *line.split(",")[3:]]) for line in lines[start - 24:start]]
    year = read(lines[:start] + leap + lines[start:])
    assert len(year.ghi_w_m2) == 8760
    assert np.array_equal(month_sums(year.ghi_w_m2), month_sums(tmy3().ghi_w_m2))


def test_6_south_of_the_equator_north_is_the_sunny_side():
    """Sydney with azimuth 180 for 0: −30.6 % (weather file, 25°); here the atlas, within 4 points."""
    roof = [{"name": name, "facing": name, "slope_deg": 25, "module_count": 8, "shade_percent": 0} for name in ("north", "south")]
    made = produce(filled(roof=roof, array={"module_count": 16}), atlas_year(-33.95, 151.18, 3.0, "Australia/Sydney"))
    north, south = (face.plane_of_array_kwh_m2 for face in made.faces)
    assert south / north - 1 == pytest.approx(-0.306, abs=0.04)
    assert any("looks away from the midday sun" in note and "south" in note for note in made.notes)


def test_7_months_taken_from_different_years_stay_twelve_whole_months():
    """1980 to 2003 mixed: grouped by the calendar they make 283 months. Here against the file's own column."""
    with (PVLIB_DATA / "723170TYA.CSV").open(encoding="utf-8", newline="") as file:
        next(file)
        rows = list(csv.DictReader(file))
    by_month = np.zeros(12)
    for row in rows:
        by_month[int(row["Date (MM/DD/YYYY)"][:2]) - 1] += float(row["GHI (W/m^2)"])
    assert len({row["Date (MM/DD/YYYY)"][6:] for row in rows}) > 5
    assert month_sums(tmy3().ghi_w_m2) == pytest.approx(by_month)


@pytest.mark.parametrize("latitude", [-50.0, 0.0, 36.1, 60.0, 69.6])
def test_8_a_low_sun_never_gives_more_beam_than_there_is_outside_the_air(latitude):
    """(GHI − DHI) / cos z without a limit reached 17,978 W/m² at mid-hour. The atlas makes its beam that way."""
    longitude = {-50.0: -70.0, 0.0: 20.0, 36.1: -79.9, 60.0: 25.0, 69.6: 18.9}[latitude]
    year = atlas_year(latitude, longitude, 100.0, "UTC")
    assert year.dni_w_m2.max() < 1150.0
    walls = [{"facing": name, "slope_deg": 90, "module_count": 8} for name in ("east", "south", "west", "north")]
    made = produce(filled(roof=walls, array={"module_count": 32, "inverter_kw": 1000.0}), year)
    assert made.hours_kwh.max() < 12.8 * 1.3           # 12.8 kW of modules in light that can't be


def test_9_codes_for_missing_values_are_never_read_as_values(read):
    """Albedo 999 in every hour, passed on as a share, gave 70,527 for 1,648 kWh/m². Our EPW copy has it in every hour."""
    lines = epw_lines()
    assert all(line.split(",")[32] == "999" for line in lines[8:])
    assert planes(read(lines)) == pytest.approx(right(), rel=1e-6)
    for field, code in ((GHI, "9999"), (DNI, "9999"), (DHI, "9999")):
        with pytest.raises(WeatherFileError, match="missing or impossible in 1 hour"):
            read(epw_lines(changed={(4000, field): code}))
    assert read(epw_lines(changed={(4000, AIR): "99.9"})).air_c.max() < 45.0


def test_10_snow_and_dirt_are_losses_that_are_written_never_taken_from_the_file(read):
    """Snow depth is 0 all year in TMY3 files even in Alaska, and never 0 in one of Helsinki."""
    def made(depth):
        year = read(epw_lines(changed={(row, 30): depth for row in range(8760)}))
        return produce(filled(losses={"snow_percent": 3, "dirt_percent": 2}), year)

    bare, deep = made("0"), made("150")
    assert np.array_equal(bare.hours_kwh, deep.hours_kwh)
    steps = {step.key: step for step in bare.losses}
    assert (steps["snow"].factor, steps["dirt"].factor) == pytest.approx((0.97, 0.98))
