"""Ways to pay for an array, as a house file names them. Cash is always shown; each entry here stands beside it.

All money is nominal, in the house's currency.
"""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import BeforeValidator, Field, model_validator

from reportgen.describe.fields import Money, Section, ShortText, at_most_one, raise_placed

RATE_MAX, ESCALATOR_MAX = 40.0, 10.0
SHARE_BELOW = 0.15            # no lender and no contract names less than this and more than nothing; common practice, no source


def _not_slipped(value, most: float, what: str):
    """A point left out (399 for 3.99) or a share for a percentage (0.0399) would pass for another contract."""
    if not isinstance(value, (int, float)) or isinstance(value, bool):
        return value
    likely = None
    if 0 < value < SHARE_BELOW:
        likely = value * 100.0
    elif most < value <= 100 * most:
        likely = value / (10.0 if value < 100 else 100.0)
    if likely is not None and 0 < likely <= most:
        raise ValueError(f"{what} of {value:g} looks like {likely:.4g}; write the percentage a year, for example {likely:.4g}")
    return value


def _rate(value):
    return _not_slipped(value, RATE_MAX, "a rate")


def _escalator(value):
    return _not_slipped(value, ESCALATOR_MAX, "an escalator")


Rate = Annotated[float, Field(ge=0, le=RATE_MAX), BeforeValidator(_rate)]
Escalator = Annotated[float, Field(ge=-5, le=ESCALATOR_MAX), BeforeValidator(_escalator)]
Months = Annotated[int, Field(ge=1, le=480)]
ContractYears = Annotated[int, Field(ge=1, le=40)]
CompanyPays = Annotated[list[Literal["upkeep", "new inverter", "lifting for a new roof", "way to connect", "insurance",
                                     "property tax", "taking down"]], Field(max_length=7)]
USUALLY_BY_COMPANY = ["upkeep", "new inverter", "insurance", "property tax", "taking down"]   # common practice, no source


class Expense(Section):
    item: ShortText
    """What is bought, for example "permit"."""
    price: Money
    """Its price, all taxes in it."""


class OwnWork(Section):
    """Self-installed, in part or whole. Hours of own work are shown, never priced."""
    name: ShortText = "self-installed"
    """What the report calls this way to pay."""
    expenses: Annotated[list[Expense], Field(min_length=1, max_length=40)]
    """Parts, permits, hired electrician, tools, each with its price."""
    hours: Annotated[float, Field(ge=0, le=5000)] | None = None
    """Hours of own work."""
    leaves_out: ShortText | None = None
    """What somebody else still does, for example "roof attachments and the panel"."""


class Loan(Section):
    """An instalment loan on the array."""
    name: ShortText = "loan"
    """What the report calls this way to pay."""
    cash_price: Money | None = None
    """Price if paid in cash; the price of the house file where missing."""
    principal: Annotated[float, Field(gt=0, le=1_000_000_000)] | None = None
    """Amount financed, where the paper names it; otherwise cash price, down payment and fee make it."""
    fee_percent: Annotated[float, Field(ge=0, le=60)] | None = None
    """Dealer fee in percent, as the paper or the seller names it."""
    fee_is_share_of: Literal["cash price", "loan"] | None = None
    """What the fee's percent counts from: the cash price that is financed, or the whole loan. Ask the seller."""
    down_payment: Money = 0.0
    """Paid at once."""
    rate_percent: Rate
    """Stated interest a year."""
    months: Months
    """Number of monthly payments."""
    expected_lump_sum: Money = 0.0
    """Money that the lender expects to be paid in, for example a tax credit."""
    lump_sum_month: Annotated[int, Field(ge=1, le=60)] | None = None
    """Month by which it is expected; after it payments are worked out anew."""
    first_payment: Money | None = None
    """Monthly payment until that month, where the paper names it."""

    @model_validator(mode="after")
    def _check(self):
        at_most_one(self, "principal", "fee_percent")
        if self.fee_is_share_of is not None and self.fee_percent is None:
            raise ValueError("fee_is_share_of stands without fee_percent; write the fee, or leave both out")
        if self.expected_lump_sum and self.lump_sum_month is None:
            raise ValueError(f"expected_lump_sum {self.expected_lump_sum:g} needs the month by which it is expected; write "
                             "lump_sum_month, for example 18")
        if self.lump_sum_month is not None and not self.expected_lump_sum:
            raise ValueError("lump_sum_month stands without expected_lump_sum; write the sum, or leave both out")
        if self.first_payment is not None and not self.expected_lump_sum:
            raise ValueError("first_payment is for a loan whose payments change after a lump sum; write expected_lump_sum, "
                             "or leave it out: a level payment is worked out")
        if self.lump_sum_month is not None and self.lump_sum_month >= self.months:
            raise ValueError(f"lump_sum_month {self.lump_sum_month} is not before the loan's end in month {self.months}")
        financed = self.principal if self.principal is not None else self.cash_price
        if financed is not None and self.expected_lump_sum >= financed:
            raise ValueError(f"expected_lump_sum {self.expected_lump_sum:g} is not below the {financed:g} that is financed")
        if self.cash_price is not None and self.down_payment > self.cash_price:
            raise ValueError(f"down_payment {self.down_payment:g} is above cash_price {self.cash_price:g}")
        return self


