"""Taxes and fees on the subtotals they name, in the order of the tariff.

In percent: on the named lines, or on all lines before taxes; an earlier tax counts only where it is named. After
credits: what credit paid of a line is taken off it (see `credit`), and the minimum counts as it is charged. Before
credits: the lines as they are before any credit, and the minimum as it would be then. A tax is never below zero.
Per kWh: on net or delivered kWh, to a tenth.
"""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal

from reportgen.bills.credit import Applied
from reportgen.bills.energy_lines import Counted
from reportgen.bills.result import BillLine
from reportgen.bills.rounding import NOTHING, cents, count_text, decimal, line_amount, price_text
from reportgen.describe.tariff import Tariff, Tax


def tax_lines(tariff: Tariff, charges: Sequence[Counted], applied: Applied, net_kwh: Decimal, delivered_kwh: Decimal) -> list[BillLine]:
    lines: list[BillLine] = []
    for tax in tariff.taxes or ():
        if tax.per_kwh is not None:
            kwh = net_kwh if tax.counts == "net" else delivered_kwh
            label = f"{tax.name}, {count_text(kwh)} kWh at {price_text(tax.per_kwh)}"
            lines.append(BillLine(label, line_amount(kwh, tax.per_kwh), "tax", "", tax.name, kwh))
        else:
            base = max(NOTHING, _base(tax, tariff, charges, applied, lines))
            amount = cents(base * decimal(tax.percent) / 100)
            lines.append(BillLine(f"{tax.name}, {tax.percent:g} % of {base:,}", amount, "tax", "", tax.name))
    return lines


def _base(tax: Tax, tariff: Tariff, charges: Sequence[Counted], applied: Applied, taxes: Sequence[BillLine]) -> Decimal:
    minimum = applied.minimum_before if tax.before_credits else applied.minimum
    if tax.lines is None:
        whole = sum((c.line.amount for c in charges), NOTHING) + minimum
        return whole if tax.before_credits else whole - applied.used
    base = sum((line.amount for line in taxes if line.name in tax.lines), NOTHING)
    for charge, paid in zip(charges, applied.paid, strict=True):
        if charge.line.name in tax.lines:
            base += charge.line.amount - (NOTHING if tax.before_credits else paid)
    return base + (minimum if tariff.minimum is not None and tariff.minimum.name in tax.lines else NOTHING)
