"""Sun position and sunrise against the worked example of the Solar Position Algorithm, NREL/TP-560-34302, Table A5.1.

The very functions the year of a report goes through: `sun_path` is `sun_at` at 8,760 moments, the workings print
`sunrise_sunset`.
"""

from __future__ import annotations

from datetime import date, datetime, timedelta

import pandas as pd

from reportgen.climate.sun import mid_hours_utc, sun_at, sun_path, sunrise_sunset

PLACE = (39.742476, -105.1786)
ELEVATION_M = 1830.14


def example(**air):
    local = pd.DatetimeIndex(["2003-10-17 12:30:30"]).tz_localize("Etc/GMT+7")   # UTC−7
    return sun_at(local, *PLACE, ELEVATION_M, **air)


def test_zenith_of_the_worked_example():
    """50.11162°; 1e-4 with the example's air, 5e-4 with pressure from the height."""
    assert abs(example(pressure_pa=82000.0, air_c=11.0).apparent_zenith_deg[0] - 50.11162) < 1e-4
    assert abs(example().apparent_zenith_deg[0] - 50.11162) < 5e-4


def test_azimuth_of_the_worked_example_is_clockwise_from_north():
    assert abs(example(pressure_pa=82000.0, air_c=11.0).azimuth_deg[0] - 194.34024) < 1e-4


def test_sunrise_and_sunset_of_the_worked_example_in_local_standard_time():
    """06:12:43 and 17:20:19; printed to the second."""
    rise, sets = sunrise_sunset(date(2003, 10, 17), *PLACE, -7.0)
    assert abs(rise - datetime(2003, 10, 17, 6, 12, 43)) <= timedelta(seconds=1)
    assert abs(sets - datetime(2003, 10, 17, 17, 20, 19)) <= timedelta(seconds=1)


def test_the_path_of_the_year_is_the_same_sun_at_half_past():
    path = sun_path(*PLACE, -7.0, ELEVATION_M)
    hour = (date(2023, 10, 17) - date(2023, 1, 1)).days * 24 + 12
    assert mid_hours_utc(-7.0)[hour] == pd.Timestamp("2023-10-17 19:30", tz="UTC")
    # Twenty years earlier to the half minute; the sun of one date and clock time moves by up to 0.4° within four years.
    assert abs(path.apparent_zenith_deg[hour] - 50.11) < 0.3
    assert abs(path.azimuth_deg[hour] - 194.34) < 0.5