class HomeEquity(Section):
    """A line of credit on the house."""
    name: ShortText = "home-equity line"
    """What the report calls this way to pay."""
    cash_price: Money | None = None
    """Price if paid in cash; the price of the house file where missing."""
    rate_percent: Rate
    """Interest a year today; it varies."""
    draw_months: Annotated[int, Field(ge=0, le=240)] = 120
    """Months in which interest alone is due."""
    repay_months: Months = 240
    """Months of repayment after that."""
    closing_cost: Money = 0.0
    """Fees for setting it up, paid at once."""


class BuyOut(Section):
    """A price in the paper at which the array may be bought."""
    year: Annotated[int, Field(ge=1, le=40)]
    """At the end of which year of the contract."""
    price: Money
    """What it costs then, as the paper names it."""


class Lease(Section):
    """The array belongs to a company; the household pays a monthly rent."""
    name: ShortText = "lease"
    """What the report calls this way to pay."""
    per_month: Annotated[float, Field(gt=0, le=1_000_000)]
    """Payment a month in the first year."""
    escalator_percent: Escalator = 0.0
    """Growth of the payment a year."""
    years: ContractYears
    """Length of the contract."""
    up_front: Money = 0.0
    """Paid at once."""
    buy_out: Annotated[list[BuyOut], Field(max_length=40)] = Field(default_factory=list)
    """Prices to buy the array, where the paper names them, one entry for each year."""
    transfer: ShortText | None = None
    """What the paper says of a sale of the house."""
    company_pays: CompanyPays = USUALLY_BY_COMPANY
    """What the company pays for, as the contract says; the rest is the household's."""

    @model_validator(mode="after")
    def _check(self):
        _check_buy_out(self)
        return self


class PowerPurchase(Section):
    """The array belongs to a company; the household buys its output."""
    name: ShortText = "power purchase"
    """What the report calls this way to pay."""
    price_per_kwh: Annotated[float, Field(gt=0, le=10)]
    """Price of a kWh from the array in the first year."""
    escalator_percent: Escalator = 0.0
    """Growth of the price a year."""
    years: ContractYears
    """Length of the contract."""
    minimum_kwh_per_year: Annotated[float, Field(ge=0, le=1_000_000)] = 0.0
    """Least that is paid for in a year, whatever the array makes."""
    up_front: Money = 0.0
    """Paid at once."""
    buy_out: Annotated[list[BuyOut], Field(max_length=40)] = Field(default_factory=list)
    """Prices to buy the array, where the paper names them, one entry for each year."""
    transfer: ShortText | None = None
    """What the paper says of a sale of the house."""
    company_pays: CompanyPays = USUALLY_BY_COMPANY
    """What the company pays for, as the contract says; the rest is the household's."""

    @model_validator(mode="after")
    def _check(self):
        _check_buy_out(self)
        return self


class BulkPurchase(Section):
    """A co-op's bulk purchase: cash at another price."""
    name: ShortText = "bulk purchase"
    """What the report calls this way to pay."""
    price_per_w: Annotated[float, Field(gt=0, le=1000)]
    """Price of the finished system per watt DC."""
    fee: Money = 0.0
    """What the co-op asks for its work."""


class Paying(Section):
    own_work: OwnWork | None = None
    """Self-installed, in part or whole."""
    loans: Annotated[list[Loan], Field(max_length=4)] = Field(default_factory=list)
    """Instalment loans, each as its paper says."""
    home_equity: HomeEquity | None = None
    """A line of credit on the house."""
    leases: Annotated[list[Lease], Field(max_length=4)] = Field(default_factory=list)
    """Leases, each as its paper says."""
    power_purchases: Annotated[list[PowerPurchase], Field(max_length=4)] = Field(default_factory=list)
    """Contracts to buy the array's output, each as its paper says."""
    bulk: BulkPurchase | None = None
    """A co-op's bulk purchase."""
    sale_year: Annotated[int, Field(ge=1, le=25)] | None = None
    """Year in which the house may be sold, counted from the first year of output."""
    home_value_gain: Money = 0.0
    """What you think the array adds to the house's price in that year; nothing is added where you do not say so."""
    target_years: Annotated[int, Field(ge=1, le=25)] = 7
    """Within how many years you want it paid back."""
    insurance_per_year: Money | None = None
    """What the insurer adds for the array, a year, in today's money; write 0 where the insurer said so."""
    property_tax_per_year: Money | None = None
    """Property tax added, a year, in today's money; write 0 where it is exempt."""
    removal_price: Money | None = None
    """Taking the array down at the end, in today's money; write 0 where somebody else pays for it."""

    @model_validator(mode="after")
    def _check(self):
        if self.home_value_gain and self.sale_year is None:
            raise ValueError("home_value_gain is counted when the house is sold; write sale_year too, for example 10")
        names = ["cash", *(way.name for way in self._named())]
        twice = next((name for name in names if names.count(name) > 1), None)
        if twice is not None:
            raise ValueError(f'two ways to pay are called "{twice}"; give each a name of its own'
                             + (" (paying in cash is always shown)" if twice == "cash" else ""))
        return self

    def _named(self):
        alone = (self.own_work, self.bulk, self.home_equity)
        return (*(way for way in alone if way is not None), *self.loans, *self.leases, *self.power_purchases)


def _check_buy_out(contract: Lease | PowerPurchase) -> None:
    found, seen = [], set()
    for i, entry in enumerate(contract.buy_out):
        if entry.year > contract.years:
            found.append((("buy_out", i, "year"), f"year {entry.year} is after the contract's {contract.years} years"))
        elif entry.year in seen:
            found.append((("buy_out", i, "year"), f"two prices are written for year {entry.year}; keep one"))
        seen.add(entry.year)
    raise_placed(contract, found)
