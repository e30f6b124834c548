"""Which season a day of the year belongs to, which window an hour belongs to: plain counting, no model needed.

The year has 365 days; day 0 is January 1. Days are of three kinds, since a holiday on a Saturday or Sunday is a weekend
day to every tariff: weekdays, weekends, and holidays that fall on Monday to Friday.
"""

from __future__ import annotations

from collections.abc import Iterable

from reportgen.describe.fields import MONTHS

LENGTHS = (31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31)
YEAR = 365
MONTH_DAY_PATTERN = f"^({'|'.join(MONTHS)}) [0-9]{{1,2}}$"
HOURS_PATTERN = "^([0-9]|1[0-9]|2[0-3])-([0-9]|1[0-9]|2[0-4])$"
ALL_YEAR, ALL_HOURS = "all year", "all hours"      # the one season and the one window where none is written
KINDS = ("weekdays", "weekends", "holidays")
WEEKDAY, WEEKEND, HOLIDAY = range(3)
KINDS_OF = {"every day": (WEEKDAY, WEEKEND, HOLIDAY), "weekdays": (WEEKDAY,), "weekends": (WEEKEND,),
            "weekends and holidays": (WEEKEND, HOLIDAY), "weekdays and holidays": (WEEKDAY, HOLIDAY)}


def day_of_year(text: str) -> int:
    """"March 1" as 59. Raises ValueError for a day that a year of 365 days does not have."""
    name, _, day = text.partition(" ")
    month = MONTHS.index(name)
    if not 1 <= int(day) <= LENGTHS[month]:
        raise ValueError(f"{name} has the days 1 to {LENGTHS[month]} here; a leap day goes with February 28")
    return sum(LENGTHS[:month]) + int(day) - 1


def day_name(day: int) -> str:
    """59 as "March 1"."""
    for name, length in zip(MONTHS, LENGTHS, strict=True):
        if day < length:
            return f"{name} {day + 1}"
        day -= length
    raise ValueError("a year has 365 days")


def days_of(season) -> tuple[int, ...]:
    """The days from `begins` to `ends`, over the end of the year where it ends before it begins."""
    first, last = day_of_year(season.begins), day_of_year(season.ends)
    return tuple((first + i) % YEAR for i in range((last - first) % YEAR + 1))


def hours_of(text: str) -> frozenset[int]:
    """"16-21" as the hours 16, 17, 18, 19, 20; "22-6" as 22, 23, 0 to 5."""
    first, last = (int(part) for part in text.split("-"))
    if first == last % 24 and (first, last) != (0, 24):
        raise ValueError('the first hour and the hour at which it ends are the same; write "0-24" for the whole day')
    return frozenset(range(first, last) if first < last else (*range(first, 24), *range(last)))


def runs(members: Iterable[int], ring: int) -> list[tuple[int, int]]:
    """Runs of neighbours on a ring, as (first, last): {22, 23, 0} of 24 as [(22, 0)]."""
    left = set(members)
    if len(left) == ring:
        return [(0, ring - 1)]
    starts = sorted(m for m in left if (m - 1) % ring not in left)
    found = []
    for start in starts:
        last = start
        while (last + 1) % ring in left:
            last = (last + 1) % ring
        found.append((start, last))
    return found


def hours_text(hours: Iterable[int]) -> str:
    """{16, 17, 18} as "16-19"; several runs with commas."""
    return ", ".join(f"{first}-{last + 1}" for first, last in runs(hours, 24))


def days_text(days: Iterable[int]) -> str:
    """Days of the year as "June 1 to June 14, August 3"."""
    return ", ".join(day_name(a) if a == b else f"{day_name(a)} to {day_name(b)}" for a, b in runs(days, YEAR))


def season_names(tariff) -> tuple[str, ...]:
    return tuple(dict.fromkeys(s.name for s in tariff.seasons)) if tariff.seasons else (ALL_YEAR,)


def window_names(tariff) -> tuple[str, ...]:
    return tuple(dict.fromkeys(w.name for w in tariff.windows)) if tariff.windows else (ALL_HOURS,)


def season_of_days(tariff) -> list[list[int]]:
    """For each of 365 days the entries of tariff.seasons that hold: one where all is well."""
    if not tariff.seasons:
        return [[0] for _ in range(YEAR)]
    found: list[list[int]] = [[] for _ in range(YEAR)]
    for i, season in enumerate(tariff.seasons):
        for day in days_of(season):
            found[day].append(i)
    return found


def windows_of_hours(tariff, season: str, kind: int) -> list[list[int]]:
    """For each of 24 hours of such a day the entries of tariff.windows that hold: one where all is well."""
    if not tariff.windows:
        return [[0] for _ in range(24)]
    holding = [(i, w) for i, w in enumerate(tariff.windows)
               if (w.seasons is None or season in w.seasons) and kind in KINDS_OF[w.days]]
    found: list[list[int]] = [[] for _ in range(24)]
    for i, window in holding:
        for hour in frozenset().union(*map(hours_of, window.hours or ())):
            found[hour].append(i)
    free = [hour for hour in range(24) if not found[hour]]
    for i, window in holding:
        if window.hours is None:
            for hour in free:
                found[hour].append(i)
    return found


def pairs(tariff) -> tuple[tuple[str, str], ...]:
    """(season, window) by name, wherever that window holds in that season."""
    if not tariff.windows:
        return tuple((season, ALL_HOURS) for season in season_names(tariff))
    return tuple((season, window) for season in season_names(tariff) for window in window_names(tariff)
                 if any(w.name == window and (w.seasons is None or season in w.seasons) for w in tariff.windows))


def holding(prices, season: str, window: str | None = None) -> list:
    """The entries of a list of prices that hold in a season, and in a window where prices have one."""
    return [p for p in prices if p.season in (None, season) and (window is None or p.window in (None, window))]
