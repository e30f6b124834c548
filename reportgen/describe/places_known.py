"""Country codes and time zones that exist, from the tables that come with the time zone database."""

from __future__ import annotations

from functools import cache
from importlib import resources
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError


@cache
def countries() -> frozenset[str]:
    """Two-letter codes of ISO 3166, as listed beside the time zones (package tzdata)."""
    text = (resources.files("tzdata") / "zoneinfo" / "iso3166.tab").read_text(encoding="utf-8")
    return frozenset(line[:2] for line in text.splitlines() if line and not line.startswith("#"))


@cache
def _zones() -> dict[str, frozenset[str]]:
    """Time zone -> countries that keep it, from both tables of the database (one names each country's own zones)."""
    found: dict[str, set[str]] = {}
    for table in ("zone.tab", "zone1970.tab"):
        text = (resources.files("tzdata") / "zoneinfo" / table).read_text(encoding="utf-8")
        for line in text.splitlines():
            if line and not line.startswith("#"):
                codes, _, name = line.split("\t")[:3]
                found.setdefault(name, set()).update(codes.split(","))
    return {name: frozenset(codes) for name, codes in found.items()}


def countries_of_zone(name: str) -> frozenset[str]:
    """Countries in which the zone is kept; empty for a zone at sea or an older name."""
    return _zones().get(name, frozenset())


@cache
def in_europe(country: str) -> bool:
    """Whether a clock of the country is named after a town of Europe."""
    return any(name.startswith("Europe/") and country in kept for name, kept in _zones().items())


def is_time_zone(name: str) -> bool:
    """Whether `name` is a zone of the IANA database."""
    try:
        ZoneInfo(name)
    except (ZoneInfoNotFoundError, ValueError, OSError):
        return False
    return True
