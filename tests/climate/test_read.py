"""Reading a house's place: a slip that puts it on another continent is told before any sun is counted."""

import pytest

from reportgen.climate.errors import ClimateError
from reportgen.climate.read import located
from tests.houses import house


def test_a_lost_minus_sign_is_told():
    with pytest.raises(ClimateError, match='not of the country "US"'):
        located(house(place={"longitude": 79.8, "time_zone": None}))


@pytest.mark.parametrize(("latitude", "longitude", "country"), [
    (36.1, -79.8, "US"), (59.9, 10.8, "NO"), (52.0, 5.3, "NL"), (-33.9, 151.0, "AU"), (21.3, -157.9, "US"), (18.5, 73.9, "IN")])
def test_places_that_are_where_they_say_pass(latitude, longitude, country):
    place = {"latitude": latitude, "longitude": longitude, "country": country, "time_zone": None, "elevation_m": None}
    money = {} if country == "US" else {"currency": "EUR", "price_per_w": 2.0}
    found = located(house(place=place, money=money)).place
    assert found.time_zone and found.elevation_m is not None
