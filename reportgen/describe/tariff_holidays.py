"""Holidays by their English name, and the days on which those of a weekend are celebrated, from the `holidays` library."""

from __future__ import annotations

import difflib
from datetime import date
from functools import cache

KNOWN_YEARS = tuple(range(2020, 2036))    # a name counts as known if it stands in any of these years


@cache
def _calendar(country: str, state: str | None, years: tuple[int, ...], observed: bool):
    import holidays

    kind = getattr(holidays, country)
    languages = kind.supported_languages or ()
    language = next((wanted for wanted in ("en_US", "en_GB", *languages) if wanted in languages and wanted.startswith("en")), None)
    return kind(subdiv=state, years=years, observed=observed, language=language, categories=kind.supported_categories)


@cache
def _states(country: str) -> tuple[str, ...]:
    import holidays

    return tuple(getattr(holidays, country).subdivisions)


def unknown_in(country: str, state: str | None, names: tuple[str, ...]) -> list[str]:
    """A sentence for each thing that the calendar does not know: the country, the state, or a name."""
    import holidays

    if country not in holidays.list_supported_countries():
        return [f'no calendar of holidays is known for "{country}"; leave holidays out, or ask for the days to be added to the library']
    if state is not None and state not in _states(country):
        near = difflib.get_close_matches(state, _states(country), 3, 0.3)
        have = near or _states(country)[:12]
        return [f'the holidays of {country} know no state "{state}"' + (f"; there are {', '.join(have)}" if have else "")]
    known = _known(country, state)
    sentences = []
    for name in names:
        if name not in known and not any(name in _known(country, other) for other in _states(country)):
            near = difflib.get_close_matches(name, known, 3, 0.5)
            sentences.append(f'the calendar of {country} knows no holiday "{name}"; '
                             + (f"near it are {', '.join(near)}" if near else f"it knows {', '.join(sorted(known))}"))
    return sentences


@cache
def _known(country: str, state: str | None) -> tuple[str, ...]:
    calendar = _calendar(country, state, KNOWN_YEARS, False)
    return tuple(dict.fromkeys(name for day in sorted(calendar) for name in calendar.get_list(day)))


def holiday_dates(country: str, state: str | None, names: tuple[str, ...], celebrated: bool, year: int) -> frozenset[date]:
    """The days of `year` on which one of these holidays lies or, if `celebrated`, is celebrated."""
    found = set()
    for name in names:
        home = state if name in _known(country, state) else next(s for s in _states(country) if name in _known(country, s))
        found |= _dates(country, home, name, celebrated, year)
    return frozenset(found)


def _dates(country: str, state: str | None, name: str, celebrated: bool, year: int) -> set[date]:
    own = _calendar(country, state, (year,), False)
    days = {day for day in own if day.year == year and name in own.get_list(day)}
    if celebrated:     # the library writes such a day as "Independence Day (observed)"
        moved = _calendar(country, state, (year,), True)
        days |= {day for day in moved if day.year == year
                 and any(written.startswith(f"{name} (") and written not in own.get_list(day) for written in moved.get_list(day))}
    return days
