"""The cash of a bought system, year by year, for one set of inputs; and the three sets that make the range."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from reportgen.bills.plans import HORIZON_YEARS, HousePlans, ageing, price_factors
from reportgen.bills.use import SELF_USE_REACH
from reportgen.bills.years import PlanYears
from reportgen.describe.assumptions import row_for
from reportgen.describe.models import House
from reportgen.interconnection.result import PriceRange
from reportgen.payback.holding import holding_costs
from reportgen.payback.incentives import find_incentives
from reportgen.payback.present_value import internal_rate, paid_back_in, present_value, present_value_factor
from reportgen.payback.result import CashCase, CashYear
from reportgen.production.result import Production
from reportgen.sizing import dc_kw, installed_price, module_total

# Where the growth is given, the reach of NIST's 2025 outlook is put around it: real −0.5, 0 and +1 % (see the row
# money.price_growth_percent of tables/assumptions.yaml).
GROWTH_REACH = (-0.6, 1.0)
NO_EXTRA = PriceRange(0.0, 0.0, "")


@dataclass(frozen=True)
class CaseInputs:
    name: str                  # "unfavourable", "middle", "favourable"
    output_share: float        # of the middle output; 1.0 in the middle
    growth_percent: float      # of the electricity price, a year
    price: float               # of the system, paid at the start [currency]
    connecting: float = 0.0    # what the way to connect costs beyond it, paid at the start [currency]
    used_at_once_shift: float = 0.0   # share of the sun used at once beyond the modelled hours
    use_factor: float = 1.0    # of the house's use in every hour
    year_kwh: float = 0.0      # the middle output of the first year


@dataclass(frozen=True, eq=False)
class CashColumns:
    """One value a year, years 1 to the horizon [currency]."""
    before: np.ndarray
    after: np.ndarray
    upkeep: np.ndarray         # ≤ 0
    replacement: np.ndarray    # ≤ 0
    incentive: np.ndarray      # ≥ 0
    price: float               # of the system and of the way to connect, paid at the start
    holding: np.ndarray | float = 0.0   # ≤ 0: insurance, property tax, taking it down, as far as the house file says

    @property
    def flows(self) -> np.ndarray:
        """Net cash by year, year 0 first."""
        net = self.before - self.after + self.upkeep + self.replacement + self.holding + self.incentive
        return np.concatenate([[-self.price], net])


def three_cases(house: House, production: Production, plans: HousePlans, assumed_paths: frozenset[str],
                connecting: PriceRange = NO_EXTRA) -> tuple[CaseInputs, ...]:
    """Unfavourable, middle, favourable: output, growth, an assumed price, the price of the way to connect and, where modelled
    hours move the bill, the share of the sun used at once, all moved together."""
    money, output = house.money, production.mean_of_25
    middle = CaseInputs("middle", 1.0, money.price_growth_percent, installed_price(house), connecting.middle,
                        year_kwh=production.year.value)
    growth_low, growth_high = GROWTH_REACH
    if "money.price_growth_percent" in assumed_paths:
        growth_low, growth_high = _reach(house, "money.price_growth_percent")
    cheaper = dearer = 0.0
    if money.installed_price is None and "money.price_per_w" in assumed_paths:
        cheaper, dearer = (step * dc_kw(house) * 1000.0 for step in _reach(house, "money.price_per_w"))
    reach = SELF_USE_REACH if plans.hours_matter else 0.0

    def moved(name, output_kwh, growth, price, extra, shift):
        share = 1.0 if output_kwh is None or not output.value else output_kwh / output.value
        return replace(middle, name=name, output_share=share, growth_percent=middle.growth_percent + growth,
                       price=middle.price + price, connecting=extra, used_at_once_shift=shift)
    return (moved("unfavourable", output.low, growth_low, dearer, connecting.high, -reach), middle,
            moved("favourable", output.high, growth_high, cheaper, connecting.low, reach))


def _reach(house: House, path: str) -> tuple[float, float]:
    """How far the low and the high of an assumed value lie from it, e.g. (−0.35, 0.45) for the price per watt."""
    row = row_for(path, house.place.in_us)
    return row["low"] - row["value"], row["high"] - row["value"]


@dataclass(frozen=True, eq=False)
class CaseBills:
    """The bills of a case's years before any price has grown."""
    before: PlanYears            # today's plan without the sun
    after: PlanYears             # the plan taken with the sun


