"""Short ways for tests: a tariff in full form, a year of bills, a single period from sums."""

from __future__ import annotations

from reportgen.bills.bank import Bank
from reportgen.bills.bill import NO_ARRAY, bill_flows, bill_period, settled_year
from reportgen.bills.calendar import bill_calendar
from reportgen.bills.flows import period_sums, year_flows
from reportgen.describe.tariff import Tariff
from reportgen.describe.tariff_rules import in_full
from tests.houses import house

FREE = {"rule": "none"}


def short(**changed) -> Tariff:
    """The plain house's tariff with some keys changed, in full form."""
    return in_full(house(tariff=changed).tariff)


def full(**keys) -> Tariff:
    """A tariff written in full; nothing is paid for what is sent out where no rule is said."""
    return in_full(Tariff.model_validate({"export_rule": FREE, **keys}))


def flat(price: float = 0.15, fixed: float = 12, **keys) -> Tariff:
    """One price and a fixed charge, written in full."""
    return full(fixed=[{"price": fixed}], energy=[{"price_per_kwh": price}], **keys)


def flows(tariff: Tariff, use, sun, time_zone: str | None = None):
    return year_flows(tariff, bill_calendar(tariff, time_zone, -5), use, sun)


def year(tariff: Tariff, use, sun, array_kw=NO_ARRAY, bank: Bank | None = None, rule=None):
    """(Year of bills, bank at its end) by calendar months of standard time."""
    return bill_flows(tariff, flows(tariff, use, sun), array_kw, bank, rule)


def settled(tariff: Tariff, use, sun, array_kw=NO_ARRAY, bank: Bank | None = None, rule=None):
    return settled_year(tariff, flows(tariff, use, sun), array_kw, bank, rule)


def one_bill(tariff: Tariff, month: int, days: int, taken, sent=0.0, array_kw=NO_ARRAY, bank: Bank | None = None, **sums):
    """(Bill, bank after it) of one period given as sums."""
    return bill_period(tariff, period_sums(tariff, month, days, taken, sent, **sums), array_kw, bank)


def amounts(month, kind: str | None = None) -> list[str]:
    return [str(line.amount) for line in month.lines if kind in (None, line.kind)]
