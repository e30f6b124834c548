"""The cash of a bought system, year by year, for one set of inputs; and the three sets that make the range."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from reportgen.bills.compare import SELF_USE_REACH
from reportgen.bills.path import MeterPath, bills_after, bills_before, meter_path
from reportgen.bills.result import Bills
from reportgen.describe.assumptions import row_for
from reportgen.describe.models import House
from reportgen.payback.incentives import find_incentives
from reportgen.payback.present_value import internal_rate, paid_back_in, present_value, present_value_factor
from reportgen.payback.result import CashCase, CashYear
from reportgen.production.degradation import degradation_factor
from reportgen.production.result import Production
from reportgen.sizing import dc_kw, installed_price, module_total

HORIZON_YEARS = 25
# Where the growth is given, the reach of NIST's 2025 outlook is put around it: real −0.5, 0 and +1 % (see the row
# money.price_growth_percent of tables/assumptions.yaml).
GROWTH_REACH = (-0.6, 1.0)


@dataclass(frozen=True)
class CaseInputs:
    name: str                  # "unfavourable", "middle", "favourable"
    output_share: float        # of the middle output; 1.0 in the middle
    growth_percent: float      # of all prices on the bill, a year
    price: float               # paid at the start [currency]
    used_at_once_shift: float = 0.0   # share of the sun used at once beyond the modelled hours


@dataclass(frozen=True, eq=False)
class CashColumns:
    """One value a year, years 1 to the horizon [currency]."""
    before: np.ndarray
    after: np.ndarray
    upkeep: np.ndarray         # ≤ 0
    replacement: np.ndarray    # ≤ 0
    incentive: np.ndarray      # ≥ 0
    price: float

    @property
    def flows(self) -> np.ndarray:
        """Net cash by year, year 0 first."""
        net = self.before - self.after + self.upkeep + self.replacement + self.incentive
        return np.concatenate([[-self.price], net])


def three_cases(house: House, production: Production, bills: Bills,
                assumed_paths: frozenset[str]) -> tuple[CaseInputs, ...]:
    """Unfavourable, middle, favourable: output, growth, an assumed price and, under net billing with modelled hours,
    the share of the sun used at once, all moved together."""
    money, output = house.money, production.mean_of_25
    middle = CaseInputs("middle", 1.0, money.price_growth_percent, installed_price(house))
    growth_low, growth_high = GROWTH_REACH
    if "money.price_growth_percent" in assumed_paths:
        growth_low, growth_high = _reach(house, "money.price_growth_percent")
    cheaper = dearer = 0.0
    if money.installed_price is None and "money.price_per_w" in assumed_paths:
        cheaper, dearer = (step * dc_kw(house) * 1000.0 for step in _reach(house, "money.price_per_w"))
    modelled = house.tariff.export == "net billing" and bills.hours_are_modelled
    reach = SELF_USE_REACH if modelled else 0.0

    def moved(name, output_kwh, growth, price, shift):
        share = 1.0 if output_kwh is None or not output.value else output_kwh / output.value
        return replace(middle, name=name, output_share=share, growth_percent=middle.growth_percent + growth,
                       price=middle.price + price, used_at_once_shift=shift)
    return (moved("unfavourable", output.low, growth_low, dearer, -reach), middle,
            moved("favourable", output.high, growth_high, cheaper, reach))


def _reach(house: House, path: str) -> tuple[float, float]:
    """How far the low and the high of an assumed value lie from it, e.g. (−0.35, 0.45) for the price per watt."""
    row = row_for(path, house.place.in_us)
    return row["low"] - row["value"], row["high"] - row["value"]


def meter(house: House, use_hours: np.ndarray, sun_hours: np.ndarray, case: CaseInputs) -> MeterPath:
    """What the meter counts in each year of the horizon, the array ageing."""
    aged = [degradation_factor(n, house.array.degradation_percent_per_year) for n in range(1, HORIZON_YEARS + 1)]
    return meter_path(house.tariff, use_hours, sun_hours, case.output_share * np.array(aged), case.used_at_once_shift)


def replacement_years(house: House) -> tuple[int, ...]:
    """Years in which a new inverter is bought: each time the last one has served its years, but not in the last year."""
    every = house.money.inverter_years
    return tuple(range(every, HORIZON_YEARS, every)) if every else ()


def refit_year(house: House) -> int | None:
    """The year in which the roof's covering is renewed and the array lifted; None where not known or beyond the horizon."""
    left = house.building.roof_years_left
    return None if left is None or round(left) >= HORIZON_YEARS else max(1, round(left))


def cash_columns(house: House, inputs: CaseInputs, path: MeterPath) -> CashColumns:
    """Prices of the bill grow by the case's growth, upkeep and the new inverter by inflation; year 1 is today's."""
    grown = np.arange(HORIZON_YEARS)
    prices = (1.0 + inputs.growth_percent / 100.0) ** grown
    others = (1.0 + house.money.inflation_percent / 100.0) ** grown
    replacement = np.zeros(HORIZON_YEARS)
    for year in replacement_years(house):
        replacement[year - 1] = (house.money.inverter_replacement or 0.0) * others[year - 1]
    refit = refit_year(house)
    if refit:
        replacement[refit - 1] += (house.money.refit_per_module or 0.0) * module_total(house) * others[refit - 1]
    incentive = sum((np.array(f.by_year) for f in find_incentives(house, inputs.price, HORIZON_YEARS)),
                    np.zeros(HORIZON_YEARS))
    return CashColumns(bills_before(house.tariff, path, prices), bills_after(house.tariff, path, prices),
                       -(house.money.upkeep_per_kw_year or 0.0) * dc_kw(house) * others, -replacement, incentive,
                       inputs.price)


def cash_case(name: str, columns: CashColumns, discount: float) -> CashCase:
    """The years and what they come to. discount: share a year, nominal."""
    flows = columns.flows
    cumulative = np.cumsum(flows)
    discounted = np.cumsum(flows * present_value_factor(discount, np.arange(len(flows))))
    years = [CashYear(0, 0.0, 0.0, 0.0, 0.0, -columns.price, 0.0, *(float(a[0]) for a in (flows, cumulative, discounted)))]
    rows = zip(columns.before, columns.after, columns.upkeep, columns.replacement, columns.incentive,
               flows[1:], cumulative[1:], discounted[1:], strict=True)
    for n, row in enumerate(rows, start=1):
        before, after, upkeep, replacement, incentive, *sums = map(float, row)
        years.append(CashYear(n, before, after, upkeep, replacement, 0.0, incentive, *sums))
    return CashCase(name, tuple(years), present_value(flows, discount), internal_rate(flows),
                    paid_back_in(cumulative), paid_back_in(discounted))
