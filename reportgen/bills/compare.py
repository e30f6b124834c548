"""The bill before and after the sun, at today's prices: a settled year, the first year, the plans, and how sure it is."""

from __future__ import annotations

import numpy as np

from reportgen.bills.bill_figures import BillFigures
from reportgen.bills.bill_notes import bill_notes
from reportgen.bills.plans import HORIZON_YEARS, HousePlans, at_todays_prices, count_plans, use_of_years
from reportgen.bills.printed import PrintedBills
from reportgen.bills.result import Bills, PlanBill, UseYear
from reportgen.bills.use import use_hours
from reportgen.climate.typical_year import TypicalYear
from reportgen.describe.models import House
from reportgen.figures import show


def compare_bills(house: House, production_hours_kwh: np.ndarray, year: TypicalYear, readings=None,
                  counted: HousePlans | None = None) -> Bills:
    """One year of bills without and with the sun [kWh by the hour, 8,760 values], through one bill function.

    year: the weather, which heating and cooling follow. readings: as for `use_hours`. counted: what `plans.count_plans`
    gave for this house and sun, where it was counted before.
    """
    sun = np.asarray(production_hours_kwh, dtype=float)
    plans = counted or count_plans(house, use_hours(house, year, readings), sun, year)
    use = plans.use
    hours = use.by_year(0)
    today = PrintedBills(plans.today, hours, sun)
    printed = {id(plan): PrintedBills(plan, hours, sun) for plan in plans.open_plans}
    chosen = printed[id(plans.chosen)]
    before, (first, after, growth) = today.without_sun(), chosen.with_sun()
    by_month = chosen.by_reset_month()
    figures = BillFigures(house, plans, chosen, before, first, after, by_month)
    made = figures.all()
    return Bills(hours, use.shape_name, use.shape_source, not use.is_measured, before, after, first, made[0], made[1], made[2], made,
                 bill_notes(house.money.currency, plans, after, growth, by_month), _plan_bills(house, plans, printed),
                 _changing_use(house, plans), plans)


def _plan_bills(house: House, plans: HousePlans, printed: dict[int, PrintedBills]) -> tuple[PlanBill, ...]:
    found = []
    least = min(plans.sums)
    for plan, total in zip(plans.open_plans, plans.sums, strict=True):
        first, settled, _ = printed[id(plan)].with_sun()
        chosen, alone = plan is plans.chosen, len(plans.open_plans) == 1
        if alone:
            why = "It is the only plan open to an array."
        elif chosen:
            why = f"Its {HORIZON_YEARS} years of bills with the sun are the least: {show(total, house.money.currency)}."
        else:
            why = (f"Its {HORIZON_YEARS} years of bills with the sun come to {show(total, house.money.currency)}, "
                   f"{show(total - least, house.money.currency)} more.")
        found.append(PlanBill(plan.name, first, settled, None if alone else total, plan is plans.today, chosen, why))
    return tuple(found)


def _changing_use(house: House, plans: HousePlans) -> tuple[UseYear, ...]:
    if not plans.use.changes:
        return ()
    before, after = at_todays_prices(plans, house)
    uses = use_of_years(plans.use, HORIZON_YEARS)
    return tuple(UseYear(k + 1, float(uses[k].sum()), float(before.total[k]), float(after.total[k])) for k in range(HORIZON_YEARS))
