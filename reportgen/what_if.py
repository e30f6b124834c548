"""Facts that the house file states and that may still turn out otherwise: price, use, export rule, growth of prices."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from reportgen.bills.energy_lines import net_prices
from reportgen.describe.models import House
from reportgen.describe.tariff import LastingExportRule, Tariff
from reportgen.describe.tariff_rules import in_full
from reportgen.figures import show

REACH_PRICE, REACH_USE = 0.10, 0.15     # common practice, no source
REACH_ROOF_YEARS = 4.0                  # common practice, no source
EXPORT_SHARE = 0.25                     # of the price, where no price for surplus is known; common practice, no source
NO_SOURCE = "the house file; its reach is common practice, no source"
GROWTH = "money.price_growth_percent"


@dataclass(frozen=True)
class WhatIf:
    """The house with one stated fact at its low and at its high."""

    key: str
    label: str
    texts: tuple[str, str, str]   # as stated, low, high
    low: House
    high: House
    source: str
    ask: str
    remark: str = ""


def given_but_uncertain(house: House, assumed: frozenset[str]) -> Iterator[WhatIf]:
    """What to run again although it was stated. assumed: paths that were filled in, which have ranges of their own."""
    if house.money.installed_price is not None:
        yield _price(house)
    yield _use(house)
    if house.building.roof_years_left is not None and house.money.refit_per_module:
        yield _roof(house)
    if any(plan.export_rule.rule == "one-to-one" for plan in _open_plans(house)):
        yield _export_rule(house)
    if GROWTH not in assumed:
        growth = house.money.price_growth_percent
        yield WhatIf(GROWTH, "Growth of the electricity price a year",
                     tuple(f"{g:g} %" for g in (growth, growth - 1, growth + 1)),
                     house.replaced(GROWTH, growth - 1.0), house.replaced(GROWTH, growth + 1.0),
                     "the house file, one point either way", "", "Nobody can know it.")


def _price(house: House) -> WhatIf:
    price, code = house.money.installed_price, house.money.currency
    low, high = price * (1 - REACH_PRICE), price * (1 + REACH_PRICE)
    return WhatIf("money.installed_price", "Price of the finished system", tuple(show(p, code) for p in (price, low, high)),
                  house.replaced("money.installed_price", low), house.replaced("money.installed_price", high), NO_SOURCE,
                  "Get the price in writing, with permit, meter, taxes and any work on roof and panel in it.")


def _roof(house: House) -> WhatIf:
    """A roofer's number of years is a guess: four years either way."""
    left = house.building.roof_years_left
    low, high = max(0.0, left - REACH_ROOF_YEARS), left + REACH_ROOF_YEARS
    return WhatIf("building.roof_years_left", "Years until the roof is renewed", tuple(f"{n:g} years" for n in (left, low, high)),
                  house.replaced("building.roof_years_left", low), house.replaced("building.roof_years_left", high), NO_SOURCE,
                  "Have a roofer look at the covering and put a date to the word; ask whether to renew it before the array.")


def _use(house: House) -> WhatIf:
    def scaled(factor):
        return house.replaced("use", house.use.scaled(factor))
    low, high = 1 - REACH_USE, 1 + REACH_USE
    year = house.use.year_kwh
    return WhatIf("use.year_kwh", "Electricity the house will use", tuple(show(year * f, "kWh") for f in (1, low, high)),
                  scaled(low), scaled(high), NO_SOURCE,
                  "Think ahead: will a car, a heat pump or a person come, or will somebody move out?")


def _open_plans(house: House) -> list[Tariff]:
    """The plans that an array may be billed under, in full form."""
    today = [house.tariff] if house.tariff.open_to_solar else []
    return [in_full(plan) for plan in (*today, *(house.plans_with_solar or ()))]


def _export_rule(house: House) -> WhatIf:
    code = house.money.currency
    first = next(plan for plan in _open_plans(house) if plan.export_rule.rule == "one-to-one")
    price, is_paid = _surplus_price(first)
    plans = house.plans_with_solar and [_by_the_hour(plan) for plan in house.plans_with_solar]
    changed = house.model_copy(update={"tariff": _by_the_hour(house.tariff), "plans_with_solar": plans})
    return WhatIf("tariff.export", "The utility's rule for what is sent out",
                  ("one-to-one", f"{show(price, code + '/kWh')} for each kWh sent out, from the first year", "as now"),
                  changed, house,
                  "today's price for surplus kWh" if is_paid else "a quarter of today's price: common practice, no source",
                  "Ask the utility in writing for how many years an array finished now keeps this rule.")


def _by_the_hour(plan: Tariff) -> Tariff:
    """A one-to-one plan with its surplus sold by the hour; any other plan as it is."""
    full = in_full(plan)
    if full.export_rule.rule != "one-to-one":
        return plan
    rule = LastingExportRule(rule="net billing", price_per_kwh=_surplus_price(full)[0])
    return full.model_copy(update={"export_rule": rule})


def _surplus_price(full: Tariff) -> tuple[float, bool]:
    """(What a kWh sent out would earn, whether the tariff itself pays that for kWh left over)."""
    paid = full.export_rule.leftover_price_per_kwh
    if paid is not None:
        return paid, True
    prices = net_prices(full)
    return EXPORT_SHARE * (float(prices[prices > 0].mean()) if (prices > 0).any() else 0.0), False
