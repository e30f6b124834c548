"""Ways to pay side by side: the same array, production and bills, each paid for in its own way."""

from __future__ import annotations

from reportgen.describe.models import House
from reportgen.interconnection.result import Way
from reportgen.payback.bulk import bulk_price, bulk_sum
from reportgen.payback.cases import CaseInputs, CashColumns, output_by_year
from reportgen.payback.own_work import own_work_price, own_work_sum
from reportgen.payback.terms import (
    Terms,
    bought_at_end,
    cash_terms,
    lease_terms,
    line_terms,
    loan_terms,
    purchase_terms,
)
from reportgen.payback.way_cash import WayCash, way_cash
from reportgen.payback.way_figures import Found, WayFigures
from reportgen.payback.way_words import cautions, instalments, notes, otherwise
from reportgen.payback.ways_result import COMPANY, HOUSEHOLD, PayLine, WayToPay
from reportgen.production.result import Production
from reportgen.sizing import dc_kw


def ways_to_pay(house: House, columns: tuple[CashColumns, ...], inputs: tuple[CaseInputs, ...], production: Production,
                connecting: Way | None, range_is: str = "", sources: tuple[str, ...] = ()) -> tuple[WayToPay, ...]:
    """Cash first, then as the house file names them.

    columns, inputs: of the three cases, unfavourable first. range_is, sources: of those cases, as the cash has them.
    """
    return _Ways(house, columns, inputs, production, connecting, range_is, sources).all()


class _Ways:
    def __init__(self, house, columns, inputs, production, connecting, range_is, sources):
        self.house, self.columns, self.inputs, self.production = house, columns, inputs, production
        self.is_priced = connecting is not None and connecting.price is not None
        self.range_is, self.sources = range_is, sources

    def all(self) -> tuple[WayToPay, ...]:
        paying, code, power = self.house.paying, self.house.money.currency, dc_kw(self.house)
        made = [self._owned("cash", "cash", "cash", None, lambda case: cash_terms(case.price))]
        if paying.own_work is not None:
            price = own_work_price(paying.own_work)
            made.append(self._owned("own_work", paying.own_work.name, "own work", paying.own_work, lambda case: cash_terms(price),
                                    own_work_sum(paying.own_work, code)))
        if paying.bulk is not None:
            price = bulk_price(paying.bulk, power)
            made.append(self._owned("bulk", paying.bulk.name, "bulk", paying.bulk, lambda case: cash_terms(price),
                                    bulk_sum(paying.bulk, power, code)))
        for i, loan in enumerate(paying.loans, start=1):
            made.append(self._owned(f"loan_{i}", loan.name, "loan", loan, lambda case, it=loan: loan_terms(it, case.price)))
        if paying.home_equity is not None:
            line = paying.home_equity
            made.append(self._owned("home_equity", line.name, "home equity", line, lambda case: line_terms(line, case.price)))
        for i, lease in enumerate(paying.leases, start=1):
            made.append(self._company(f"lease_{i}", "lease", lease, lambda case, it=lease: lease_terms(it)))
        for i, purchase in enumerate(paying.power_purchases, start=1):
            made.append(self._company(f"power_purchase_{i}", "power purchase", purchase,
                                      lambda case, it=purchase: purchase_terms(it, output_by_year(self.house, case))))
        return tuple(made)

    def _cash(self, terms: tuple[Terms, ...]) -> tuple[WayCash, ...]:
        return tuple(way_cash(self.house, case, column, t, self.is_priced)
                     for case, column, t in zip(self.inputs, self.columns, terms, strict=True))

    def _owned(self, key, name, kind, contract, terms_of, price_sum="") -> WayToPay:
        terms = tuple(terms_of(case) for case in self.inputs)
        return self._way(Found(key, name, kind, terms, self._cash(terms), contract, price_sum))

    def _company(self, key, kind, contract, terms_of) -> WayToPay:
        """Bought at the contract's end or given back, whichever is worth more in the middle case."""
        given_back = tuple(terms_of(case) for case in self.inputs)
        chosen = back = Found(key, contract.name, kind, given_back, self._cash(given_back), contract)
        if bought_at_end(given_back[1], contract) is None:
            return self._way(chosen)
        bought_terms = tuple(bought_at_end(t, contract) for t in given_back)
        bought = Found(key, contract.name, kind, bought_terms, self._cash(bought_terms), contract)
        discount = self.house.money.discount_percent / 100.0
        worth_back, worth_bought = (found.cash[1].worth(discount) for found in (back, bought))
        return self._way(bought if worth_bought > worth_back else back, worth_back, worth_bought)

    def _way(self, found: Found, worth_back: float | None = None, worth_bought: float | None = None) -> WayToPay:
        figure = WayFigures(self.house, found, self.range_is, self.sources)
        first, last, dearer = figure.year_paid(last=False), figure.year_paid(last=True), figure.dearer_from()
        rate, rate_why = figure.internal_rate()
        owner = HOUSEHOLD if found.is_own else COMPANY
        middle = found.cash[1]
        return WayToPay(
            key=found.key, name=found.name, kind=found.kind, owner=owner, certificates_to=owner, credits_to=owner,
            up_front=figure.up_front(), first_year_paid=first, last_year_paid=last, total_paid=figure.total(),
            instalments=instalments(found.terms[1].payments), principal=figure.principal(), hidden_fee=figure.hidden_fee(),
            named_fee_percent=getattr(found.contract, "fee_percent", None),
            true_rate=figure.true_rate(),
            lines=tuple(PayLine(name, tuple(by_year.tolist())) for name, by_year in middle.lines.items()),
            net_by_year=tuple(tuple(cash.net.tolist()) for cash in found.cash),
            net_present_value=figure.net_present_value(), internal_rate=rate, rate_why=rate_why,
            simple_payback=figure.payback(discounted=False), discounted_payback=figure.payback(discounted=True),
            over_deposit=figure.over_deposit(), owed_at_sale=figure.owed_at_sale(),
            hours_of_own_work=found.contract.hours if found.kind == "own work" else None,
            cautions=cautions(self.house, found, first, last, dearer),
            notes=notes(self.house, found, worth_back, worth_bought), if_sold=figure.if_sold(), dearer_from=dearer,
            instalments_otherwise=otherwise(found))
