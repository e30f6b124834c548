"""Towns by name, offline. Expected places: GeoNames (geonames.org, CC BY 4.0), and common knowledge of the globe."""

import pytest

from reportgen.describe.places import currency_of, find_town, folded


@pytest.mark.parametrize(("text", "name", "country", "latitude", "longitude", "zone"), [
    ("Greensboro, NC", "Greensboro", "US", 36.1, -79.8, "America/New_York"),
    ("Greensboro North Carolina", "Greensboro", "US", 36.1, -79.8, "America/New_York"),
    ("Lund, Sweden", "Lund", "SE", 55.7, 13.2, "Europe/Stockholm"),
    ("LUND", "Lund", "SE", 55.7, 13.2, "Europe/Stockholm"),
    ("São Paulo", "São Paulo", "BR", -23.5, -46.6, "America/Sao_Paulo"),
    ("sao paulo, brazil", "São Paulo", "BR", -23.5, -46.6, "America/Sao_Paulo"),
    ("Cologne", "Köln", "DE", 50.9, 7.0, "Europe/Berlin"),
    ("tromso norway", "Tromsø", "NO", 69.6, 19.0, "Europe/Oslo"),
    ("London, UK", "London", "GB", 51.5, -0.1, "Europe/London"),
    ("Washington, DC", "Washington", "US", 38.9, -77.0, "America/New_York"),
    ("東京", "Tokyo", "JP", 35.7, 139.7, "Asia/Tokyo"),
])
def test_towns_are_found(text, name, country, latitude, longitude, zone):
    town = find_town(text)[0]
    assert (town.name, town.country, town.time_zone) == (name, country, zone)
    assert town.latitude == pytest.approx(latitude, abs=0.101)
    assert town.longitude == pytest.approx(longitude, abs=0.101)


def test_places_are_rounded_to_a_tenth_of_a_degree():
    for town in find_town("Springfield"):
        assert (round(town.latitude, 1), round(town.longitude, 1)) == (town.latitude, town.longitude)


def test_what_may_be_meant_comes_largest_first():
    found = find_town("Springfield")
    assert len(found) > 5
    assert [t.population for t in found] == sorted((t.population for t in found), reverse=True)
    assert {t.region for t in found} >= {"Illinois", "Missouri", "Massachusetts"}


def test_the_state_decides():
    assert {t.region for t in find_town("Springfield, Illinois")} == {"Illinois"}
    assert find_town("Springfield, Illinois")[0].text() == "Springfield, Illinois, United States"


@pytest.mark.parametrize("text", ["", "  ", ",", ",,,", "x" * 5000])
def test_no_town_is_no_error(text):
    assert find_town(text) == []


def test_currencies_of_countries():
    # ISO 4217
    assert [currency_of(c) for c in ("US", "SE", "NL", "JP", "AQ", "??")] == ["USD", "SEK", "EUR", "JPY", "", ""]


def test_folding():
    assert folded("  São   Páulo! ") == "sao paulo"
    assert folded("Größe-Łódź") == "grosse lodz"
