"""What `ways` hands on: each way to pay on the same production and the same bills."""

from __future__ import annotations

from dataclasses import dataclass

from reportgen.figures import Figure

HOUSEHOLD, COMPANY = "the household", "the company"


@dataclass(frozen=True)
class PayLine:
    name: str
    by_year: tuple[float, ...]    # year 0 first; costs ≤ 0, gains ≥ 0; middle case [currency, nominal]

    @property
    def total(self) -> float:
        return sum(self.by_year)


@dataclass(frozen=True)
class Instalment:
    label: str                    # "months 1 to 18"
    per_month: float
    months: int


@dataclass(frozen=True)
class WayToPay:
    """Ranges lie over the three cases of the cash. All money nominal; net_present_value and over_deposit in today's."""
    key: str                      # "cash", "loan_1", "lease_1", ...
    name: str
    kind: str                     # cash, own work, bulk, loan, home equity, lease, power purchase
    owner: str                    # HOUSEHOLD or COMPANY
    certificates_to: str
    credits_to: str
    up_front: Figure              # with the way to connect
    first_year_paid: Figure
    last_year_paid: Figure        # of the contract; the two belong together wherever one is shown
    total_paid: Figure            # up front and every payment of the contract
    instalments: tuple[Instalment, ...]   # every payment, as counted
    principal: Figure | None      # belongs beside any cost "after credits"
    hidden_fee: Figure | None     # principal and down payment less the cash price
    named_fee_percent: float | None   # as the paper names the fee; None where it names none
    true_rate: Figure | None      # of the payments on the cash price [%]
    lines: tuple[PayLine, ...]    # every line of the cash; zero only where somebody said so
    net_by_year: tuple[tuple[float, ...], ...]   # unfavourable, middle, favourable; year 0 first
    net_present_value: Figure     # monthly payments marked down month by month
    internal_rate: Figure
    rate_why: str                 # why there is none or several; "" where there is one
    simple_payback: Figure
    discounted_payback: Figure
    over_deposit: Figure
    owed_at_sale: Figure | None   # None: no year of sale is written
    hours_of_own_work: float | None
    cautions: tuple[str, ...]
    notes: tuple[str, ...]
    if_sold: Figure | None = None         # worth in today's money if the house is sold in that year
    dearer_from: Figure | None = None     # year from which the company is paid more than the bill falls by
    instalments_otherwise: tuple[Instalment, ...] = ()   # as promised, at +2 points, at the other reading of the fee

    @property
    def figures(self) -> tuple[Figure, ...]:
        paid = (self.first_year_paid, self.last_year_paid) if self.instalments else ()
        made = (self.up_front, *paid, self.total_paid, self.principal, self.hidden_fee,
                self.true_rate, self.net_present_value, self.internal_rate, self.simple_payback, self.discounted_payback,
                self.over_deposit, self.owed_at_sale, self.if_sold, self.dearer_from)
        return tuple(figure for figure in made if figure is not None)
