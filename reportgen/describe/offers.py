"""An offer in hand, as written on the paper. Nothing here is believed: `payback.offers` sets it beside the report's own sums.

All money is in the house's currency, nominal. What the paper does not say is left out, and the report asks for it.
"""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field, model_validator

from reportgen.describe.fields import Day, Money, Percent, Section, ShortText, at_most_one, raise_placed
from reportgen.describe.paying import Lease, Loan, PowerPurchase

MOST_OFFERS = 6
KWH_PER_KW = (300.0, 2500.0)      # outside of it no array on a roof makes; common practice, no source
US_PRICE_PER_W_MIN = 0.3          # below any module's price; common practice, no source
Price = Annotated[float, Field(gt=0, le=1_000_000_000)]
Years = Annotated[int, Field(ge=1, le=40)]


class Adder(Section):
    name: ShortText
    """What it is, for example "steep roof" or "new main breaker"."""
    price: Money
    """What the paper asks for it."""


class Warranties(Section):
    workmanship_years: Annotated[float, Field(ge=0, le=50)] | None = None
    """Years for the work itself, the roof's tightness in it."""
    module_years: Annotated[float, Field(ge=0, le=50)] | None = None
    """Years for the modules."""
    inverter_years: Annotated[float, Field(ge=0, le=50)] | None = None
    """Years for the inverter."""
    production_guarantee: bool | None = None
    """Whether the paper promises money where fewer kWh come."""


class Offer(Section):
    """One offer. Write only what stands on the paper."""
    seller: ShortText
    """A label, for example "offer A"; the report names no firm."""
    read_on: Day | None = None
    """The day you read the paper."""
    size_kw: Annotated[float, Field(gt=0, le=1000)] | None = None
    """Rated power of the modules, DC."""
    module_count: Annotated[int, Field(ge=1, le=4000)] | None = None
    """Number of modules."""
    module_w: Annotated[float, Field(ge=50, le=1000)] | None = None
    """Power of one module, DC."""
    equipment: ShortText | None = None
    """Modules and inverter in words; no brand is needed."""
    price: Price | None = None
    """Price if paid in cash, all taxes in it, extras under `adders` not in it."""
    price_financed: Price | None = None
    """Price if financed, where the paper names one; it holds everything."""
    adders: Annotated[list[Adder], Field(max_length=20)] = Field(default_factory=list)
    """Extras that the paper prices on top of `price`."""
    promised_kwh: Annotated[float, Field(gt=0, le=10_000_000)] | None = None
    """Output promised for the first year."""
    evidence: ShortText | None = None
    """What the promised output rests on, for example "a shade report of the roof"."""
    savings_first_year: Money | None = None
    """Saving claimed for the first year."""
    savings_total: Money | None = None
    """Saving claimed over `savings_years`."""
    savings_years: Years | None = None
    """Years that `savings_total` covers."""
    savings_rest_on: ShortText | None = None
    """What the claimed saving rests on: the rate plan and its day, the use, the utility's rule for what is sent out."""
    stays_due: ShortText | None = None
    """What the paper says of fixed charges, minimum bill and taxes that stay."""
    growth_assumed_percent: Annotated[float, Field(ge=-10, le=30)] | None = None
    """Growth of the electricity price a year that the paper assumes."""
    utility_price_per_kwh: Annotated[float, Field(gt=0, le=10)] | None = None
    """Today's electricity price as the paper shows it."""
    shown_price_per_kwh: Annotated[float, Field(gt=0, le=10)] | None = None
    """Electricity price that the paper shows for a later year."""
    shown_price_year: Annotated[int, Field(ge=2, le=40)] | None = None
    """That year, counted from 1, this year's prices."""
    credit_assumed_percent: Percent | None = None
    """Tax credit that the paper counts on, as a share of the price."""
    credit_assumed: Money | None = None
    """Tax credit that the paper counts on, as an amount."""
    credit_terms: ShortText | None = None
    """What the paper says of who gets the credit and on what it depends."""
    loan: Loan | None = None
    """Terms of the loan, where the paper offers one."""
    lease: Lease | None = None
    """Terms of the lease, where the paper is one."""
    power_purchase: PowerPurchase | None = None
    """Terms of the power purchase, where the paper is one."""
    warranties: Warranties = Warranties()
    """Warranties, each in years."""
    degradation_assumed_percent: Annotated[float, Field(ge=0, le=5)] | None = None
    """Yearly loss of output that the paper assumes."""
    upkeep_by: Literal["household", "company"] | None = None
    """Who pays for upkeep and repairs."""
    certificates_to: Literal["household", "company", "utility"] | None = None
    """Who gets the certificates for the sun's power."""
    certificates_years: Years | None = None
    """For how many years."""
    roof_care: ShortText | None = None
    """Who repairs the roof where the work has harmed it."""
    removal_price: Money | None = None
    """Price of lifting the array and refitting it when the roof is renewed."""
    transfer: ShortText | None = None
    """What happens to the contract when the house is sold."""
    end_of_term: ShortText | None = None
    """What happens at the end of the contract: removal, renewal, purchase."""
    filing: ShortText | None = None
    """What is filed against the house's title."""
    cancel_days: Annotated[int, Field(ge=0, le=60)] | None = None
    """Days in which the contract may be cancelled."""
    estimate_by: ShortText | None = None
    """Who made the estimate, in general words, for example "the seller"."""
    estimate_day: Day | None = None
    """The day of the estimate."""

    @model_validator(mode="after")
    def _check(self):
        at_most_one(self, "loan", "lease", "power_purchase")
        at_most_one(self, "credit_assumed_percent", "credit_assumed")
        raise_placed(self, list(_problems(self)))
        return self

    @property
    def kind(self) -> Literal["cash", "loan", "lease", "power purchase"]:
        if self.loan is not None:
            return "loan"
        if self.lease is not None:
            return "lease"
        return "power purchase" if self.power_purchase is not None else "cash"

    @property
    def dc_kw(self) -> float | None:
        """Rated power [kW DC]: as written, else modules times the power of one; None where the paper says neither."""
        if self.size_kw is not None:
            return self.size_kw
        if self.module_count is None or self.module_w is None:
            return None
        return self.module_count * self.module_w / 1000.0

    @property
    def cash_price(self) -> float | None:
        """Price in cash with the extras [currency]; None where the paper names none."""
        price = self.price if self.price is not None or self.loan is None else self.loan.cash_price
        return None if price is None else price + sum(adder.price for adder in self.adders)


