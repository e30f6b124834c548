"""Prices, lists, days and hours of a tariff as a sentence has them."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from decimal import Decimal

from reportgen.describe import tariff_days as days
from reportgen.figures import show


def exact(price: float, code: str) -> str:
    """A price with all its decimals, at least two: "$0.0475"."""
    return show(price, code, max(2, -Decimal(str(price)).normalize().as_tuple().exponent))


def plain(parts: Sequence[str]) -> str:
    """a, b and c"""
    parts = list(parts)
    return parts[0] if len(parts) == 1 else f"{', '.join(parts[:-1])} and {parts[-1]}"


def joined(parts: Iterable[str]) -> str:
    """a; b; c"""
    return "; ".join(parts)


def month_days(held: Iterable[int]) -> str:
    return plain(days.days_text(held).split(", "))


def clock_hours(hours: Iterable[int]) -> str:
    """16 to 21 o'clock; all day."""
    hours = frozenset(hours)
    if len(hours) == 24:
        return "all day"
    return plain([text.replace("-", " to ") for text in days.hours_text(hours).split(", ")]) + " o’clock"


def when(held: Mapping[tuple[str, int], frozenset[int]], seasons: Sequence[str], with_holidays: bool) -> str:
    """Hours by (season, kind of day) in words; seasons that are alike are said together, and so are kinds of day."""
    alike: dict[str, list[str]] = {}
    for season in seasons:
        by_hours: dict[frozenset[int], set[int]] = {}
        for (name, kind), hours in held.items():
            if name == season and hours:
                by_hours.setdefault(hours, set()).add(kind)
        said = plain([f"{clock_hours(hours)}{_on(kinds, with_holidays, hours)}" for hours, kinds in by_hours.items()]) if by_hours else ""
        if said:
            alike.setdefault(said, []).append(season)
    if not alike:
        return "never"
    return ", ".join(said if len(names) == len(seasons) else f"in {plain(names)} {said}" for said, names in alike.items())


def _on(kinds: set[int], with_holidays: bool, hours: frozenset[int]) -> str:
    if kinds == ({days.WEEKDAY, days.WEEKEND, days.HOLIDAY} if with_holidays else {days.WEEKDAY, days.WEEKEND}):
        return "" if len(hours) == 24 else " every day"
    names = {frozenset({days.WEEKDAY}): "from Monday to Friday" + (" without holidays" if with_holidays else ""),
             frozenset({days.WEEKEND}): "on Saturday and Sunday",
             frozenset({days.HOLIDAY}): "on holidays from Monday to Friday",
             frozenset({days.WEEKDAY, days.HOLIDAY}): "from Monday to Friday, holidays too",
             frozenset({days.WEEKEND, days.HOLIDAY}): "on Saturday, Sunday and holidays",
             frozenset({days.WEEKDAY, days.WEEKEND}): "every day but holidays from Monday to Friday"}
    return " " + names[frozenset(kinds)]
