"""What the offers in hand come to: for each what was found on the paper, and a table that sets them side by side."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from reportgen.figures import Figure

Weight = Literal["ask", "beside", "differs", "agrees"]


@dataclass(frozen=True)
class Finding:
    """One thing on one paper. Speaks of the paper, never of who wrote it."""
    topic: str                    # "price", "output", "growth", "saving", "credit", "added", "payment", "certificates", "size"
    sentence: str
    weight: Weight                # what the paper says differs from this report, agrees with it, can't be told from it, or is set beside prices elsewhere
    question: str = ""            # to the seller; "" where nothing is to be asked


@dataclass(frozen=True)
class OfferFound:
    key: str                      # "offers.1"
    label: str                    # the label that the house file gives
    kind: str                     # cash, loan, lease, power purchase
    owner: str                    # "the household", "the company"
    size_kw: float
    price: Figure | None          # in cash with extras; None where the paper names none
    price_per_w: Figure | None
    principal: Figure | None      # of a loan
    markup: Figure | None         # what the loan adds to the cash price before any interest
    named_fee_percent: float | None   # as the paper names the fee; None where it names none
    true_rate: Figure | None      # of the loan on the cash price [%]
    first_payment: Figure | None  # a month; of a power purchase, a twelfth of the first year
    later_payment: Figure | None  # of a loan after the month by which a lump sum is expected and does not come
    last_payment: Figure | None   # a month, in the contract's last year
    lump_sum: Figure | None       # of a loan: what the paper expects to be paid in early; due by `lump_sum_month`
    lump_sum_month: int | None
    total_if_paid_in: Figure | None   # total_paid with that sum in it and the lower payments after it
    total_paid: Figure            # to seller, lender or company: all payments, first to last
    saved: Figure                 # what the bills fall by within the years counted, in each year's own money
    whole_cost: Figure            # that within the years counted, and what owning costs beside it, in each year's own money
    whole_cost_today: Figure      # the same in today's money
    output: Figure                # this report's first-year kWh at the offer's size
    output_with_room: Figure | None   # the same with the modules that the roof holds, where the offer has more
    net_present_value: Figure
    worth_with_room: Figure | None    # with the modules that the roof holds, where the offer has more; all its money as it stands
    if_in_cash: Figure | None         # of a loan: the same array paid at once at the paper's cash price
    if_lifted: Figure | None          # of a company's array whose paper is silent: the company lifts it for a new roof
    if_paid_in: Figure | None         # of a loan: the sum that it expects early paid in
    with_inverter: Figure | None      # the household buys the new inverter that a warranty or a company is taken to pay
    if_rule_changes: Figure | None    # under the export rule that may come instead
    simple_payback: Figure | None # None where nothing is bought
    findings: tuple[Finding, ...]
    missing: tuple[str, ...]      # what is not on the paper
    other_costs: dict[str, tuple[float, tuple[int, ...]]]   # by name: counted beside bills and payments, and its years
    under_warranty: tuple[int, ...]      # years whose new inverter the paper's warranty covers
    company_pays: frozenset[str]         # items of `describe.paying.CompanyPays`
    questions: tuple[str, ...]
    figures: tuple[Figure, ...]
    worth_by_year: tuple[float, ...] = ()    # net cash against doing nothing in today's money, year 0 first, the middle case


@dataclass(frozen=True)
class OfferRow:
    label: str
    texts: tuple[str, ...]        # one an offer, in the order of `OfferTable.labels`


@dataclass(frozen=True)
class OfferTable:
    """Rows side by side; a cell that does not apply says so in words."""
    labels: tuple[str, ...]
    rows: tuple[OfferRow, ...]
    notes: tuple[str, ...]
