"""The Figures of one way to pay, each with its sum and its range over the three cases of the cash."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from reportgen.bills.plans import HORIZON_YEARS
from reportgen.describe.models import House
from reportgen.figures import Figure, show
from reportgen.payback.lease import buy_out_price, dearer_from_year
from reportgen.payback.present_value import internal_rate, internal_rate_count, paid_back_in, sign_changes
from reportgen.payback.terms import Terms
from reportgen.payback.way_cash import PAYMENTS, WayCash

PAPER = "the terms as written in the house file"
ACTUARIAL = "12 CFR 1026 Appendix J, actuarial method: the month's rate times twelve"


@dataclass(frozen=True, eq=False)
class Found:
    """One way in its three cases: unfavourable, middle, favourable."""
    key: str
    name: str
    kind: str
    terms: tuple[Terms, Terms, Terms]
    cash: tuple[WayCash, WayCash, WayCash]
    contract: object = None       # as the house file has it; None for cash
    price_sum: str = ""           # how the price was made

    @property
    def is_own(self) -> bool:
        return self.terms[1].owned_price is not None


def deposit_rate(house: House) -> float:
    """Interest after tax, a share a year."""
    return house.money.deposit_percent / 100.0 * (1.0 - house.money.deposit_tax_percent / 100.0)


class WayFigures:
    """Makes the Figures of `found`. range_is and sources: of the three cases, as the cash has them."""

    def __init__(self, house: House, found: Found, range_is: str, sources: tuple[str, ...]):
        self.house, self.found, self.range_is, self.sources = house, found, range_is, sources
        self.code = house.money.currency
        self.discount, self.deposit = house.money.discount_percent / 100.0, deposit_rate(house)

    def _figure(self, key, label, values, unit, formula, sources=None, always=False) -> Figure:
        """values: of the three cases; None is beyond the horizon, or not known. Without `always` a range is given only where the
        cases differ. What costs more by the kWh costs most in the favourable case: the ends are put in order."""
        middle = None if values[1] is None else float(values[1])
        low, *_, high = sorted((None if v is None else float(v) for v in values), key=lambda v: math.inf if v is None else v)
        moves = always or low is None or high is None or high - low > 0.005
        if not moves or low is None:
            low = high = None
        return Figure(f"payback.way_{self.found.key}_{key}", f"{label}: {self.found.name}", middle, unit, low, high, formula,
                      sources or (PAPER, *self.sources), self.range_is if moves else "")

    def _money(self, value: float, places: int = 0) -> str:
        return show(value, self.code, places)

    # What is paid

    def up_front(self) -> Figure:
        parts = [(name, -cash[0]) for name, cash in self.found.cash[1].lines.items() if cash[0] and name != PAYMENTS]
        said = " + ".join(f"{name.lower()} {self._money(v)}" for name, v in parts) or "nothing"
        if self.found.price_sum:
            said += f" ({self.found.price_sum})"
        return self._figure("up_front", "Paid at the start", [0.0 - cash.net[0] for cash in self.found.cash], self.code, said)

    def year_paid(self, last: bool) -> Figure:
        years = [t.by_year for t in self.found.terms]
        number = len(years[1]) if last else 1
        label = f"Payments of year {number} (the last)" if last and number > 1 else "Payments of year 1"
        months = self.found.terms[1].payments[12 * (number - 1):12 * number]
        said = "nothing is due after the start" if not len(months) else f"{len(months)} monthly payments"
        if len(months):
            same = np.ptp(months) < 0.005
            said += f" of {self._money(months[0], 2)}" if same else (
                f" from {self._money(months[0], 2)} to {self._money(months[-1], 2)}")
            said += f" = {self._money(months.sum(), 2)}"
        return self._figure("last_year" if last else "first_year", label, [y[-1 if last else 0] for y in years],
                            f"{self.code}/year", said)

    def total(self) -> Figure:
        start, t = [-cash.net[0] for cash in self.found.cash], self.found.terms[1]
        values = [t_.total + s - t_.paid_at_once - t_.fees for t_, s in zip(self.found.terms, start, strict=True)]
        said = f"{self._money(start[1])} at the start + {len(t.payments)} payments of together {self._money(t.payments.sum(), 2)}"
        if t.bought_for is not None:
            said += f" + {self._money(t.bought_for)} to buy the array at the end"
        return self._figure("total", "Paid in all", values, self.code, f"{said} = {self._money(values[1], 2)}")

    def principal(self) -> Figure | None:
        t = self.found.terms
        if t[1].principal is None:
            return None
        return self._figure("principal", "Amount financed", [x.principal for x in t], self.code,
                            f"cash price {self._money(t[1].owned_price)} − paid at once {self._money(t[1].paid_at_once)}"
                            + (f" + added to it {self._money(t[1].hidden_fee)}" if t[1].hidden_fee else "")
                            + f" = {self._money(t[1].principal)}")

    def hidden_fee(self) -> Figure | None:
        t = self.found.terms
        if t[1].hidden_fee is None:
            return None
        return self._figure("hidden_fee", "Added to the cash price", [x.hidden_fee for x in t], self.code,
                            f"financed {self._money(t[1].principal)} + paid at once {self._money(t[1].paid_at_once)} − cash price "
                            f"{self._money(t[1].owned_price)} = {self._money(t[1].hidden_fee)}")

    def true_rate(self) -> Figure | None:
        t = self.found.terms
        if t[1].principal is None:
            return None
        stated, rate = self.found.contract.rate_percent, t[1].true_rate
        advanced = t[1].owned_price - t[1].paid_at_once - t[1].fees
        said = "no rate makes the payments equal what is advanced" if rate is None else (
            f"the rate at which {len(t[1].payments)} payments are worth {self._money(advanced)}: {rate:.2f} % a year; "
            f"the paper says {stated:g} %")
        return self._figure("true_rate", "True interest on the cash price", [x.true_rate for x in t], "%", said, (PAPER, ACTUARIAL))

    # What comes of it

    def net_present_value(self) -> Figure:
        values = [cash.worth(self.discount) for cash in self.found.cash]
        first = self._money(self.found.cash[1].net[0])
        return self._figure("npv", f"Worth in today's money over {HORIZON_YEARS} years", values, self.code,
                            f"{first} + sum over years n = 1 to {HORIZON_YEARS} of net cash / (1 + {100 * self.discount:g} %)^n"
                            f"{', payments by the month' if self.found.terms[1].payments.any() else ''} = {self._money(values[1])}",
                            always=True)

    def over_deposit(self) -> Figure:
        values = [cash.worth(self.deposit) for cash in self.found.cash]
        return self._figure("over_deposit", "Against the same money in a low-risk deposit", values, self.code,
                            f"the same sum at the deposit's {100 * self.deposit:.3g} % after tax = {self._money(values[1])}; below "
                            "zero the deposit is ahead", always=True)

    def internal_rate(self) -> tuple[Figure, str]:
        """The Figure [%], and why there is no single rate in the middle case; "" where there is one."""
        rates = [None if why_no_rate(cash.net) else internal_rate(cash.net) for cash in self.found.cash]
        why = why_no_rate(self.found.cash[1].net)
        if not why and rates[1] is None:
            why = "None: no rate could be worked out."
        said = why or (f"the rate r at which {self._money(self.found.cash[1].net[0])} + sum of net cash / (1 + r)^n = 0, each year's "
                       "cash at its end")
        figure = self._figure("internal_rate", "What the money paid in earns a year", [None if r is None else 100.0 * r for r in rates],
                              "%", said, always=rates[1] is not None)
        return figure, why

    def payback(self, discounted: bool) -> Figure:
        by_case = [cash.discounted(self.discount) if discounted else cash.net for cash in self.found.cash]
        years = [paid_back_in(np.cumsum(flows)) for flows in by_case][::-1]
        what = "the sum of net cash" + (" in today's money" if discounted else "")
        said = f"first year from which {what} is never negative again (after {HORIZON_YEARS} years: " \
               f"{self._money(float(by_case[1].sum()))})"
        if years[1] == 0:
            said += "; here it is never negative"
        label = "Paid back in, later money marked down" if discounted else "Paid back in"
        return self._figure("discounted_payback" if discounted else "simple_payback", label, years, "years", said, always=True)

    # On a sale, and against the utility

    def owed_at_sale(self) -> Figure | None:
        year = self.house.paying.sale_year
        if year is None:
            return None
        values, said = zip(*(self._owed(t, year) for t in self.found.terms), strict=True)
        return self._figure("owed_at_sale", f"Owed if the house is sold at the end of year {year}", values, self.code, said[1])

    def _owed(self, terms: Terms, year: int) -> tuple[float, str]:
        if terms.contract_years is None:
            owed = terms.owed_after(12 * year)
            return owed, f"what is left of the debt after {12 * year} months" if owed else "no debt is left"
        if year >= terms.contract_years:
            return 0.0, "the contract is over by then"
        rest = terms.still_to_pay(12 * year)
        price = buy_out_price(self.found.contract, year)
        if price is not None:
            return price, (f"the paper's price to buy the array then; the payments still to come make {self._money(rest)}; nothing "
                           "where the buyer takes the contract over")
        return rest, ("the payments still to come, since the paper names no price to buy the array then; nothing where the buyer "
                      "takes the contract over")

    def if_sold(self) -> Figure | None:
        year, gain = self.house.paying.sale_year, self.house.paying.home_value_gain
        if year is None:
            return None
        worth = [float(cash.discounted(self.discount)[:year + 1].sum()) for cash in self.found.cash]
        owed = [self._owed(terms, year)[0] for terms in self.found.terms]
        factor = (1.0 + self.discount) ** -year
        values = [w + (gain - o) * factor for w, o in zip(worth, owed, strict=True)]
        said = (f"cash until then {self._money(worth[1])} + ({self._money(gain)} added to the house's price − {self._money(owed[1])} "
                f"owed) / (1 + {100 * self.discount:g} %)^{year} = {self._money(values[1])}")
        if not self.found.is_own and owed[1]:
            said += f"; {self._money(worth[1] + gain * factor)} where the buyer takes the contract over"
        return self._figure("if_sold", f"Worth in today's money if the house is sold at the end of year {year}", values, self.code,
                            said, always=True)

    def dearer_from(self) -> Figure | None:
        if self.found.is_own:
            return None
        years = [self._dearer(t, c) for t, c in zip(self.found.terms, self.found.cash, strict=True)]
        said = ("first year from which the year's payments are more than the bill falls by, to stay so" if years[1] is not None else
                "in no year to stay so are the payments more than the bill falls by")
        return self._figure("dearer_from", "Dearer than the utility from", years, "year", said, always=True)

    @staticmethod
    def _dearer(terms: Terms, cash: WayCash) -> int | None:
        saved = (cash.lines["Bill without the array"] + cash.lines["Bill with it"])[1:]
        count = min(len(saved), len(terms.by_year))
        return dearer_from_year(terms.by_year[:count], saved[:count])


def why_no_rate(net: np.ndarray) -> str:
    """Why the cash has no single rate of return; "" where it has one."""
    moving = net[np.abs(net) > 1e-9]
    if len(moving) and moving.min() > 0:
        return "None: the cash is never below zero, so there is nothing paid in for a rate to be earned on."
    if sign_changes(net) == 0:
        return "None: the cash never turns from paying to receiving, so no rate makes it zero."
    count = internal_rate_count(net)
    if count > 1:
        return f"None that says anything: the cash turns from plus to minus or back {sign_changes(net)} times, so {count} different rates fit it."
    if count == 0:
        return f"None: the cash turns from plus to minus or back {sign_changes(net)} times, and no rate makes it zero."
    if moving[0] > 0:
        return "None: the household is ahead first and pays later, so there is nothing paid in for a rate to be earned on."
    return ""
