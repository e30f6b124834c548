"""One bill function for both bills: the same house, the same prices, with and without the sun.

Each printed line is rounded half-up to the cent in decimal arithmetic; a total is the sum of its lines, exactly.
"""

from __future__ import annotations

from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Decimal

import numpy as np

from reportgen.bills.months import month_sums
from reportgen.bills.result import BillLine, MonthBill, YearBill
from reportgen.bills.settle import settle_kwh, settle_money
from reportgen.describe.fields import MONTHS
from reportgen.describe.models import Tariff

CENT = Decimal("0.01")
TENTH = Decimal("0.1")


@dataclass(frozen=True, eq=False)
class MonthFlows:
    """What the meter counts in each month, hour by hour [kWh], 12 values each."""
    import_kwh: np.ndarray
    export_kwh: np.ndarray

    def with_more_used_at_once(self, kwh: np.ndarray, self_use_kwh: np.ndarray) -> MonthFlows:
        """The same use and sun with `kwh` more (or less, if negative) of each month's sun used at once."""
        moved = np.clip(kwh, -self_use_kwh, np.minimum(self.import_kwh, self.export_kwh))
        return MonthFlows(self.import_kwh - moved, self.export_kwh - moved)


def month_flows(use_hours: np.ndarray, sun_hours: np.ndarray) -> MonthFlows:
    """Import and export of each month [kWh] from 8,760 hours of use and of sun, netted within the hour."""
    net = np.asarray(use_hours) - np.asarray(sun_hours)
    return MonthFlows(month_sums(np.maximum(net, 0.0)), month_sums(np.maximum(-net, 0.0)))


def bill_year(tariff: Tariff, use_hours: np.ndarray, sun_hours: np.ndarray, bank: float = 0) -> tuple[YearBill, float]:
    """A calendar year of bills from hourly use and sun [kWh], and the bank at its end.

    bank: what stands in the bank on 1 January: kWh under one-to-one, money under net billing.
    """
    return bill_flows(tariff, month_flows(use_hours, sun_hours), bank)


def bill_flows(tariff: Tariff, flows: MonthFlows, bank: float = 0) -> tuple[YearBill, float]:
    """The same from what the meter counted in each month."""
    if tariff.export == "one-to-one":
        return _one_to_one(tariff, flows, float(bank))
    return _net_billing(tariff, flows, cents(Decimal(str(bank))))


def settled_year(tariff: Tariff, flows: MonthFlows) -> tuple[YearBill, YearBill, float]:
    """(First year, settled year, growth of the bank in the settled year).

    The first year starts with an empty bank, every later one with what the year before left. Settled: the bank at
    the start repeats, or, where it grows for ever, the bill repeats.
    """
    first, end = bill_flows(tariff, flows)
    start, year = 0.0, first
    while abs(end - start) > 1e-6:
        before, start = year, end
        year, end = bill_flows(tariff, flows, start)
        if year.total == before.total and end > start:
            break
    return first, year, end - start


def cents(amount: Decimal) -> Decimal:
    """Half-up to the cent: 26.125 is 26.13."""
    return amount.quantize(CENT, ROUND_HALF_UP)


def line_amount(kwh: Decimal, price_per_kwh: float) -> Decimal:
    """kWh × price, rounded half-up to the cent."""
    return cents(kwh * Decimal(str(price_per_kwh)))


def _billed(kwh: float) -> Decimal:
    """kWh as the line prints and charges them: to a tenth, so that each line can be checked by hand."""
    return Decimal(repr(round(float(kwh), 6))).quantize(TENTH, ROUND_HALF_UP)


def _kwh_text(kwh: Decimal) -> str:
    return f"{kwh:,.0f}" if kwh == kwh.to_integral_value() else f"{kwh:,.1f}"


def _price_text(price: float) -> str:
    return f"{price:.2f}" if round(price, 2) == price else f"{Decimal(str(price)):f}"


def _fixed(tariff: Tariff) -> BillLine:
    return BillLine("Fixed charge", cents(Decimal(str(tariff.fixed_per_month))))


def _energy(tariff: Tariff, kwh: Decimal) -> BillLine:
    return BillLine(f"Energy, {_kwh_text(kwh)} kWh at {_price_text(tariff.price_per_kwh)}", line_amount(kwh, tariff.price_per_kwh))


def _one_to_one(tariff: Tariff, flows: MonthFlows, bank: float) -> tuple[YearBill, float]:
    reset = None if tariff.reset_month is None else MONTHS.index(tariff.reset_month) + 1
    price = tariff.leftover_price_per_kwh or 0.0
    months = []
    net = (flows.import_kwh - flows.export_kwh).tolist()
    for month, (billed, taken, left_in_bank) in enumerate(settle_kwh(net, reset, bank), start=1):
        kwh = _billed(billed)
        lines = [_fixed(tariff), _energy(tariff, kwh)]
        left = _billed(taken)
        if left and price:
            lines.append(BillLine(f"Left in the bank, {_kwh_text(left)} kWh paid at {_price_text(price)}", -line_amount(left, price)))
        months.append(_month(month, lines, flows, kwh, left_in_bank, 0.0 if price else taken))
    return _year(months), months[-1].bank_kwh


def _net_billing(tariff: Tariff, flows: MonthFlows, carried: Decimal) -> tuple[YearBill, float]:
    months = []
    for month in range(1, 13):
        taken, sent = _billed(flows.import_kwh[month - 1]), _billed(flows.export_kwh[month - 1])
        lines = [_fixed(tariff), _energy(tariff, taken)]
        credit = line_amount(sent, tariff.export_price_per_kwh)
        if sent:
            lines.append(BillLine(f"Sent out, {_kwh_text(sent)} kWh at {_price_text(tariff.export_price_per_kwh)}", -credit))
        if carried:
            lines.append(BillLine("Credit from the month before", -carried))
        _, carried = settle_money(lines[1].amount, credit, carried)
        if carried:
            lines.append(BillLine("Credit carried to the next month", carried))
        months.append(_month(month, lines, flows, taken, 0.0, 0.0))
    return _year(months), float(carried)


def _month(month: int, lines: list[BillLine], flows: MonthFlows, billed: Decimal, bank: float, lost: float) -> MonthBill:
    return MonthBill(month, tuple(lines), sum((line.amount for line in lines), Decimal("0.00")),
                     float(flows.import_kwh[month - 1]), float(flows.export_kwh[month - 1]), float(billed), bank, lost)


def _year(months: list[MonthBill]) -> YearBill:
    return YearBill(tuple(months), sum((m.total for m in months), Decimal("0.00")))
