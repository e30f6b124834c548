"""The chain, in one page: a house and a year of weather in, everything found about it out.

Pure: same inputs and same version, same result. The day of the report is an input; nothing here reads a clock, the
network or a file outside the package.
"""

from __future__ import annotations

from dataclasses import replace

from reportgen.answer import answer
from reportgen.assessment import Assessment, Effect
from reportgen.bills.compare import compare_bills
from reportgen.bills.meter_year import with_readings
from reportgen.bills.plans import HousePlans, count_plans
from reportgen.bills.use import SELF_USE_REACH, use_hours
from reportgen.climate.typical_year import TypicalYear
from reportgen.describe.assumptions import Assumption, complete, with_assumption
from reportgen.describe.models import House
from reportgen.figures import Figure, show, show_input
from reportgen.interconnection.connect import connect
from reportgen.payback.cash import pay_back, worth
from reportgen.payback.choices import Choices, Reruns, weigh_choices
from reportgen.payback.offers import take_apart
from reportgen.payback.offers_table import side_by_side
from reportgen.production.chain import produce
from reportgen.production.faces import share_modules
from reportgen.production.layout.roof import lay_out_roof
from reportgen.production.spread import Z_NINE_IN_TEN
from reportgen.sizing import resized, size, with_one_module
from reportgen.what_if import WhatIf, given_but_uncertain

TURNS_VERDICT = ("array.inverter_kw", "array.module_count", "electrical.source_position", "electrical.service_v",
                 "electrical.panels.*.source_position")
DEPOSIT = ("money.deposit_percent", "money.deposit_tax_percent")
SIZE = "array.module_count"


def assess(house: House, year: TypicalYear, readings=None) -> Assessment:
    """Everything that the report says about `house` under the weather of `year`.

    readings: what `bills.meter_year.read_use` gives for a house with a meter file.
    """
    chain = _Chain()
    filled, from_table = complete(with_readings(house, readings))
    sized = size(filled, lambda h, face: _one_module(chain, h, year, face))
    assumptions = tuple(sorted(sized.assumptions + from_table, key=lambda a: a.path != SIZE))
    assumed = frozenset(path for a in assumptions for path in a.paths)
    house = sized.house
    production, bills, payback = chain.run(house, year, assumed)
    rule = next((one for one in given_but_uncertain(house, assumed) if one.key == "tariff.export"), None)
    offers = take_apart(house, production, chain.plans(house, year), assumed, chain.way(house, assumed), rule,
                        None if rule is None or not house.offers else chain.plans(rule.low, year))
    held = next((figure for figure in production.figures if figure.key == "production.string_percent"), None)
    connection = connect(house, assumed, production.year.value)
    layout = lay_out_roof(house, [share.module_count for share in share_modules(house)])
    effects = tuple(sorted(_effects(chain, house, year, assumptions, assumed), key=lambda e: (-e.swing, e.key)))
    choices = _choices(chain, house, year, assumptions, assumed, rule)
    found = Assessment(
        house=house, year=year, assumptions=assumptions, production=production, connection=connection, bills=bills,
        payback=payback, answer=answer(house, production, connection, payback, offers, effects), effects=effects,
        settled=tuple(a for a in assumptions if a.low is None), figures={}, layout=layout,
        offers=offers, offer_table=side_by_side(offers, house, rule.texts[1] if rule else "", held), joint=choices.joint, needs=choices.needs, grid=choices.grid,
        choices=choices.others, emissions=choices.emissions)
    return replace(found, figures=_all_figures(production, connection, bills, payback, layout, choices, *offers))


