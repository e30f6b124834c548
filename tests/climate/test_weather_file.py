"""What a weather file may look like, and the sentence for each way it can be wrong."""

from __future__ import annotations

import numpy as np
import pytest

from reportgen.climate.errors import WeatherFileError
from reportgen.climate.weather_file import file_year
from tests.climate.files import AIR, DHI, DNI, GHI, LOCATION, PVLIB_DATA, WIND, epw_lines, nsrdb_lines, write_epw

HERE = (36.1, -79.9)


@pytest.fixture
def epw(tmp_path):
    def read(*args, place=HERE, **kwargs):
        lines = args[0] if args else epw_lines(**kwargs)
        write_epw(tmp_path / "town.epw", lines)
        return file_year(tmp_path / "town.epw", *place)
    return read


@pytest.fixture(scope="module")
def tmy3():
    return file_year(PVLIB_DATA / "723170TYA.CSV", *HERE)


def test_an_epw_copy_gives_the_same_year_as_the_tmy3_it_was_made_from(epw, tmy3):
    year = epw()
    for key in ("ghi_w_m2", "dni_w_m2", "dhi_w_m2", "air_c", "wind_m_s"):
        assert np.array_equal(getattr(year, key), getattr(tmy3, key)), key
    assert (year.latitude, year.longitude, year.utc_offset_h, year.elevation_m) == (36.1, -79.95, -5.0, 273.0)
    assert "Grünsborough" in year.name


def test_older_epw_files_with_32_columns_are_read(epw, tmy3):
    assert np.array_equal(epw(columns=32).ghi_w_m2, tmy3.ghi_w_m2)


def test_29_february_is_left_out(epw, tmy3):
    lines = epw_lines()
    start = 8 + 59 * 24
    leap = [",".join(["1988", "2", "29", *line.split(",")[3:]]) for line in lines[start - 24:start]]
    assert np.array_equal(epw(lines[:start] + leap + lines[start:]).ghi_w_m2, tmy3.ghi_w_m2)


def test_a_file_of_8784_hours_in_any_format_gives_the_same_8760(tmp_path, tmy3):
    leap = epw_lines()
    start = 8 + 59 * 24
    day = [",".join(["1988", "2", "29", *line.split(",")[3:]]) for line in leap[start - 24:start]]
    write_epw(tmp_path / "leap.epw", leap[:start] + day + leap[start:])
    nsrdb = nsrdb_lines()
    start = 3 + 59 * 24
    day = [",".join(["1988", "2", "29", *line.split(",")[3:]]) for line in nsrdb[start - 24:start]]
    write_epw(tmp_path / "leap.csv", nsrdb[:start] + day + nsrdb[start:])
    for name in ("leap.epw", "leap.csv"):
        assert np.array_equal(file_year(tmp_path / name, *HERE).ghi_w_m2, tmy3.ghi_w_m2), name


@pytest.mark.parametrize("minute", ["30", "0"])
def test_nsrdb_hours_stamped_at_their_middle_or_start_give_the_same_year_as_tmy3(tmp_path, tmy3, minute):
    write_epw(tmp_path / "cell.csv", nsrdb_lines(minute=minute))
    year = file_year(tmp_path / "cell.csv", *HERE)
    for key in ("ghi_w_m2", "dni_w_m2", "dhi_w_m2", "air_c", "wind_m_s"):
        assert np.array_equal(getattr(year, key), getattr(tmy3, key)), key
    assert (year.latitude, year.longitude, year.utc_offset_h, year.elevation_m) == (36.1, -79.95, -5.0, 273.0)
    assert year.name == "weather file for Grünsborough Nc Usa (NSRDB)"


@pytest.mark.parametrize(("lines", "words"), [
    (lambda: nsrdb_lines(offset="0"), "local standard time instead of UTC"),
    (lambda: [*nsrdb_lines()[:4], nsrdb_lines(minute="0")[4], *nsrdb_lines()[5:]], "Minute column holds 00, 30"),
    (lambda: [*nsrdb_lines()[:2], nsrdb_lines()[2].replace("DHI", "Cloud"), *nsrdb_lines()[3:]], "can't be read to its end"),
    (lambda: nsrdb_lines()[:5000], "rows of hours"),
])
def test_a_wrong_nsrdb_file_is_refused_with_a_sentence(tmp_path, lines, words):
    write_epw(tmp_path / "cell.csv", lines())
    with pytest.raises(WeatherFileError, match=words):
        file_year(tmp_path / "cell.csv", *HERE)


def test_months_from_different_years_come_out_in_order(tmy3):
    """January of 1988 is followed by February of another year; hour k is still the k-th of the year."""
    assert "months from 1980 to 2003" in tmy3.sources[0]
    assert tmy3.ghi_w_m2.reshape(365, 24)[:, 0:4].max() == 0.0


