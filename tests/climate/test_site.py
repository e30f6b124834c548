"""Clock and height of a place."""

from __future__ import annotations

from datetime import date

import pytest

from reportgen.climate.errors import ClimateError
from reportgen.climate.site import elevation_of, utc_offset_of
from reportgen.climate.sun import sunrise_sunset


@pytest.mark.parametrize(("latitude", "longitude", "hours"), [
    (36.1, -79.9, -5.0), (33.4, -112.0, -7.0), (21.3, -157.9, -10.0), (-33.9, 151.2, 10.0), (28.6, 77.2, 5.5),
    (53.3, -6.3, 0.0)])
def test_the_offset_is_that_of_standard_time_in_both_hemispheres(latitude, longitude, hours):
    """Legal standard times as in the IANA time zone database; Dublin's winter is the odd one there."""
    assert utc_offset_of(latitude, longitude) == hours


def test_a_zone_in_the_house_file_goes_before_the_place():
    assert utc_offset_of(36.1, -79.9, "America/Chicago") == -6.0


@pytest.mark.parametrize("name", ["America/Nowhere", "EST time", "../etc/passwd", "/etc/passwd", ""])
def test_an_unknown_zone_is_named_with_an_example(name):
    if not name:
        assert utc_offset_of(36.1, -79.9, name) == -5.0   # nothing written is nothing said
        return
    with pytest.raises(ClimateError, match="America/New_York"):
        utc_offset_of(36.1, -79.9, name)


def test_heights_are_right_to_a_coarse_map():
    """Denver 1,609 m (the mile of its state capitol), the sea 0; steps of 28 m."""
    assert abs(elevation_of(39.74, -104.98) - 1609) < 60
    assert elevation_of(20.0, -150.0) == 0.0


def test_sunrise_belongs_to_the_day_asked_for_far_east_and_far_west():
    for longitude, offset in ((174.8, 12.0), (-157.9, -10.0), (0.0, 0.0)):
        rise, sets = sunrise_sunset(date(2026, 3, 20), -20.0, longitude, offset)
        assert rise.date() == sets.date() == date(2026, 3, 20)
        assert 5 <= rise.hour <= 6 and 18 <= sets.hour <= 19 and rise.tzinfo is None


def test_there_is_no_sunrise_in_polar_night_or_midnight_sun():
    assert sunrise_sunset(date(2026, 12, 21), 69.6, 18.9, 1.0) == (None, None)
    assert sunrise_sunset(date(2026, 6, 21), 69.6, 18.9, 1.0) == (None, None)