def _problems(offer: Offer):
    size = offer.dc_kw
    asks = next((key for key in ("price", "price_financed", "promised_kwh") if getattr(offer, key) is not None), None)
    if size is None and asks is not None:
        yield (asks,), (f"{asks} {getattr(offer, asks):g} says little without a size; write size_kw, or module_count and "
                        "module_w, as they stand on the paper")
    elif size is None:
        yield (), "an offer needs its size; write size_kw, or module_count and module_w, as they stand on the paper"
    elif offer.promised_kwh is not None and not KWH_PER_KW[0] <= offer.promised_kwh / size <= KWH_PER_KW[1]:
        yield ("promised_kwh",), (f"{offer.promised_kwh:,.0f} kWh from {size:g} kW is {offer.promised_kwh / size:,.0f} kWh per kW, and "
                                  f"{KWH_PER_KW[0]:g} to {KWH_PER_KW[1]:,.0f} is possible; this looks like a slip in one of the two")
    yield from _prices(offer)
    if (offer.savings_total is None) != (offer.savings_years is None):
        yield (), "savings_total and savings_years belong together: the saving, and the years that it covers"
    if (offer.shown_price_per_kwh is None) != (offer.shown_price_year is None):
        yield (), "shown_price_per_kwh and shown_price_year belong together: a price, and the year that it is shown for"
    if offer.credit_assumed is not None and offer.cash_price is not None and offer.credit_assumed > (offer.price_financed or offer.cash_price):
        yield ("credit_assumed",), "a tax credit above the price looks like a slip; write what the paper counts on"


def _prices(offer: Offer):
    if offer.adders and offer.price is None:
        yield ("adders",), "extras stand on top of a price; write price, or put them into price_financed"
    loan = offer.loan
    if offer.price_financed is not None and loan is None:
        yield ("price_financed",), "price_financed belongs to a loan; write its terms under loan, or keep price alone"
    if offer.kind == "cash" and offer.price is None and offer.price_financed is None:
        yield (), "nothing to pay is written; write price, or the terms under loan, lease or power_purchase"
    if loan is None:
        return
    for key, mine, other in (("cash_price", "price", offer.price), ("principal", "price_financed", offer.price_financed)):
        said = getattr(loan, key)
        if said is not None and other is not None and said != other:
            yield ("loan", key), f"found {said:g}, but {mine} says {other:g}; in an offer write it once, as {mine}"
    if all(v is None for v in (offer.price, loan.cash_price, offer.price_financed, loan.principal)):
        yield ("loan",), "what the loan is for is not written; write price, price_financed, or both"


def offer_problems(offers: list[Offer], in_us_dollars: bool) -> list[tuple[tuple, str]]:
    """What may be wrong across a house's offers, as (path below the house, sentence)."""
    found = []
    names = [offer.seller.casefold() for offer in offers]
    for i, offer in enumerate(offers):
        if names[i] in names[:i]:
            found.append((("offers", i, "seller"), f'two offers are called "{offer.seller}"; give each a label of its own'))
        price, size = offer.price or offer.price_financed, offer.dc_kw
        if in_us_dollars and price is not None and size is not None and price < US_PRICE_PER_W_MIN * size * 1000.0:
            found.append((("offers", i, "price" if offer.price else "price_financed"),
                          (f"{price:g} dollars for {size:g} kW is under {US_PRICE_PER_W_MIN:g} dollars a watt; write thousands "
                           "without a point or comma, for example 19400")))
    return found
