"""The chain, in one page: a house and a year of weather in, everything found about it out.

Pure: same inputs and same version, same result. The day of the report is an input; nothing here reads a clock, the
network or a file outside the package.
"""

from __future__ import annotations

from dataclasses import replace

from reportgen.answer import answer
from reportgen.assessment import Assessment, Effect
from reportgen.bills.compare import SELF_USE_REACH, compare_bills
from reportgen.climate.typical_year import TypicalYear
from reportgen.describe.assumptions import Assumption, complete, with_assumption
from reportgen.describe.models import House
from reportgen.figures import Figure, show, show_input
from reportgen.interconnection.connect import connect
from reportgen.payback.cash import pay_back, with_shift
from reportgen.production.chain import produce
from reportgen.production.faces import share_modules
from reportgen.production.layout.roof import lay_out_roof
from reportgen.production.spread import Z_NINE_IN_TEN
from reportgen.sizing import resized, size, with_one_module
from reportgen.what_if import given_but_uncertain

TURNS_VERDICT = ("array.inverter_kw", "array.module_count", "electrical.source_position", "electrical.service_v")
DEPOSIT = ("money.deposit_percent", "money.deposit_tax_percent")
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
    effects = tuple(sorted(_effects(chain, house, year, assumptions, assumed), key=lambda e: (-e.swing, e.key)))
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


def _effects(chain: _Chain, house: House, year: TypicalYear,
             assumptions: tuple[Assumption, ...], assumed: frozenset[str]):
    """Every uncertain input at its low and its high, the whole chain run again for each."""
    def run(a_house, a_year):
        production, _, payback = chain.run(a_house, a_year, assumed)
        over = payback.array_over_deposit
        return production.year.value, payback.net_present_value.value, payback.middle.simple_payback_years, over.value

    production, bills, _ = chain.run(house, year, assumed)

    def effect(key, label, texts, low, high, source, ask, remark="", verdicts=None):
        kwh, value, back = zip(low[:3], high[:3], strict=True)
        over = (low[3], high[3]) if key in DEPOSIT else None   # these move nothing but the comparison with a deposit
        return Effect(key, label, *texts, kwh, value, back, abs(value[1] - value[0]), source, ask, remark, over, verdicts)

    for a in assumptions:
        if a.low is None or a.high is None:
            continue
        ends = [_with(house, a, end, assumptions) for end in (a.low, a.high)]
        low, high = (run(end, year) for end in ends)
        yield effect(a.path, a.label, [show_input(v, a.unit) for v in (a.value, a.low, a.high)], low, high, a.source, a.ask,
                     a.remark, tuple(connect(end, assumed).verdict for end in ends) if a.path in TURNS_VERDICT else None)

    for moved in given_but_uncertain(house, assumed):
        low, high = (run(end, year) for end in (moved.low, moved.high))
        yield effect(moved.key, moved.label, moved.texts, low, high, moved.source, moved.ask, moved.remark)
    if house.tariff.export == "net billing" and bills.hours_are_modelled:
        ends = [with_shift(house, production, bills, side * SELF_USE_REACH) for side in (-1, 1)]
        low, high = ((production.year.value, e.net_present_value, e.simple_payback_years) for e in ends)
        points = f"{100 * SELF_USE_REACH:.0f} points"
        yield effect("use.hours", "Hours in which power is used", (f"the shape “{bills.shape_name}”", f"{points} less used at once",
                     f"{points} more used at once"), low, high, bills.shape_source, "Ask the utility for hourly readings of a year.")

    reach = Z_NINE_IN_TEN * year.weather_sigma
    low, high = (run(house, year.brighter(1 + side * reach)) for side in (-1, 1))
    yield effect("weather.sun", "Sunshine of the place", ("as in " + year.name, f"{100 * reach:.0f} % less", f"{100 * reach:.0f} % more"),
                 low, high, "; ".join(year.sources), "A measured weather file for the place, or the yearly output of an array nearby.")
    low, high = (run(house, year.warmer(side * Z_NINE_IN_TEN * year.air_error_k)) for side in (1, -1))
    reach_k = show(Z_NINE_IN_TEN * year.air_error_k, "K", 1)
    yield effect("weather.air", "Air temperature of the place", ("as in " + year.name, reach_k + " warmer", reach_k + " cooler"),
                 low, high, "; ".join(year.sources), "A measured weather file for the place.")


def _with(house: House, assumption: Assumption, value, assumptions: tuple[Assumption, ...]) -> House:
    """The house with one assumption changed, and with what follows from the size following it."""
    if assumption.path == SIZE:
        changed = resized(house, value)
    else:
        changed = with_assumption(house, assumption, value)
    if assumption.path in (SIZE, "array.module_w", "money.price_per_w"):
        for follower in assumptions:
            if follower.follows_size:
                changed = changed.replaced(follower.path, None)
        changed = size(changed, lambda h, face: 0.0).house
    return changed


def _all_figures(*parts) -> dict[str, Figure]:
    """Every Figure by key; two with one key would hide each other, so that is an error."""
    found: dict[str, Figure] = {}
    for part in parts:
        for figure in part.figures:
            if figure.key in found:
                raise ValueError(f"two figures are called {figure.key}")
            found[figure.key] = figure
    return found
