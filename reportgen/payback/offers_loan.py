"""The loan of an offer: what is financed, and what it adds to the cash price. Its payments: `payback.loan`, `payback.terms`.

Practices: CFPB issue spotlight, 2024-08-07 (markups of 10 to 30 % and more of the cash price in the principal and outside the
stated rate; payments worked out anew where an expected credit is not paid in).
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cached_property

from reportgen.describe.offers import Offer
from reportgen.describe.paying import Loan
from reportgen.payback.loan import principal_of, schedule_of
from reportgen.payback.terms import Terms, loan_terms

SOURCE = "CFPB issue spotlight, 2024-08-07: markups of 10 to 30 % and more sit in the principal, outside the stated rate"


@dataclass(frozen=True, eq=False)
class LoanRead:
    """An offer's loan as the paper has it; the expected lump sum never paid in."""
    terms: Loan                   # with the paper's price and amount financed put in
    cash_price: float | None      # with extras; None where the paper names none

    @property
    def principal(self) -> float:
        return self.terms.principal

    @cached_property
    def agreed(self) -> Terms:
        return loan_terms(self.terms, self.terms.cash_price)

    @property
    def payment(self) -> float:
        """In month 1."""
        return float(self.agreed.payments[0])

    @property
    def later_from(self) -> int | None:
        """First month of the payment worked out anew; None where no lump sum is expected."""
        return None if self.terms.lump_sum_month is None else self.terms.lump_sum_month + 1

    @property
    def later(self) -> float | None:
        return None if self.later_from is None else float(self.agreed.payments[self.later_from - 1])

    @property
    def if_paid_in(self) -> Terms | None:
        """The terms with the expected lump sum paid in by its month; None where none is expected."""
        if self.later_from is None:
            return None
        schedule = schedule_of(self.terms, self.principal, self.terms.expected_lump_sum)
        payments = schedule.payments.copy()
        payments[self.later_from - 2] += self.terms.expected_lump_sum
        return replace(self.agreed, payments=payments, balances=schedule.balances)

    @property
    def markup(self) -> float | None:
        return None if self.cash_price is None else self.agreed.hidden_fee

    @property
    def true_rate(self) -> float | None:
        """Yearly rate in % on the cash price; None without one."""
        return None if self.cash_price is None else self.agreed.true_rate


def read_loan(offer: Offer) -> LoanRead:
    """A fee whose base the paper does not name is taken as a share of the loan, the dearer of the two."""
    loan, cash = offer.loan, offer.cash_price
    principal = loan.principal
    if principal is None and offer.price_financed is not None:
        principal = max(offer.price_financed - loan.down_payment, 0.0)
    if principal is None:
        principal = principal_of(loan, cash)
    priced = cash if cash is not None else principal + loan.down_payment
    return LoanRead(loan.model_copy(update={"principal": principal, "fee_percent": None, "fee_is_share_of": None, "cash_price": priced}),
                    cash)
