"""The chain, in one page: a house and a year of weather in, everything found about it out.

Pure: same inputs and same version, same result. The day of the report is an input; nothing here reads a clock, the
network or a file outside the package.
"""

from __future__ import annotations

from dataclasses import replace

from reportgen.answer import answer
from reportgen.assessment import Assessment, Effect
from reportgen.bills.compare import compare_bills
from reportgen.climate.typical_year import TypicalYear
from reportgen.describe.assumptions import Assumption, complete, with_assumption
from reportgen.describe.models import House
from reportgen.figures import Figure, is_money, show
from reportgen.interconnection.connect import connect
from reportgen.payback.cash import pay_back
from reportgen.production.chain import produce
from reportgen.production.faces import share_modules
from reportgen.production.layout.roof import lay_out_roof
from reportgen.sizing import resized, size, with_one_module

SUN_Z = 1.2816   # nine places in ten within ± z sigma on either side, as for P90 and P10
GROWTH = "money.price_growth_percent"
SIZE = "array.module_count"


def assess(house: House, year: TypicalYear) -> Assessment:
    """Everything that the report says about `house` under the weather of `year`."""
    chain = _Chain()
    filled, from_table = complete(house)
    sized = size(filled, lambda h, face: _one_module(chain, h, year, face))
    assumptions = tuple(sorted(sized.assumptions + from_table, key=lambda a: a.path != SIZE))
    assumed = frozenset(path for a in assumptions for path in a.paths)
    house = sized.house
    production, bills, payback = chain.run(house, year, assumed)
    connection = connect(house, assumed)
    layout = lay_out_roof(house, [share.module_count for share in share_modules(house)])
    effects = tuple(sorted(_effects(chain, filled, house, year, assumptions, assumed), key=lambda e: (-e.swing, e.key)))
    found = Assessment(
        house=house, year=year, assumptions=assumptions, production=production, connection=connection, bills=bills,
        payback=payback, answer=answer(house, production, connection, payback), effects=effects,
        settled=tuple(a for a in assumptions if a.low is None), figures={}, layout=layout)
    return replace(found, figures=_all_figures(production, connection, bills, payback, layout))


class _Chain:
    """Runs production, bills and payback, and does no stage twice for the same inputs within one house."""

    def __init__(self):
        self._done = {}

    def run(self, house: House, year: TypicalYear, assumed: frozenset[str]):
        production = self.produce(house, year)
        key = ("bills", id(production), house.use.model_dump_json(), house.tariff.model_dump_json())
        bills = self._once(key, lambda: compare_bills(house, production.hours_kwh, year.utc_offset_h))
        return production, bills, pay_back(house, production, bills, assumed)

    def produce(self, house: House, year: TypicalYear):
        parts = (house.array, house.losses, *house.roof, *house.obstacles)
        key = ("production", id(year), *(part.model_dump_json() for part in parts))
        return self._once(key, lambda: (year, produce(house, year)))[1]   # year kept, so that its id stays its own

    def _once(self, key, work):
        if key not in self._done:
            self._done[key] = work()
        return self._done[key]


def _one_module(chain: _Chain, house: House, year: TypicalYear, face: int) -> float:
    """kWh a year from one module on this face, with an inverter that never limits it."""
    return chain.produce(with_one_module(house, face), year).year.value


def _effects(chain: _Chain, filled: House, house: House, year: TypicalYear,
             assumptions: tuple[Assumption, ...], assumed: frozenset[str]):
    """Every uncertain input at its low and its high, the whole chain run again for each."""
    def run(a_house, a_year):
        production, _, payback = chain.run(a_house, a_year, assumed)
        return production.year.value, payback.net_present_value.value, payback.middle.simple_payback_years

    def effect(key, label, texts, low, high, source, ask, remark=""):
        (kwh_low, value_low, back_low), (kwh_high, value_high, back_high) = low, high
        return Effect(key, label, *texts, (kwh_low, kwh_high), (value_low, value_high), (back_low, back_high),
                      abs(value_high - value_low), source, ask, remark)

    for a in assumptions:
        if a.low is None or a.high is None:
            continue
        low, high = (run(_with(filled, house, a, end, assumptions), year) for end in (a.low, a.high))
        yield effect(a.path, a.label, [_value_text(v, a.unit) for v in (a.value, a.low, a.high)], low, high, a.source, a.ask,
                     a.remark)

    reach = SUN_Z * year.weather_sigma
    low, high = (run(house, year.brighter(1 + side * reach)) for side in (-1, 1))
    yield effect("weather.sun", "Sunshine of the place", ("as in " + year.name, f"{100 * reach:.0f} % less", f"{100 * reach:.0f} % more"),
                 low, high, "; ".join(year.sources), "A measured weather file for the place, or the yearly output of an array nearby.")
    low, high = (run(house, year.warmer(side * SUN_Z * year.air_error_k)) for side in (1, -1))
    reach_k = show(SUN_Z * year.air_error_k, "K", 1)
    yield effect("weather.air", "Air temperature of the place", ("as in " + year.name, reach_k + " warmer", reach_k + " cooler"),
                 low, high, "; ".join(year.sources), "A measured weather file for the place.")
    if GROWTH not in assumed:
        g = house.money.price_growth_percent
        ends = (g - 1.0, g + 1.0)
        low, high = (run(house.replaced(GROWTH, end), year) for end in ends)
        yield effect(GROWTH, "Growth of the electricity price a year", [_value_text(v, "%") for v in (g, *ends)], low, high,
                     "the house file, one point either way", "", "Nobody can know it.")


def _with(filled: House, house: House, assumption: Assumption, value, assumptions) -> House:
    """The house with one assumption changed, and with what follows from the size following it."""
    if assumption.path == SIZE:
        changed = resized(house, value)
    else:
        changed = with_assumption(house, assumption, value)
    if assumption.path in (SIZE, "array.module_w", "money.price_per_w"):
        for follower in assumptions:   # sizes and prices that were assumed from the size are assumed anew
            if follower.path in ("array.inverter_kw", "money.inverter_replacement", "money.upkeep_per_kw_year") and (
                    follower.path != "money.upkeep_per_kw_year" or not filled.money.upkeep_per_kw_year):
                changed = changed.replaced(follower.path, None)
        changed = size(changed, lambda h, face: 0.0).house
    return changed


def _value_text(value, unit: str) -> str:
    """An input as it was written, not rounded as a result would be: 2.15 %, 15 year."""
    if not isinstance(value, (int, float)):
        return str(value)
    if is_money(unit):
        return show(float(value), unit)
    return show(float(value), unit, next((d for d in range(4) if abs(value - round(value, d)) < 1e-9), 2))


def _all_figures(*parts) -> dict[str, Figure]:
    """Every Figure by key; two with one key would hide each other, so that is an error."""
    found: dict[str, Figure] = {}
    for part in parts:
        for figure in part.figures:
            if figure.key in found:
                raise ValueError(f"two figures are called {figure.key}")
            found[figure.key] = figure
    return found
