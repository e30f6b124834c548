"""Incentives that a house file brings along: of a state, a utility, a city, or the certificates of an offer.

Each needs its source and the day it was read. Nothing is counted without `finish_day`. All money is nominal.
"""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field, model_validator

from reportgen.describe.fields import Day, Money, Percent, Section, ShortText, exactly_one, raise_placed

MOST_INCENTIVES = 12
SPREAD = ("certificates quarterly", "certificates per MWh")
PER_MWH_MAX = 1000.0   # above every certificate's price seen; a price per kWh or a sum looks otherwise


class OwnIncentive(Section):
    name: ShortText
    """What it is called."""
    given_by: ShortText | None = None
    """Who gives it: the state, the utility, the city."""
    kind: Literal["rebate", "credit", "certificates at once", "certificates quarterly", "certificates per MWh"]
    """rebate: money back, which also lowers what credits count from. credit: taken off a tax. certificates: money for the
    right to call the power solar, in one sum, each quarter, or for each whole MWh."""
    amount: Money | None = None
    """Money in all; for certificates the money each quarter or for each MWh."""
    percent: Percent | None = None
    """Share of the price instead; a credit's share is of the price after rebates."""
    cap: Money | None = None
    """Most that is given, with percent."""
    finished_from: Day | None = None
    """First day on which a finished system gets it."""
    finished_to: Day | None = None
    """Last day on which a finished system gets it."""
    paid_in_year: Annotated[int, Field(ge=1, le=25)] = 1
    """Year of output in which it is paid, or first paid, or first taken off the tax. What the seller takes off the bill
    belongs in the price instead."""
    years: Annotated[int, Field(ge=1, le=40)] | None = None
    """For how many years certificates are paid, where not in one sum."""
    against: Literal["federal income tax", "state income tax"] | None = None
    """The tax that a credit is taken off."""
    carry_years: Annotated[int, Field(ge=0, le=50)] | None = None
    """Years that an unused credit may be carried; 50 where the law sets no end. Missing: what a year leaves is lost."""
    for_leases: bool = False
    """Whether the household gets it too where a company owns the array."""
    taxed: Literal["taxed", "not taxed", "ask"] = "ask"
    """Whether income tax is due on it; ask: for a tax adviser to say, and counted before tax."""
    tax_percent: Percent | None = None
    """Share of it lost to income tax, where it is taxed."""
    source: ShortText
    """Where it stands: the page, the letter, the offer."""
    read_on: Day
    """The day you read it."""

    @property
    def is_certificates(self) -> bool:
        return self.kind.startswith("certificates")

    @model_validator(mode="after")
    def _check(self):
        exactly_one(self, "amount", "percent")
        raise_placed(self, list(self._misplaced()))
        return self

    def _misplaced(self):
        if self.finished_from and self.finished_to and self.finished_to < self.finished_from:
            yield ("finished_to",), f"{self.finished_to} lies before finished_from {self.finished_from}; swap the two days"
        if self.is_certificates and self.percent is not None:
            yield ("percent",), "certificates are paid in money; write amount instead of percent"
        if self.kind == "certificates per MWh" and self.amount is not None and self.amount > PER_MWH_MAX:
            yield ("amount",), f"{self.amount:g} for each MWh is above every price seen; one MWh is 1,000 kWh"
        if self.cap is not None and self.percent is None:
            yield ("cap",), "cap limits a percent; an amount is its own cap"
        if self.kind in SPREAD and self.years is None:
            yield ("kind",), f"{self.kind} need years, the number of years they are paid, for example years: 15"
        if self.kind not in SPREAD and self.years is not None:
            yield ("years",), f"years belongs to {' and '.join(SPREAD)}; a {self.kind} has none" if not self.is_certificates else (
                "certificates at once are paid in one sum; leave years out, or choose another kind")
        if self.kind == "credit" and self.against is None:
            yield ("kind",), "a credit needs the tax it is taken off; write against: state income tax or against: federal income tax"
        for key in ("against", "carry_years"):
            if self.kind != "credit" and getattr(self, key) is not None:
                yield (key,), f"{key} belongs to a credit; this is of kind {self.kind}"
        if self.tax_percent is not None and self.taxed != "taxed":
            yield ("tax_percent",), "tax_percent goes with taxed: taxed"


OwnIncentives = Annotated[list[OwnIncentive], Field(max_length=MOST_INCENTIVES)]


def check_own_incentives(house: Section) -> None:
    """What one entry can't know of the others and of the house."""
    raise_placed(house, list(_at_odds(house)))


def _at_odds(house):
    names, money = [one.name for one in house.incentives], house.money
    for i, one in enumerate(house.incentives):
        if one.name in names[:i]:
            yield ("incentives", i, "name"), f"two incentives are called {one.name}; each needs a name of its own"
        if one.read_on > house.report_day:
            yield ("incentives", i, "read_on"), (f"{one.read_on} lies after report_day {house.report_day}; write the day on which "
                                                 "it was read")
        if one.is_certificates and money.certificates_kept:
            yield ("incentives", i, "kind"), ("this sells the certificates, but money.certificates_kept says that you keep them; "
                                              "take one of the two out")
    if money.property_tax_exempt and house.paying.property_tax_per_year:
        yield ("paying", "property_tax_per_year"), (f"found {house.paying.property_tax_per_year:g}, but money.property_tax_exempt says "
                                                    "that the array is exempt; take one of the two out")
