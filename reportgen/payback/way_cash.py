"""The cash by year of one way to pay, in one case: the bills of that case, what owning costs, and the contract's payments.

Lines lie by year, year 0 first. Monthly payments are marked down by the month, all else at its year's end.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from reportgen.bills.plans import HORIZON_YEARS
from reportgen.describe.models import House
from reportgen.payback.cases import CaseInputs, CashColumns, at_price, incentive_by_year, refit_year
from reportgen.payback.holding import INSURANCE, PROPERTY_TAX, TAKING_DOWN, holding_costs
from reportgen.payback.present_value import present_value_factor
from reportgen.payback.terms import HORIZON_MONTHS, Terms
from reportgen.sizing import module_total

PAYMENTS = "Payments"
BILL_BEFORE, BILL_AFTER, INCENTIVE = "Bill without the array", "Bill with it", "Tax credit and other incentives"
NOT_A_COST = (BILL_BEFORE, BILL_AFTER, INCENTIVE)
UPKEEP, NEW_INVERTER, LIFTING, CONNECTING = "Upkeep", "New inverter", "Lifting it for a new roof", "The way to connect"
_HOLDING_NAMES = {INSURANCE: "Insurance", PROPERTY_TAX: "Property tax", TAKING_DOWN: "Taking the array down"}
# What owning costs beside bills and payments: name of its line, and its word in `describe.paying.CompanyPays`.
OWNING = {UPKEEP: "upkeep", NEW_INVERTER: "new inverter", LIFTING: "lifting for a new roof",
          **{name: item for item, name in _HOLDING_NAMES.items()}, CONNECTING: "way to connect"}


@dataclass(frozen=True, eq=False)
class WayCash:
    lines: dict[str, np.ndarray]   # by name; 26 each [currency]
    payments: np.ndarray           # within the horizon, 300 months, ≥ 0

    @property
    def net(self) -> np.ndarray:
        return sum(self.lines.values(), np.zeros(HORIZON_YEARS + 1))

    def discounted(self, rate: float) -> np.ndarray:
        """Each year's net cash in today's money. rate: share a year."""
        other = self.net - self.lines.get(PAYMENTS, 0.0)
        months = self.payments * (1.0 + rate) ** (-np.arange(1, HORIZON_MONTHS + 1) / 12.0)
        found = other * present_value_factor(rate, np.arange(HORIZON_YEARS + 1))
        found[1:] -= months.reshape(HORIZON_YEARS, 12).sum(axis=1)
        return found

    def worth(self, rate: float) -> float:
        return float(self.discounted(rate).sum())


def way_cash(house: House, inputs: CaseInputs, columns: CashColumns, terms: Terms, connecting_is_priced: bool) -> WayCash:
    """connecting_is_priced: the way to connect has a price, be it zero; otherwise no line is made for it."""
    lines: dict[str, np.ndarray] = {}
    year = np.arange(1, HORIZON_YEARS + 1)
    stays = terms.contract_years is None or terms.bought_for is not None
    there = np.ones(HORIZON_YEARS, bool) if stays else year <= terms.contract_years
    is_own = np.full(HORIZON_YEARS, terms.owned_price is not None)
    if terms.bought_for is not None:
        is_own = year > terms.contract_years

    def line(name, by_year, at_start=0.0):
        lines[name] = np.concatenate([[at_start], by_year])

    def cost(name, by_year):
        years = there & (is_own | (OWNING[name] not in terms.company_pays))
        if years.any():
            line(name, np.where(years, by_year, 0.0))

    line(BILL_BEFORE, columns.before)
    line(BILL_AFTER, -np.where(there, columns.after, columns.before))
    refit = _refit(house, columns)
    if house.money.upkeep_per_kw_year is not None:
        cost(UPKEEP, columns.upkeep)
    if house.money.inverter_replacement is not None and house.money.inverter_years is not None:
        cost(NEW_INVERTER, columns.replacement - refit)
    if refit.any():
        cost(LIFTING, refit)
    for key, by_year in holding_costs(house).items():
        cost(_HOLDING_NAMES[key], by_year)
    incentive = (incentive_by_year(house, inputs, "company", tuple(terms.by_year.tolist())) if terms.owned_price is None else
                 at_price(house, replace(inputs, price=terms.owned_price), columns).incentive)
    if incentive.any() or (terms.owned_price is not None and house.place.in_us):
        line(INCENTIVE, incentive)
    if terms.paid_at_once:
        line("Paid at the start", np.zeros(HORIZON_YEARS), -terms.paid_at_once)
    if terms.fees:
        line("Fees at the start", np.zeros(HORIZON_YEARS), -terms.fees)
    if connecting_is_priced and OWNING[CONNECTING] not in terms.company_pays:
        line(CONNECTING, np.zeros(HORIZON_YEARS), -inputs.connecting)
    payments = np.zeros(HORIZON_MONTHS)
    within = terms.payments[:HORIZON_MONTHS]
    payments[:len(within)] = within
    if len(within):
        line(PAYMENTS, -payments.reshape(HORIZON_YEARS, 12).sum(axis=1))
    if terms.bought_for is not None:
        line("Buying the array", np.where(year == terms.contract_years, -terms.bought_for, 0.0))
    if terms.balances is not None and len(terms.balances) > HORIZON_MONTHS:
        line("Still owed after the years counted", np.where(year == HORIZON_YEARS, -terms.owed_after(HORIZON_MONTHS), 0.0))
    return WayCash(lines, payments)


def _refit(house: House, columns: CashColumns) -> np.ndarray:
    """The part of `columns.replacement` that lifts the array for a new roof, ≤ 0."""
    found, at = np.zeros(HORIZON_YEARS), refit_year(house)
    if at:
        grown = (1.0 + house.money.inflation_percent / 100.0) ** (at - 1)
        found[at - 1] = -(house.money.refit_per_module or 0.0) * module_total(house) * grown
    return found
