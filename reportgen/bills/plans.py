"""The plans that a house with an array may be billed under, each counted over its years, and the one with the least bills."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date
from functools import lru_cache

import numpy as np

from reportgen.bills.bill import NO_ARRAY
from reportgen.bills.calendar import BillCalendar, bill_calendar
from reportgen.bills.netting import Netting
from reportgen.bills.use import HourlyUse
from reportgen.bills.year_charges import Plan
from reportgen.bills.years import BillYears, PlanYears, PriceFactors, plan_years, rule_of_year
from reportgen.climate.typical_year import HOURS, TypicalYear
from reportgen.describe.models import House
from reportgen.describe.tariff import ExportRule, Tariff
from reportgen.describe.tariff_rules import in_full
from reportgen.production.degradation import degradation_factor
from reportgen.sizing import dc_kw, module_total

HORIZON_YEARS = 25



@dataclass(frozen=True, eq=False)
class CountedPlan:
    """A plan, its calendar, and the house's use and sun laid over it."""
    name: str                    # as the tariff names it; "" where it has no name
    plan: Plan
    netting: Netting
    start: date                  # first day of the first year with the sun
    array_kw: tuple[float, float]

    @property
    def tariff(self) -> Tariff:
        """In full form."""
        return self.plan.tariff

    @property
    def rule(self) -> ExportRule:
        """The export rule of the first year."""
        return rule_of_year(self.tariff, self.start, 0)

    def years(self, output_factors: np.ndarray, used_at_once_shift: float = 0.0, use_factor: float = 1.0) -> PlanYears:
        """use_factor: of every hour's use, coming changes with it; exact, since netting use × u against sun × f is u times
        netting use against sun × f / u."""
        meter = self.netting.years(output_factors / use_factor, used_at_once_shift)
        return plan_years(self.plan, meter if use_factor == 1.0 else meter.times(use_factor), self.array_kw, self.start)

    def years_without_sun(self, year_count: int, use_factor: float = 1.0) -> PlanYears:
        meter = self.netting.years(np.zeros(year_count))
        return plan_years(self.plan, meter if use_factor == 1.0 else meter.times(use_factor), NO_ARRAY, self.start)

    @property
    def hours_matter(self) -> bool:
        """Whether the bill changes with the share of the sun used at once. Under one-to-one it does only where a charge
        counts each kWh taken from the grid."""
        if self.rule.rule == "buy-all sell-all":
            return False
        return self.rule.rule != "one-to-one" or any(charge.counts == "delivered" for charge in self.tariff.energy) or any(
            tax.per_kwh is not None and tax.counts == "delivered" for tax in self.tariff.taxes)


@dataclass(frozen=True, eq=False)
class HousePlans:
    """Today's plan, the plans open to an array, and the one taken: the least sum of 25 years' bills."""
    use: HourlyUse
    today: CountedPlan
    open_plans: tuple[CountedPlan, ...]
    chosen: CountedPlan
    sums: tuple[float, ...]      # 25 years of bills with the sun, for each of open_plans [currency, nominal]

    @property
    def hours_matter(self) -> bool:
        """Whether modelled hours may be wrong in a way that moves the bill."""
        return not self.use.is_measured and self.chosen.hours_matter


def count_plans(house: House, use: HourlyUse, sun_hours: np.ndarray, year: TypicalYear) -> HousePlans:
    """sun_hours: 8,760, the first year's output [kWh]. Raises ValueError where no plan is open to an array."""
    sun, uses = np.asarray(sun_hours, dtype=float), use_of_years(use, HORIZON_YEARS)

    def counted(tariff: Tariff, hours: np.ndarray) -> CountedPlan:
        full = in_full(tariff)
        calendar = _calendar(_Said(full.model_dump_json(), full), house.place.time_zone, year.utc_offset_h, use.year)
        return CountedPlan(tariff.name or "", Plan.of(full, calendar), Netting(full, calendar, uses.__getitem__, hours, HORIZON_YEARS),
                           house.finish_day or house.report_day, array_kw(house) if full.array else NO_ARRAY)
    with_solar = [counted(plan, sun) for plan in house.plans_with_solar or ()]
    today = counted(house.tariff, sun if house.tariff.open_to_solar else np.zeros(HOURS))
    open_plans = ([today] if house.tariff.open_to_solar else []) + with_solar
    if not open_plans:
        raise ValueError("no plan is open to an array")
    aged, prices = ageing(house), price_factors(house, house.money.price_growth_percent or 0.0)
    if len(open_plans) == 1:
        return HousePlans(use, today, tuple(open_plans), open_plans[0], (np.nan,))
    sums = tuple(float(plan.years(aged).bills(prices).total.sum()) for plan in open_plans)
    return HousePlans(use, today, tuple(open_plans), open_plans[int(np.argmin(sums))], sums)


def use_of_years(use: HourlyUse, year_count: int) -> list[np.ndarray]:
    """Hours of use of each year; years that are alike share one array."""
    hours: list[np.ndarray] = []
    for k in range(year_count):
        changes = k == 0 or any(change.first_year == k for change in use.changes)
        hours.append(use.by_year(k) if changes else hours[-1])
    return hours


def ageing(house: House) -> np.ndarray:
    """Output of each year of the horizon as a share of the first one's hours."""
    return np.array([degradation_factor(n, house.array.degradation_percent_per_year) for n in range(1, HORIZON_YEARS + 1)])


def price_factors(house: House, growth_percent: float) -> PriceFactors:
    """growth_percent: of the electricity price; fixed charges and what is sent out follow it unless their own is written."""
    money = house.money
    fixed, export = (growth_percent if own is None else own for own in (money.fixed_growth_percent, money.export_growth_percent))
    return PriceFactors.growing(HORIZON_YEARS, fixed, growth_percent, export)


def at_todays_prices(plans: HousePlans, house: House) -> tuple[BillYears, BillYears]:
    """(Without the sun, with it) for each year of the horizon."""
    prices = PriceFactors.growing(HORIZON_YEARS, 0.0, 0.0, 0.0)
    return plans.today.years_without_sun(HORIZON_YEARS).bills(prices), plans.chosen.years(ageing(house)).bills(prices)


def array_kw(house: House) -> tuple[float, float]:
    """(DC, AC) power of the array [kW]."""
    array = house.array
    if array.inverters is not None:
        return dc_kw(house), sum(inverter.count * inverter.limit_kw for inverter in array.inverters)
    if array.unit_limit_w is not None:
        return dc_kw(house), array.unit_limit_w * module_total(house) / 1000.0
    return dc_kw(house), array.inverter_kw or 0.0


@dataclass(frozen=True)
class _Said:
    """A tariff that is equal to another where both say the same."""
    text: str
    tariff: Tariff = field(compare=False)


@lru_cache(maxsize=64)
def _calendar(said: _Said, time_zone: str | None, utc_offset_h: float, year: int) -> BillCalendar:
    """Kept, since a house asks for the same one some forty times."""
    return bill_calendar(said.tariff, time_zone, utc_offset_h, year)