def case_bills(house: House, plans: HousePlans, case: CaseInputs) -> CaseBills:
    """What the meter counts in each year of the horizon, the array ageing and use changing as the house file says."""
    return CaseBills(plans.today.years_without_sun(HORIZON_YEARS, case.use_factor),
                     plans.chosen.years(case.output_share * ageing(house) * standing(house), case.used_at_once_shift, case.use_factor))


def standing(house: House) -> np.ndarray:
    """Share of each year's output left by the days on which the array is off the roof for its new covering."""
    shares, refit = np.ones(HORIZON_YEARS), refit_year(house)
    if refit:
        shares[refit - 1] -= (house.building.roof_work_days or 0.0) / 365.0
    return shares


def replacement_years(house: House) -> tuple[int, ...]:
    """Years in which a new inverter is bought: each time the last one has served its years, but not in the last year."""
    every = house.money.inverter_years
    return tuple(range(every, HORIZON_YEARS, every)) if every else ()


def refit_year(house: House) -> int | None:
    """The year in which the roof's covering is renewed and the array lifted; None where not known or beyond the horizon."""
    left = house.building.roof_years_left
    return None if left is None or round(left) >= HORIZON_YEARS else max(1, round(left))


def cash_columns(house: House, inputs: CaseInputs, bills: CaseBills, under_warranty: tuple[int, ...] = ()) -> CashColumns:
    """Prices of the bill grow by the case's growth, fixed charges and what is sent out by their own where written; upkeep and
    the new inverter by inflation. Year 1 is today's. under_warranty: years whose new inverter costs nothing."""
    prices = price_factors(house, inputs.growth_percent)
    others = (1.0 + house.money.inflation_percent / 100.0) ** np.arange(HORIZON_YEARS)
    replacement = np.zeros(HORIZON_YEARS)
    for year in set(replacement_years(house)) - set(under_warranty):
        replacement[year - 1] = (house.money.inverter_replacement or 0.0) * others[year - 1]
    refit = refit_year(house)
    if refit:
        replacement[refit - 1] += (house.money.refit_per_module or 0.0) * module_total(house) * others[refit - 1]
    return CashColumns(bills.before.bills(prices).total, bills.after.bills(prices).total,
                       -(house.money.upkeep_per_kw_year or 0.0) * dc_kw(house) * others, -replacement,
                       incentive_by_year(house, inputs), inputs.price + inputs.connecting,
                       sum(holding_costs(house).values(), np.zeros(HORIZON_YEARS)))


def output_by_year(house: House, inputs: CaseInputs) -> np.ndarray:
    """kWh in years 1 to the horizon."""
    return inputs.year_kwh * inputs.output_share * ageing(house) * standing(house)


def incentive_by_year(house: House, inputs: CaseInputs, owner: str = "household", payments: tuple[float, ...] = ()) -> np.ndarray:
    """What the household receives; under a company's array by its yearly payments."""
    found = find_incentives(house, inputs.price, HORIZON_YEARS, output_by_year(house, inputs), owner, payments)
    return sum((np.array(finding.by_year) for finding in found), np.zeros(HORIZON_YEARS))


def at_price(house: House, inputs: CaseInputs, columns: CashColumns) -> CashColumns:
    """The same years at another price of the system: what follows it is the purchase and an incentive on it."""
    return replace(columns, incentive=incentive_by_year(house, inputs), price=inputs.price + inputs.connecting)


def cash_case(name: str, columns: CashColumns, discount: float) -> CashCase:
    """The years and what they come to. discount: share a year, nominal."""
    flows = columns.flows
    cumulative = np.cumsum(flows)
    discounted = np.cumsum(flows * present_value_factor(discount, np.arange(len(flows))))
    years = [CashYear(0, 0.0, 0.0, 0.0, 0.0, -columns.price, 0.0, *(float(a[0]) for a in (flows, cumulative, discounted)))]
    rows = zip(columns.before, columns.after, columns.upkeep, columns.replacement, columns.incentive,
               flows[1:], cumulative[1:], discounted[1:], np.broadcast_to(columns.holding, len(columns.before)), strict=True)
    for n, row in enumerate(rows, start=1):
        before, after, upkeep, replacement, incentive, *sums, holding = map(float, row)
        years.append(CashYear(n, before, after, upkeep, replacement, 0.0, incentive, *sums, holding))
    return CashCase(name, tuple(years), present_value(flows, discount), internal_rate(flows),
                    paid_back_in(cumulative), paid_back_in(discounted))
