"""Each way to pay as terms: what is paid at once, every monthly payment, who owns the array, what is still owed when."""

from __future__ import annotations

from dataclasses import dataclass, field, replace

import numpy as np

from reportgen.bills.plans import HORIZON_YEARS
from reportgen.describe.paying import HomeEquity, Lease, Loan, PowerPurchase
from reportgen.payback.home_equity import POINTS_SHOWN, line_schedule
from reportgen.payback.lease import buy_out_price, lease_payments, purchase_payments
from reportgen.payback.loan import Schedule, principal_of, schedule_of, true_rate_percent

HORIZON_MONTHS = 12 * HORIZON_YEARS
NO_PAYMENTS = np.zeros(0)


@dataclass(frozen=True, eq=False)
class Terms:
    """What one way asks of the household in one case of the cash [currency]."""
    paid_at_once: float                       # for the system, without the way to connect
    owned_price: float | None                 # price of the system on which incentives count; None: a company owns it
    payments: np.ndarray = field(default_factory=lambda: NO_PAYMENTS)        # every month of the contract, month 1 first
    fees: float = 0.0                         # paid at once beside it
    balances: np.ndarray | None = None        # owed after each month, for a debt
    principal: float | None = None
    hidden_fee: float | None = None
    true_rate: float | None = None            # percent a year, on the cash price
    otherwise: tuple[tuple[str, Schedule], ...] = ()   # other payments that the paper or the rate may bring
    company_pays: frozenset[str] = frozenset()
    contract_years: int | None = None         # of a company's array
    bought_for: float | None = None           # at the contract's end; None: the array goes

    @property
    def total(self) -> float:
        return self.paid_at_once + self.fees + float(self.payments.sum()) + (self.bought_for or 0.0)

    @property
    def by_year(self) -> np.ndarray:
        """Payments by year of the contract, year 1 first; a begun year holds the months it has."""
        return np.add.reduceat(self.payments, np.arange(0, len(self.payments), 12)) if len(self.payments) else np.zeros(1)

    def owed_after(self, months: int) -> float:
        """What a debt still has to pay back after so many months."""
        if self.balances is None or months >= len(self.balances):
            return 0.0
        return float(self.balances[months - 1])

    def still_to_pay(self, months: int) -> float:
        """The contract's payments after so many months, as they stand."""
        return float(self.payments[months:].sum())


def cash_terms(price: float, fees: float = 0.0) -> Terms:
    return Terms(price, price + fees, fees=fees)


def loan_terms(loan: Loan, case_price: float) -> Terms:
    """The expected lump sum is never paid in; the payments if it is stand under `otherwise`."""
    cash = case_price if loan.cash_price is None else loan.cash_price
    principal = principal_of(loan, cash)
    schedule = schedule_of(loan, principal)
    otherwise = []
    if loan.expected_lump_sum:
        otherwise.append((f"if the expected sum is paid in by month {loan.lump_sum_month}",
                          schedule_of(loan, principal, loan.expected_lump_sum)))
    if loan.fee_percent and loan.fee_is_share_of is None:
        milder = principal_of(loan, cash, "cash price")
        otherwise.append((f"if the fee of {loan.fee_percent:g} % counts from the cash price", schedule_of(loan, milder)))
    paid = min(loan.down_payment, cash) if loan.principal is None else loan.down_payment
    return Terms(paid, cash, schedule.payments, balances=schedule.balances, principal=principal,
                 hidden_fee=principal + paid - cash, true_rate=true_rate_percent(cash - paid, schedule.payments),
                 otherwise=tuple(otherwise))


def line_terms(line: HomeEquity, case_price: float) -> Terms:
    cash = case_price if line.cash_price is None else line.cash_price
    schedule = line_schedule(line, cash)
    higher = (f"if interest stands {POINTS_SHOWN:g} points higher throughout", line_schedule(line, cash, POINTS_SHOWN))
    return Terms(0.0, cash, schedule.payments, line.closing_cost, schedule.balances, principal=cash,
                 true_rate=true_rate_percent(cash - line.closing_cost, schedule.payments), otherwise=(higher,))


def lease_terms(lease: Lease) -> Terms:
    return Terms(lease.up_front, None, lease_payments(lease), company_pays=frozenset(lease.company_pays),
                 contract_years=lease.years)


def purchase_terms(purchase: PowerPurchase, output_kwh: np.ndarray) -> Terms:
    """output_kwh: of the case, years 1 to the horizon."""
    return Terms(purchase.up_front, None, purchase_payments(purchase, output_kwh), company_pays=frozenset(purchase.company_pays),
                 contract_years=purchase.years)


def bought_at_end(terms: Terms, contract: Lease | PowerPurchase) -> Terms | None:
    """The same with the array bought when the contract ends; None where the paper names no price or the years counted are over."""
    price = buy_out_price(contract, contract.years)
    return None if price is None or contract.years >= HORIZON_YEARS else replace(terms, bought_for=price)
