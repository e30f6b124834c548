"""Lists of prices of a tariff: every season and window priced once, names that exist, blocks that rise and end open."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

from reportgen.describe import tariff_days as days


def quoted(name: str) -> str:
    return f'"{name}"'


def unknown_name(kind: str, name: str, tariff) -> str:
    """A sentence for a season or a window that the tariff does not have."""
    if not getattr(tariff, f"{kind}s"):
        return f"there is no {kind} {quoted(name)}; the tariff names no {kind}s, write them under {kind}s"
    names = days.season_names(tariff) if kind == "season" else days.window_names(tariff)
    return f"there is no {kind} {quoted(name)}; the {kind}s are {', '.join(names)}"


def blocks_in_order(blocks, name: str, at: tuple) -> Iterator[tuple[tuple, str]]:
    for i, block in enumerate(blocks[:-1]):
        if block.up_to_kwh is None:
            yield (*at, i), f"{name}: only the last block may have no end; write up_to_kwh here"
            return
    if blocks[-1].up_to_kwh is not None:
        yield at, (f"{name}: the last block ends at {blocks[-1].up_to_kwh:g} kWh; write one more without up_to_kwh, for every kWh "
                   "above")
    ends = [block.up_to_kwh for block in blocks if block.up_to_kwh is not None]
    for i, (one, following) in enumerate(pairwise(ends), start=1):
        if following <= one:
            yield (*at, i), (f"{name}: a block up to {following:g} kWh comes after one up to {one:g}; blocks count from the first "
                             "kWh, so each end lies above the one before")


def each_pair_once(tariff, prices, name: str, at: tuple, with_windows: bool = True) -> Iterator[tuple[tuple, str]]:
    """prices: entries with season and, if with_windows, window. One price is needed for each season and window."""
    wrong = False
    for i, price in enumerate(prices):
        window = price.window if with_windows else None
        if price.season is not None and (not tariff.seasons or price.season not in days.season_names(tariff)):
            wrong = True
            yield (*at, i, "season"), f"{name}: {unknown_name('season', price.season, tariff)}"
        elif window is not None and (not tariff.windows or window not in days.window_names(tariff)):
            wrong = True
            yield (*at, i, "window"), f"{name}: {unknown_name('window', window, tariff)}"
        elif window is not None and price.season is not None and (price.season, window) not in days.pairs(tariff):
            wrong = True
            yield (*at, i), f"{name}: the window {quoted(window)} does not hold in {quoted(price.season)}, so it has no price there"
    if wrong:
        return
    places = days.pairs(tariff) if with_windows else tuple((season, None) for season in days.season_names(tariff))
    missing = [_place(tariff, *pair) for pair in places if not days.holding(prices, *pair)]
    twice = [_place(tariff, *pair) for pair in places if len(days.holding(prices, *pair)) > 1]
    if missing:
        yield at, f"{name} has no price for {'; '.join(missing)}"
    if twice:
        yield at, f"{name} has more than one price for {'; '.join(twice)}"


def _place(tariff, season: str, window: str | None) -> str:
    words = [quoted(window)] if window is not None and tariff.windows else []
    words += [quoted(season)] if tariff.seasons else []
    return " in ".join(words) or "every hour"