def test_the_years_arrays_cannot_be_written_to(tmy3):
    with pytest.raises(ValueError):
        tmy3.ghi_w_m2[0] = 1.0


def test_missing_wind_is_filled_and_said(epw):
    year = epw(changed={(5, WIND): "999", (6, WIND): ""})
    assert any("wind is missing in 2 hours" in note for note in year.notes)
    assert year.wind_m_s[5] == year.wind_m_s[6] == 1.5


def test_a_short_gap_in_the_air_is_bridged_and_said(epw, tmy3):
    year = epw(changed={(100, AIR): "99.9"})
    assert year.air_c[100] == pytest.approx((tmy3.air_c[99] + tmy3.air_c[101]) / 2)
    assert any("air temperature is missing in 1 hour of" in note for note in year.notes)


@pytest.mark.parametrize(("changed", "words"), [
    ({(12, GHI): "9999"}, "global horizontal sunlight is missing or impossible in 1 hour, first in row 13"),
    ({(12, DNI): ""}, "direct normal"),
    ({(12, DHI): "-5"}, "diffuse horizontal"),
    ({(12, DHI): "NaN"}, "diffuse horizontal"),
    ({(k, AIR): "99.9" for k in range(100)}, "air temperature is missing or impossible in 100 hours"),
    ({(30, 3): "8"}, "row 31 of the data should be month 1, day 2, hour 7"),
    ({(12, GHI): "sunny"}, "can't be read to its end"),
])
def test_a_bad_value_is_named_with_its_row(epw, changed, words):
    with pytest.raises(WeatherFileError, match=words):
        epw(changed=changed)


@pytest.mark.parametrize(("location", "words"), [
    (LOCATION.replace("-5.0", "-5,0"), "11 fields, 10 are expected"),        # decimal comma
    (LOCATION.replace("-79.95", "79.95"), "km from the house"),                  # sign
    (LOCATION.replace("-5.0", "-4.0"), "60 minutes too early"),               # daylight-saving time
    (LOCATION.replace("-5.0", "7.0"), "can't both be right"),
])
def test_a_wrong_first_line_is_found(epw, location, words):
    with pytest.raises(WeatherFileError, match=words):
        epw(location=location)


def test_a_clock_half_an_hour_off_is_shifted_where_the_fit_is_clear_and_said(epw):
    year = epw(location=LOCATION.replace("-5.0", "-4.5"))
    assert abs(year.utc_offset_h + 5.0) < 2 / 60
    (note,) = [n for n in year.notes if "clock" in n]
    assert "minutes off (its noon comes" in note and "too early); we shifted it" in note


def test_a_clock_that_is_off_in_a_way_nothing_explains_is_refused(epw, tmy3):
    """Global and diffuse sunlight half an hour late, direct as it was: the two witnesses name different shifts."""
    late = (np.roll(tmy3.ghi_w_m2, 1) + tmy3.ghi_w_m2) / 2
    changed = {(k, GHI): f"{late[k]:.0f}" for k in range(8760)}
    with pytest.raises(WeatherFileError, match="not clear what its clock shows"):
        epw(changed=changed)


def test_a_cloudy_half_of_the_day_is_no_wrong_clock(epw, tmy3):
    """Mornings at a quarter of the sun: noon seems late, but direct and diffuse light go with the clock."""
    changed = {}
    morning = np.tile(np.arange(24) < 11, 365)
    for k in np.flatnonzero(morning & (tmy3.ghi_w_m2 > 0)):
        for field, array in ((GHI, tmy3.ghi_w_m2), (DNI, tmy3.dni_w_m2), (DHI, tmy3.dhi_w_m2)):
            changed[int(k), field] = f"{0.55 * array[k]:.0f}"
    year = epw(changed=changed)
    assert year.utc_offset_h == -5.0
    assert any("Nothing was shifted" in note for note in year.notes)


def test_a_file_for_another_country_is_refused_and_one_for_the_next_county_is_said(epw):
    with pytest.raises(WeatherFileError, match="km from the house"):
        epw(place=(51.0, 0.0))
    assert any("km from the house" in note for note in epw(place=(36.8, -79.9)).notes)


@pytest.mark.parametrize(("lines", "words"), [
    (["hello", "world"], "none of the four formats"),
    ([""], "is empty|none of the four"),
    (epw_lines()[:5000], "rows of hours"),
    (epw_lines()[:4], "can't be read|rows of hours"),
])
def test_other_files_are_refused_with_a_sentence(epw, lines, words):
    with pytest.raises(WeatherFileError, match=words):
        epw(lines)


def test_a_file_that_is_not_there_is_named(tmp_path):
    with pytest.raises(WeatherFileError, match=r"town\.epw is not there"):
        file_year(tmp_path / "town.epw", *HERE)
