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


def is_time_zone(name: str) -> bool:
    """Whether `name` is a zone of the IANA database."""
    try:
        ZoneInfo(name)
    except (ZoneInfoNotFoundError, ValueError, OSError):
        return False
    return True
