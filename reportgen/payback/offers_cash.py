"""The cash of an offer, year by year, on this report's own output, bills and law: by the same code as the ways to pay."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from reportgen.bills.plans import CountedPlan, HousePlans, ageing
from reportgen.describe.models import House
from reportgen.describe.offers import Offer
from reportgen.payback.cases import CaseBills, CaseInputs, CashColumns, cash_columns, replacement_years, standing
from reportgen.payback.offers_loan import LoanRead, read_loan
from reportgen.payback.terms import Terms, cash_terms, lease_terms, loan_terms, purchase_terms
from reportgen.payback.way_cash import NOT_A_COST, OWNING, WayCash, way_cash
from reportgen.production.result import Production
from reportgen.sizing import dc_kw, module_total


@dataclass(frozen=True, eq=False)
class OfferCash:
    """Cases in the order unfavourable, middle, favourable."""
    house: House                         # with the offer's size and price
    ratio: float                         # the offer's size to the house's own
    columns: tuple[CashColumns, ...]     # bills of an array of this size
    ways: tuple[WayCash, ...]
    terms: Terms                         # of the middle
    loan: LoanRead | None
    under_warranty: tuple[int, ...]      # years whose new inverter the paper's warranty covers, so none is counted

    @property
    def other_costs(self) -> dict[str, tuple[float, tuple[int, ...]]]:
        """By name: what owning costs beside bills and payments in the middle case [currency, nominal], and its years."""
        found = {}
        for name in OWNING:
            by_year = self.ways[1].lines.get(name)
            if by_year is not None and by_year.any():
                found[name] = (-float(by_year.sum()), tuple(int(n) for n in np.flatnonzero(by_year)))
        return found

    def whole_cost(self, rate: float) -> float:
        """Everything paid within the years counted, without the bills and before any credit, in the money of year 0; middle case.

        rate: share a year; 0 gives the sum in each year's own money.
        """
        way = self.ways[1]
        kept = {name: by_year for name, by_year in way.lines.items() if name not in NOT_A_COST}
        return -WayCash(kept, way.payments).worth(rate)

    @property
    def paid(self) -> np.ndarray:
        """To the seller, lender or company by year, year 0 first, to the contract's end; the middle case."""
        at_once = [self.terms.paid_at_once + self.terms.fees]
        return np.concatenate([at_once, self.terms.by_year]) if len(self.terms.payments) else np.array(at_once)


def offer_cash(house: House, production: Production, plans: HousePlans, cases: tuple[CaseInputs, ...], offer: Offer,
               before: CaseBills, connecting_is_priced: bool, lump_is_paid: bool = False) -> OfferCash:
    """cases: the house's own three, of which output, growth and the price to connect are kept. before: bills without the sun.

    An array of another size makes this report's kWh per kW, on the same roof faces. lump_is_paid: the sum that a loan expects
    early is paid in.
    """
    ratio = offer.dc_kw / dc_kw(house)
    sized, loan = _as_offered(house, offer, ratio), read_loan(offer) if offer.loan is not None else None
    covered = _covered_years(sized, offer)
    plan = _sized_plan(plans.chosen, ratio)
    columns, ways, terms = [], [], []
    for case in cases:
        share = case.output_share * ratio
        by_year = share * ageing(house) * standing(house)
        agreed = loan.if_paid_in if loan is not None and lump_is_paid else _terms(offer, loan, production.year.value * by_year)
        mine = replace(case, price=agreed.owned_price or 0.0, output_share=share)
        column = cash_columns(sized, mine, CaseBills(before.before, plan.years(by_year, mine.used_at_once_shift)), covered)
        columns.append(column)
        terms.append(agreed)
        ways.append(way_cash(sized, mine, column, agreed, connecting_is_priced))
    middle = next(i for i, case in enumerate(cases) if case.name == "middle")
    return OfferCash(sized, ratio, tuple(columns), tuple(ways), terms[middle], loan, covered)


def _terms(offer: Offer, loan: LoanRead | None, kwh_by_year: np.ndarray) -> Terms:
    if loan is not None:
        return loan_terms(loan.terms, loan.terms.cash_price)
    if offer.lease is not None:
        return lease_terms(offer.lease)
    return purchase_terms(offer.power_purchase, kwh_by_year) if offer.power_purchase is not None else cash_terms(offer.cash_price)


def _as_offered(house: House, offer: Offer, ratio: float) -> House:
    """The house with the offer's size: upkeep follows by kW, the inverter's price by size, lifting by modules."""
    money = house.money
    changed = house.replaced("array.array_kw", offer.dc_kw)
    if money.inverter_replacement is not None:
        changed = changed.replaced("money.inverter_replacement", money.inverter_replacement * ratio)
    if money.refit_per_module is not None:
        modules = offer.module_count or module_total(house) * ratio
        changed = changed.replaced("money.refit_per_module", money.refit_per_module * modules / module_total(house))
    if offer.certificates_to in ("company", "utility"):   # nobody is paid twice for one certificate
        changed = changed.replaced("money.certificates_kept", True)
        changed = changed.replaced("incentives", [one for one in house.incentives if not one.is_certificates])
    return changed.replaced("money.federal_credit_percent", None)   # what the house file believes is no part of the paper


def _covered_years(house: House, offer: Offer) -> tuple[int, ...]:
    """Years in which a new inverter is due while the paper's warranty on it still runs."""
    lasts = offer.warranties.inverter_years
    return () if lasts is None else tuple(year for year in replacement_years(house) if year < lasts)


def _sized_plan(plan: CountedPlan, ratio: float) -> CountedPlan:
    return plan if ratio == 1.0 else replace(plan, array_kw=tuple(kw * ratio for kw in plan.array_kw))