class _Chain:
    """Runs production, bills and payback, and does no stage twice for the same inputs within one house."""

    def __init__(self):
        self._done = {}

    def run(self, house: House, year: TypicalYear, assumed: frozenset[str]):
        production, plans = self.produce(house, year), self.plans(house, year)
        bills = compare_bills(house, production.hours_kwh, year, counted=plans)
        return production, bills, pay_back(house, production, bills, assumed, self.way(house, assumed))

    def plans(self, house: House, year: TypicalYear) -> HousePlans:
        """Use and sun counted under each plan that the array may be billed under."""
        production, money = self.produce(house, year), house.money
        # Measured use holds 8,760 numbers, which are the same throughout.
        use_key = (id(year), house.use.model_dump_json(exclude={"import_kwh", "export_kwh"}), house.finish_day)
        use = self._once(("use", *use_key), lambda: use_hours(house, year))
        key = ("plans", id(production), *use_key, house.tariff.model_dump_json(), *(p.model_dump_json() for p in house.plans_with_solar or ()))
        if house.plans_with_solar:   # which of them is taken depends on how prices grow
            key += (money.price_growth_percent, money.fixed_growth_percent, money.export_growth_percent)
        return self._once(key, lambda: count_plans(house, use, production.hours_kwh, year))

    def way(self, house: House, assumed: frozenset[str]):
        """The way to connect whose price enters the cash; None where none is settled."""
        key = ("way", house.array.model_dump_json(), house.electrical.model_dump_json(), house.building.model_dump_json(),
               tuple(face.module_count for face in house.roof))
        return self._once(key, lambda: connect(house, assumed).chosen)

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
    def run(a_house, a_year, shift=0.0):
        production = chain.produce(a_house, a_year)
        found = worth(a_house, production, chain.plans(a_house, a_year), chain.way(a_house, assumed), shift)
        return production.year.value, found.net_present_value, found.simple_payback_years, found.over_deposit

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
    plans = chain.plans(house, year)
    if plans.hours_matter:
        low, high = (run(house, year, side * SELF_USE_REACH) for side in (-1, 1))
        points = f"{100 * SELF_USE_REACH:.0f} points"
        yield effect("use.hours", "Share of the sun used at once", (f"by the shape “{plans.use.shape_name}”", f"{points} less",
                     f"{points} more"), low, high, plans.use.shape_source, "Ask the utility for hourly readings of a year.")

    way = chain.way(house, assumed)
    if way is not None and way.price is not None and way.price.low < way.price.high:
        at = next(i for i, price in enumerate(house.electrical.prices) if price.way == way.price_way)
        ends = [house.replaced(f"electrical.prices.{at}.{other}", end) for other, end in
                (("high", way.price.low), ("low", way.price.high))]
        low, high = (run(end, year) for end in ends)
        yield effect("electrical.prices", f"Price to connect: {way.change}",
                     [show(v, house.money.currency, 0) for v in (way.price.middle, way.price.low, way.price.high)], low, high,
                     way.price.source or "the house file", "Ask a licensed electrician for a written price.")

    reach = Z_NINE_IN_TEN * year.weather_sigma
    low, high = (run(house, year.brighter(1 + side * reach)) for side in (-1, 1))
    yield effect("weather.sun", "Sunshine of the place", ("as in " + year.name, f"{100 * reach:.0f} % less", f"{100 * reach:.0f} % more"),
                 low, high, "; ".join(year.sources), "A measured weather file for the place, or the yearly output of an array nearby.")
    low, high = (run(house, year.warmer(side * Z_NINE_IN_TEN * year.air_error_k)) for side in (1, -1))
    reach_k = show(Z_NINE_IN_TEN * year.air_error_k, "°C", 1)
    yield effect("weather.air", "Air temperature of the place", ("as in " + year.name, reach_k + " warmer", reach_k + " cooler"),
                 low, high, "; ".join(year.sources), "A measured weather file for the place.")


def _choices(chain: _Chain, house: House, year: TypicalYear, assumptions: tuple[Assumption, ...], assumed: frozenset[str],
             rule: WhatIf | None) -> Choices:
    def of_size(sized: House):
        return chain.produce(sized, year), chain.plans(sized, year), chain.way(sized, assumed)

    def later_plans(later: House) -> HousePlans:
        return count_plans(later, use_hours(later, year), chain.produce(later, year).hours_kwh, year)
    return weigh_choices(house, chain.produce(house, year), assumed, assumptions, chain.way(house, assumed), rule,
                         Reruns(of_size, lambda changed: chain.plans(changed, year), later_plans))


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
