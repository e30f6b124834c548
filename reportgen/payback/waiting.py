"""Waiting a year: the same array bought a year later, under that year's law and prices."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import date

import numpy as np

from reportgen.bills.plans import HORIZON_YEARS, HousePlans
from reportgen.bills.years import PriceFactors
from reportgen.describe.models import House
from reportgen.figures import Figure, show
from reportgen.payback.cases import CaseInputs, CashColumns, case_bills, cash_columns
from reportgen.payback.choices_result import Waiting
from reportgen.payback.present_value import present_value

PRICE_CHANGE_PERCENT = (3.0, 0.0, -3.0)   # of a finished system in a year, nominal: dearer, middle, cheaper
PRICE_SOURCE = ("change of the system's price in a year: common practice, no source; medians reported for US homes fell by about "
                "0.1 $/W in real terms in 2022 and in 2023 (Berkeley Lab's yearly series, 2024 edition), which is about nothing in the money of each year")


def waiting(house: House, plans: HousePlans, middle: CaseInputs, later_plans: Callable[[House], HousePlans]) -> Waiting:
    """What waiting gains in today's money, below zero where it loses. Each array is counted for its own 25 years.

    later_plans: use and sun counted for the house as it would be finished a year later.
    """
    code, discount = house.money.currency, house.money.discount_percent / 100.0
    now = cash_columns(house, middle, case_bills(house, plans, middle))
    worth_now = present_value(now.flows, discount)
    later = _a_year_later(house)
    counted = later_plans(later)
    later_bills = case_bills(later, counted, middle)

    def worth_later(change_percent: float) -> tuple[float, CashColumns]:
        inflation = 1.0 + house.money.inflation_percent / 100.0
        case = replace(middle, price=middle.price * (1.0 + change_percent / 100.0))
        columns, prices = cash_columns(later, case, later_bills), _later_prices(house, middle.growth_percent)
        columns = replace(columns, before=later_bills.before.bills(prices).total, after=later_bills.after.bills(prices).total,
                          upkeep=columns.upkeep * inflation, replacement=columns.replacement * inflation, holding=columns.holding * inflation)
        return present_value(columns.flows, discount) / (1.0 + discount), columns
    found = [worth_later(change) for change in PRICE_CHANGE_PERCENT]
    gains = [value - worth_now for value, _ in found]
    lost = float(now.flows[1] - now.incentive[0])
    return Waiting(
        Figure("payback.waiting_gain", "Gained by waiting a year, in today's money", gains[1], code, min(gains), max(gains),
               f"the same array a year later, marked down by that year: {show(found[1][0], code, 0)}; now: {show(worth_now, code, 0)}; "
               f"the difference {show(gains[1], code, 0)}; each array counted for its own {HORIZON_YEARS} years", (PRICE_SOURCE,),
               f"the system's price {PRICE_CHANGE_PERCENT[0]:g} % higher and {-PRICE_CHANGE_PERCENT[2]:g} % lower in a year"),
        Figure("payback.waiting_lost", "What the first year would have left", lost, f"{code}/year",
               formula="saved on the bill less what owning costs, in the first year", sources=("the middle case",)),
        _in_words(house, middle, now, found[1][1], worth_now, lost))


def _in_words(house: House, middle: CaseInputs, now: CashColumns, later: CashColumns, worth_now: float, lost: float) -> tuple[str, ...]:
    code = house.money.currency
    said = [f"Waiting a year gives up about {show(lost, code)} of the first year." if lost > 0 else
            "Waiting a year gives up nothing: in the first year owning costs more than it saves."]
    if worth_now < 0:
        said.append("On these facts the array ends in a loss; what waiting gains is mostly that the loss comes later.")
    given, then = float(now.incentive.sum()), float(later.incentive.sum())
    if house.finish_day is None:
        said.append("Incentives are left out on both sides: the day of finishing is not given.")
    elif abs(given - then) >= 1:
        said.append(f"By the law as it stands, incentives of {show(given, code, 0)} now would be {show(then, code, 0)} for a system finished "
                    "a year later.")
    if middle.connecting:
        said.append("The price to connect is taken to stay as it is.")
    said.append("Rules of the utility that close to new arrays in that year are counted only where the tariff names the day.")
    return tuple(said)


def _a_year_later(house: House) -> House:
    changed = house.replaced("report_day", _next_year(house.report_day))
    if house.finish_day is not None:
        changed = changed.replaced("finish_day", _next_year(house.finish_day))
    left = house.building.roof_years_left
    return changed if left is None else changed.replaced("building.roof_years_left", max(0.0, left - 1.0))


def _next_year(day: date) -> date:
    return day.replace(year=day.year + 1, day=28 if (day.month, day.day) == (2, 29) else day.day)


def _later_prices(house: House, growth_percent: float) -> PriceFactors:
    """Prices of years 2 to the horizon and one more."""
    money = house.money
    return PriceFactors(*((1.0 + percent / 100.0) ** np.arange(1, HORIZON_YEARS + 1) for percent in (
        growth_percent if money.fixed_growth_percent is None else money.fixed_growth_percent, growth_percent,
        growth_percent if money.export_growth_percent is None else money.export_growth_percent)))
