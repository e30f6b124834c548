"""A roof to renew within the array's years: what lifting the array then costs against renewing the roof first."""

from __future__ import annotations

from reportgen.bills.plans import HousePlans
from reportgen.describe.models import House
from reportgen.figures import Figure, show
from reportgen.payback.cases import CaseInputs, case_bills, cash_columns, output_by_year, refit_year, standing
from reportgen.payback.choices_result import RoofWork
from reportgen.payback.present_value import present_value
from reportgen.sizing import module_total


def roof_work(house: House, plans: HousePlans, middle: CaseInputs) -> RoofWork | None:
    """Lifting the array for a new roof within the horizon against renewing the roof first; None where it does not fall due.

    The roof itself is paid for either way and is not counted.
    """
    year = refit_year(house)
    if not year:
        return None
    code, discount = house.money.currency, house.money.discount_percent / 100.0
    left_alone = house.replaced("building.roof_years_left", None)
    with_work, without = (cash_columns(one, middle, case_bills(one, plans, middle)) for one in (house, left_alone))
    saved = present_value(without.flows, discount) - present_value(with_work.flows, discount)
    cost = float(without.replacement[year - 1] - with_work.replacement[year - 1])
    whole = output_by_year(left_alone, middle)[year - 1]
    lost = float(whole * (1.0 - standing(house)[year - 1]))
    days = house.building.roof_work_days or 0.0
    modules, each = module_total(house), house.money.refit_per_module
    priced = (f"{show(each, code)} × {modules} modules in today's money, grown by inflation to year {year} = {show(cost, code, 0)}"
              if each else "no price for lifting is written")
    return RoofWork(
        year, Figure("payback.roof_work_cost", f"Lifting and refitting the array in year {year}", cost if each else None, code,
                     formula=priced, sources=("the price of lifting one module, by the house file or as assumed",)),
        Figure("payback.roof_work_lost", f"Output lost in year {year}", lost, "kWh",
               formula=f"{show(float(whole), 'kWh')} × {days:g} / 365 days = {show(lost, 'kWh')}, spread over the year",
               sources=("the days of the roof work, by the house file or as assumed",)),
        Figure("payback.roof_first_saves", "Saved if the roof were renewed before the array, in today's money", saved, code,
               formula=f"worth without that work − worth with it = {show(saved, code, 0)}; the new roof itself costs the same either way and "
                       "is not counted, only its time", sources=("the middle case run with and without the work",)),
        f"The roof is due in year {year}. Renewing it first would save about {show(saved, code)} in today's money, but the roof is then "
        f"paid for {year} year{'' if year == 1 else 's'} earlier.")

