"""A tariff told in words, whole: whoever reads it can compute the bill with pencil and paper."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from reportgen.describe import tariff_days as days
from reportgen.describe.tariff import Block, DemandCharge, EnergyCharge, EnergyPrice, Minimum, Tariff, Tax
from reportgen.describe.tariff_rules import in_full
from reportgen.report.export_words import HourPrices, export_rows, hour_prices
from reportgen.report.price_words import exact, joined, month_days, plain, when
from reportgen.report.setting import long_day

_PER = {"month": "for each bill", "day": "for each day of the bill"}
SUM_TEXT = ("Billed kWh are rounded to a tenth and each line to the cent, half a cent upwards. The bill is the sum of its lines.")


@dataclass(frozen=True)
class WordedTariff:
    name: str
    source: str                                 # a sentence
    rows: tuple[tuple[str, str], ...]           # what it is about, and what the sheet says
    hour_prices: tuple[HourPrices, ...] = ()    # where what is sent out has a price by month and hour


def tariff_words(tariff: Tariff, code: str) -> WordedTariff:
    """code: the currency."""
    full = in_full(tariff)
    rows = [("Bills", _bills(full)), *_seasons(full), *_hours(full), *_clock(full), *_holidays(full)]
    rows += [(charge.name, f"{exact(charge.price, code)} {_PER[charge.per]}.") for charge in full.fixed]
    rows += [(charge.name, _energy(full, charge, code)) for charge in full.energy]
    rows += [(charge.name, _demand(full, charge, code)) for charge in full.demand]
    rows += [(charge.name, f"{exact(charge.price_per_kw, code)} for each kW ({charge.rating}) of the array, for each bill.")
             for charge in full.array]
    rows += export_rows(full, code)
    rows += [] if full.minimum is None else [(full.minimum.name, _minimum(full.minimum, code))]
    rows += [(tax.name, _tax(tax, code)) for tax in full.taxes]
    rows.append(("The sum", SUM_TEXT))
    return WordedTariff(full.name or "", _source(full), tuple(rows), hour_prices(full))


def _source(tariff: Tariff) -> str:
    if tariff.source is None:
        return "Prices as the house file gives them."
    return f"Prices from {tariff.source}" + (f", read on {long_day(tariff.read_on)}." if tariff.read_on else ".")


def _bills(tariff: Tariff) -> str:
    if tariff.read_day in (None, 1):
        return "One for each calendar month."
    return (f"A bill begins on day {tariff.read_day} of a month, ends on the day before day {tariff.read_day} of the next, and has the name "
            "of the month in which it ends.")


def _seasons(tariff: Tariff) -> list[tuple[str, str]]:
    names = days.season_names(tariff)
    if len(names) < 2:
        return []
    held = {name: frozenset().union(*(days.days_of(s) for s in tariff.seasons if s.name == name)) for name in names}
    return [("Seasons", joined([f"{name} is {month_days(held[name])}" for name in names]) + ".")]


def _hours(tariff: Tariff) -> list[tuple[str, str]]:
    names = days.window_names(tariff)
    if len(names) < 2:
        return []
    said = [f"{name} is {_rest_or_hours(tariff, name)}" for name in names]
    return [("Hours", joined(said) + ".")]


def _rest_or_hours(tariff: Tariff, name: str) -> str:
    own = [w for w in tariff.windows if w.name == name]
    if all(w.hours is None and w.seasons is None and w.days == "every day" for w in own):
        return "every other hour"
    seasons = days.season_names(tariff)
    held = {(season, kind): frozenset(hour for hour, entries in enumerate(days.windows_of_hours(tariff, season, kind))
                                      if tariff.windows[entries[0]].name == name)
            for season in seasons for kind in _kinds(tariff)}
    return when(held, seasons, tariff.holidays is not None)


def _kinds(tariff: Tariff) -> tuple[int, ...]:
    return (days.WEEKDAY, days.WEEKEND) if tariff.holidays is None else (days.WEEKDAY, days.WEEKEND, days.HOLIDAY)


def _clock(tariff: Tariff) -> list[tuple[str, str]]:
    by_hour = len(days.window_names(tariff)) > 1 or any(charge.windows for charge in tariff.demand) or hour_prices(tariff)
    return [("Clock", "All hours are those of the household’s clock, summer time and all.")] if by_hour else []


def _holidays(tariff: Tariff) -> list[tuple[str, str]]:
    if tariff.holidays is None:
        return []
    also = ("; where one falls on a Saturday or Sunday, the day on which it is celebrated counts too" if tariff.holidays.celebrated else
            "; where one falls on a Saturday or Sunday, no other day takes its place")
    return [("Holidays", f"{plain(tariff.holidays.names)}{also}.")]


def _energy(tariff: Tariff, charge: EnergyCharge, code: str) -> str:
    rule = tariff.export_rule
    if charge.counts == "delivered":
        base = "on each kWh taken from the grid, which nothing that is sent out can lower"
    elif rule.rule == "one-to-one":
        base = "on the kWh left after those sent out are set against those taken"
    else:
        base = "on each kWh used" if rule.rule == "buy-all sell-all" else "on each kWh taken from the grid"
    if charge.prices is None:
        return f"{exact(charge.price_per_kwh, code)} a kWh, {base}."
    said = joined([_priced(price, code) for price in charge.prices])
    blocked = any(price.blocks for price in charge.prices)
    per_day = " The ends of the blocks are for one day: multiply them by the days of the bill." if blocked and charge.blocks_per == "day" else ""
    seasonal = (" Where a bill lies in two seasons, the blocks of a season shrink to its share of the days."
                if any(price.blocks and price.season for price in charge.prices) else "")
    return f"{said[:1].upper()}{said[1:]}; {base}.{per_day}{seasonal}"


def _priced(price: EnergyPrice, code: str) -> str:
    place = ", ".join(part for part in (price.season, price.window) if part)
    text = _blocks(price.blocks, code) if price.blocks else f"{exact(price.price_per_kwh, code)} a kWh"
    return f"{place}: {text}" if place else text


def _blocks(blocks: Sequence[Block], code: str) -> str:
    said, below = [], None
    for block in blocks:
        price = exact(block.price_per_kwh, code)
        if below is None:
            where = "every kWh" if block.up_to_kwh is None else f"the first {block.up_to_kwh:,g} kWh"
        else:
            where = f"kWh above {below:,g}" if block.up_to_kwh is None else f"kWh above {below:,g} up to {block.up_to_kwh:,g}"
        said.append(f"{where} at {price}")
        below = block.up_to_kwh
    return plain(said)


def _demand(tariff: Tariff, charge: DemandCharge, code: str) -> str:
    if charge.prices is None:
        price = exact(charge.price_per_kw, code)
    else:
        price = plain([f"{exact(p.price_per_kw, code)} in {p.season}" for p in charge.prices]) + ", by the season of that hour"
    text = f"For each kW of the highest demand in a bill {price}. Demand is a mean of {charge.over}"
    if charge.windows is not None:
        text += f", counted {_demand_hours(tariff, charge)}"
    text += ", taken to the watt." if charge.rounded_to == "nothing" else f", rounded to a {charge.rounded_to}, half upwards."
    if charge.ratchet_percent:
        text += (f" Never less than {charge.ratchet_percent:g} % of the highest one measured in the {charge.ratchet_periods} bills before"
                 f"{', before it is rounded' if charge.rounded_to != 'nothing' else ''}.")
    return text


def _demand_hours(tariff: Tariff, charge: DemandCharge) -> str:
    seasons = days.season_names(tariff)
    held = {(season, kind): frozenset().union(*(days.hours_of(text) for w in charge.windows if season in (w.seasons or seasons)
                                                and kind in days.KINDS_OF[w.days] for text in w.hours))
            for season in seasons for kind in _kinds(tariff)}
    return when(held, seasons, tariff.holidays is not None)


def _minimum(minimum: Minimum, code: str) -> str:
    what = "the lines for energy" if minimum.covers == "energy" else "all lines before taxes"
    kept = "kept for the next bill" if minimum.unused_credit == "kept" else "lost"
    return (f"What {what} come to, after credit, is raised to at least {exact(minimum.price, code)} {_PER[minimum.per]}. "
            f"Credit that this leaves without use is {kept}.")


def _tax(tax: Tax, code: str) -> str:
    if tax.per_kwh is not None:
        on = "taken from the grid" if tax.counts == "delivered" else "that is billed"
        return f"{exact(tax.per_kwh, code)} on each kWh {on}."
    lines = "all lines above that are no tax" if tax.lines is None else plain(_quoted(tax.lines))
    credit = "before credit is taken off" if tax.before_credits else "after credit was taken off"
    return f"{tax.percent:g} % of {lines}, {credit}."


def _quoted(names: Iterable[str]) -> list[str]:
    return [f"“{name}”" for name in names]
