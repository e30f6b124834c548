"""What `payback` hands on: cash by year in three cases, the law as found, the deposit to compare with."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from reportgen.figures import Figure
from reportgen.payback.ways_result import WayToPay


@dataclass(frozen=True)
class CashYear:
    """All money nominal. Year 0 is the purchase, year 1 the first year of output."""
    year: int
    bill_before: float
    bill_after: float
    upkeep: float                 # ≤ 0
    replacement: float            # ≤ 0
    purchase: float               # ≤ 0
    incentive: float              # ≥ 0
    net: float                    # bill_before − bill_after + the rest
    cumulative: float
    discounted_cumulative: float
    holding: float = 0.0          # ≤ 0: insurance, property tax, taking it down, as far as the house file says


@dataclass(frozen=True)
class CashCase:
    name: str                     # "unfavourable", "middle", "favourable"
    years: tuple[CashYear, ...]   # year 0 to the last
    net_present_value: float
    internal_rate: float | None   # share a year; None where none or several exist
    simple_payback_years: int | None      # first year in which the cumulative cash is not negative, to stay so; None: not within the horizon
    discounted_payback_years: int | None


@dataclass(frozen=True)
class IncentiveFinding:
    key: str
    name: str
    amount: float                 # nominal, before timing
    by_year: tuple[float, ...]    # when it is received, year 1 first
    sentence: str                 # "Nothing: the federal residential credit ended for systems finished after 2025-12-31."
    source: str
    seen_on: str
    is_stale: bool                # seen more than 180 days before report_day
    is_warning: bool              # the file claims something that the law no longer gives
    kind: str = "credit"          # "credit", "rebate", "certificates", "tax exemption"
    until: date | None = None     # last finishing day of the law that gives it, or gave it
    if_law_changes: str = ""      # where that day lies within two years of the report, or a bill is pending
    who: str = ""                 # who gets it
    not_counted: float = 0.0      # what it could add, where a fact is missing


@dataclass(frozen=True)
class DoNothing:
    """The house without an array: its bills alone. All money nominal."""
    first_year: Figure
    last_year: Figure
    total: Figure
    range_is: str = "growth of the electricity price, from the unfavourable to the favourable case"

    @property
    def figures(self) -> tuple[Figure, ...]:
        return self.first_year, self.last_year, self.total


@dataclass(frozen=True)
class Payback:
    horizon_years: int
    currency: str
    low: CashCase
    middle: CashCase
    high: CashCase
    range_is: str                 # in words: what was moved together for low and high
    price: Figure                 # what is paid at the start
    net_present_value: Figure
    internal_rate: Figure         # [%]
    simple_payback: Figure        # [years]; None ends mean not within the horizon
    discounted_payback: Figure
    first_year_saving: Figure
    first_year_net: Figure        # bill saving less upkeep in the first year
    array_over_deposit: Figure    # what the array is ahead of the same money in a deposit after tax [today's money]
    break_even_price: Figure      # price of the finished system at which the net present value is zero
    price_growth_table: tuple[tuple[float, float], ...]   # (growth in % a year, net present value)
    incentives: tuple[IncentiveFinding, ...]
    figures: tuple[Figure, ...]
    money_basis: str = ""         # nominal or real: said once on the page
    notes: tuple[str, ...] = ()
    ways_to_pay: tuple[WayToPay, ...] = ()   # cash first
    do_nothing: DoNothing | None = None      # the bills alone
