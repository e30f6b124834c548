"""An instalment loan: every payment to the cent, what is hidden in the principal, and what it truly costs a year.

Level payment: P·i / (1 − (1 + i)^−n). True rate: the rate at which what is advanced equals all payments, by the month and
times twelve (actuarial method, 12 CFR 1026 Appendix J). Rates are percentages a year here, as lenders write them.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
import numpy_financial as npf

from reportgen.describe.paying import Loan


@dataclass(frozen=True, eq=False)
class Schedule:
    payments: np.ndarray          # month 1 first [currency, whole cents]
    balances: np.ndarray          # owed after each month's payment


def in_cents(value: float) -> float:
    """Half up to the cent, as a lender rounds."""
    return math.floor(value * 100.0 + 0.5 + 1e-7) / 100.0


def level_payment(principal: float, rate_percent: float, months: int) -> float:
    """Equal payment at each month's end, not rounded."""
    return -float(npf.pmt(rate_percent / 1200.0, months, principal))


def repay(principal: float, rate_percent: float, months: int) -> Schedule:
    """Level payments in whole cents; the last one takes what the cents have left."""
    return _run(principal, rate_percent, [(in_cents(level_payment(principal, rate_percent, months)), months)])


def first_payment(principal: float, rate_percent: float, months: int, lump_sum: float, month: int) -> float:
    """The payment that stays level throughout if `lump_sum` is paid in with the payment of `month`."""
    worth_now = lump_sum * (1.0 + rate_percent / 1200.0) ** -month
    return level_payment(max(principal - worth_now, 0.0), rate_percent, months)


def repay_anew(principal: float, rate_percent: float, months: int, month: int, payment: float, paid_in: float) -> Schedule:
    """`payment` until `month`; then `paid_in` comes off what is owed and the rest is spread anew over the months left."""
    start = _run(principal, rate_percent, [(in_cents(payment), month)], ends=False)
    owed = max(float(start.balances[-1]) - paid_in, 0.0)
    rest = repay(owed, rate_percent, months - month)
    return Schedule(np.concatenate([start.payments, rest.payments]),
                    np.concatenate([start.balances[:-1], [owed], rest.balances]))


def interest_only(principal: float, rate_percent: float, months: int) -> Schedule:
    """The interest alone each month; all is still owed after."""
    return Schedule(np.full(months, in_cents(principal * rate_percent / 1200.0)), np.full(months, principal))


def _run(principal: float, rate_percent: float, stages: list[tuple[float, int]], ends: bool = True) -> Schedule:
    """Stages of (payment, months). Interest is added by the month and rounded to the cent."""
    payments, balances, owed = [], [], in_cents(principal)
    due = [payment for payment, months in stages for _ in range(months)]
    for m, payment in enumerate(due, start=1):
        owed += in_cents(owed * rate_percent / 1200.0)
        paid = owed if ends and m == len(due) else min(payment, owed)
        owed = in_cents(owed - paid)
        payments.append(in_cents(paid))
        balances.append(owed)
    return Schedule(np.array(payments), np.array(balances))


def true_rate_percent(advanced: float, payments: np.ndarray) -> float | None:
    """Yearly rate at which the payments equal `advanced`, by halving the interval; None where nothing is advanced or no rate
    from −60 % to 1,200 % does it."""
    months = np.arange(1, len(payments) + 1)

    def over(rate):
        return float(np.dot(payments, (1.0 + rate) ** -months)) - advanced
    low, high = -0.05, 1.0
    if advanced <= 0 or not over(low) > 0 > over(high):
        return None
    while high - low > 1e-12:
        half = (low + high) / 2
        low, high = (half, high) if over(half) > 0 else (low, half)
    return 1200.0 * (low + high) / 2


def with_fee(financed: float, fee_percent: float, is_share_of: str) -> float:
    """The principal that a fee makes of what is financed. 30 % of the cash price: × 1.3. 25 % of the loan: / 0.75."""
    share = fee_percent / 100.0
    return financed * (1.0 + share) if is_share_of == "cash price" else financed / (1.0 - share)


def principal_of(loan: Loan, cash_price: float, is_share_of: str | None = None) -> float:
    """Amount financed. Where nobody said what the fee counts from, the dearer reading (a share of the loan) is taken."""
    if loan.principal is not None:
        return loan.principal
    financed = max(cash_price - loan.down_payment, 0.0)
    return in_cents(with_fee(financed, loan.fee_percent or 0.0, is_share_of or loan.fee_is_share_of or "loan"))


def schedule_of(loan: Loan, principal: float, paid_in: float = 0.0) -> Schedule:
    """paid_in: what is paid in by the loan's lump-sum month; nothing in the case that the report counts."""
    if not loan.expected_lump_sum:
        return repay(principal, loan.rate_percent, loan.months)
    payment = loan.first_payment
    if payment is None:
        payment = first_payment(principal, loan.rate_percent, loan.months, loan.expected_lump_sum, loan.lump_sum_month)
    return repay_anew(principal, loan.rate_percent, loan.months, loan.lump_sum_month, payment, paid_in)
