"""One bill function for both bills: the same house, the same prices, with and without the sun.

The order of a bill, each step a switch of the tariff (full form, see `describe.tariff_rules.in_full`):
 1  hours by the household's clock, cut into billing periods                       `calendar`
 2  use set against sun within the hour                                            `flows`
 3  kWh sorted by season and window                                                `calendar`, `flows`
 4  blocks, and 5  energy lines, each on net or delivered kWh                      `energy_lines`
 6  demand: hours, ratchet, rounding                                               `demand_lines`
 7  fixed charges, and charges on the array                                        here
 8  what is sent out: kWh to the bank, or money                                    `bank`, `credit`
 9  credit against the lines it may pay, then the minimum as a floor after it      `credit`
10  taxes on the subtotals they name                                               `taxes`
11  every line half-up to the cent in decimal; the total is the sum of the lines   `rounding`
12  the bank or the credit emptied in its month: lost or paid                      here
13  the next year starts with what this one left                                   `settled_year`
One-to-one and its bank come before step 4, since they decide which kWh are billed.
Money paid out at a reset comes after taxes, and no tax stands on it. What a rule can't hold (kWh under a rule of money,
money under a rule of kWh) is lost when that rule begins.
"""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal

import numpy as np

from reportgen.bills.bank import Bank, Growth, keeps_kwh, resets_after, set_against
from reportgen.bills.credit import apply_credit, earned_lines
from reportgen.bills.demand_lines import demand_lines
from reportgen.bills.energy_lines import Counted, energy_lines, net_prices
from reportgen.bills.flows import PeriodFlows
from reportgen.bills.result import BillLine, MonthBill, YearBill
from reportgen.bills.rounding import CENT, NOTHING, count_text, decimal, line_amount, measured, price_text, tenth
from reportgen.bills.taxes import tax_lines
from reportgen.describe.fields import MONTHS
from reportgen.describe.tariff import ExportRule, Tariff
from reportgen.describe.tariff_days import window_names

NO_ARRAY = (0.0, 0.0)
MOST_YEARS = 60      # a bank settles within a few years; this only keeps a loop from running for ever


def bill_flows(tariff: Tariff, flows: Sequence[PeriodFlows], array_kw: tuple[float, float] = NO_ARRAY,
               bank: Bank | None = None, rule: ExportRule | None = None) -> tuple[YearBill, Bank]:
    """A year of bills from what the meter counted in each period, and the bank at its end.

    tariff: in full form. array_kw: (DC, AC); charges on the array are billed only where it is above zero.
    bank: at the start of the January period; empty where missing. rule: the export rule; the tariff's where missing.
    """
    months, bank = [], bank or Bank.empty()
    for period in flows:
        month, bank = bill_period(tariff, period, array_kw, bank, rule)
        months.append(month)
    return YearBill(tuple(months), sum((m.total for m in months), NOTHING)), bank


def settled_year(tariff: Tariff, flows: Sequence[PeriodFlows], array_kw: tuple[float, float] = NO_ARRAY,
                 bank: Bank | None = None, rule: ExportRule | None = None) -> tuple[YearBill, YearBill, Growth]:
    """(First year, settled year, growth of the bank in the settled year).

    The first year starts with `bank` (empty where missing), every later one with what the year before left. Settled:
    the bank at the start repeats, or, where it grows for ever, the bill repeats.
    """
    start = bank or Bank.empty()
    first, end = bill_flows(tariff, flows, array_kw, start, rule)
    year = first
    for _ in range(MOST_YEARS):
        if _alike(start, end):
            break
        before, start = year, end
        year, end = bill_flows(tariff, flows, array_kw, start, rule)
        if year.total == before.total and start.peaks_kw == end.peaks_kw and (
                end.total_kwh > start.total_kwh or end.money > start.money):
            break
    return first, year, Growth(end.total_kwh - start.total_kwh, end.money - start.money)


def _alike(one: Bank, other: Bank) -> bool:
    return (one.money == other.money and one.peaks_kw == other.peaks_kw
            and all(abs(one.kwh.get(key, 0.0) - other.kwh.get(key, 0.0)) <= 1e-6 for key in {*one.kwh, *other.kwh}))


def bill_period(tariff: Tariff, flows: PeriodFlows, array_kw: tuple[float, float] = NO_ARRAY, bank: Bank | None = None,
                rule: ExportRule | None = None) -> tuple[MonthBill, Bank]:
    """One bill, and what it leaves to the next."""
    rule, bank, meter = rule or tariff.export_rule, bank or Bank.empty(), flows.counted(rule or tariff.export_rule)
    billed, kept_kwh = billed_kwh(tariff, rule, meter, bank)
    lost_kwh = _not_held(bank, kept_kwh)
    demand, peaks, demand_kw = demand_lines(tariff, meter, bank.peaks_kw)
    charges = [*_fixed_lines(tariff, flows.days), *energy_lines(tariff, meter, billed),
               *(Counted(line, "") for line in (*demand, *_array_lines(tariff, array_kw)))]
    carried = NOTHING if keeps_kwh(rule) or rule.rule == "none" else bank.money
    credit = earned_lines(tariff, rule, meter)
    if carried:
        credit.append(BillLine("Credit from the month before", -carried, "credit"))
    applied = apply_credit(charges, -sum((line.amount for line in credit), NOTHING), rule.credit_pays, tariff.minimum, flows.days)
    net_kwh, delivered_kwh = tenth(billed.sum()), tenth(meter.taken.sum())
    taxes = tax_lines(tariff, charges, applied, net_kwh, delivered_kwh)
    left = applied.left
    if rule.credit_pays == "everything" and left > 0:
        left -= min(left, sum((line.amount for line in taxes), NOTHING))
    lines = [*(c.line for c in charges), *credit, *_minimum_lines(tariff, applied), *taxes]
    money = left + (applied.held_back if tariff.minimum is not None and tariff.minimum.unused_credit == "kept" else NOTHING)
    lost_money = bank.money - carried + left + applied.held_back - money
    if resets_after(rule, flows.month):
        lines += _reset_lines(rule, flows.month, left, money, kept_kwh)
        if rule.leftover == "lost":
            lost_kwh, lost_money = lost_kwh + sum(kept_kwh.values()), lost_money + money
        kept_kwh, money = dict.fromkeys(kept_kwh, 0.0), NOTHING
    elif left:
        lines.append(BillLine("Credit carried to the next month", left, "credit"))
    month = MonthBill(flows.month, tuple(lines), sum((line.amount for line in lines), NOTHING), float(flows.taken.sum()),
                      float(flows.sent.sum()), float(net_kwh), float(sum(kept_kwh.values())), float(lost_kwh), money, lost_money,
                      None if demand_kw is None else float(demand_kw))
    return month, Bank(kept_kwh, money, peaks)


def billed_kwh(tariff: Tariff, rule: ExportRule, meter: PeriodFlows, bank: Bank) -> tuple[np.ndarray, dict[str, float]]:
    """(kWh that charges on net kWh count, S × W; the bank of kWh after the period, empty under rules without one)."""
    net = meter.taken - meter.sent
    if keeps_kwh(rule):
        return set_against(rule, net, net_prices(tariff), window_names(tariff), bank.kwh)
    return (np.maximum(net, 0.0) if rule.rule == "one-to-one" else meter.taken), {}


def _not_held(bank: Bank, kept_kwh: dict[str, float]) -> float:
    """kWh of an earlier rule that this one has no place for."""
    return sum(kwh for key, kwh in bank.kwh.items() if key not in kept_kwh)


def _fixed_lines(tariff: Tariff, days: int) -> list[Counted]:
    lines = []
    for charge in tariff.fixed or ():
        count = Decimal(days if charge.per == "day" else 1)
        label = f"{charge.name}, {days} days at {price_text(charge.price)}" if charge.per == "day" else charge.name
        lines.append(Counted(BillLine(label, line_amount(count, charge.price), "fixed", "", charge.name), ""))
    return lines


def _array_lines(tariff: Tariff, array_kw: tuple[float, float]) -> list[BillLine]:
    lines = []
    for charge in tariff.array or ():
        kw = measured(array_kw[("DC", "AC").index(charge.rating)], CENT)
        if kw:
            label = f"{charge.name}, {count_text(kw)} kW {charge.rating} at {price_text(charge.price_per_kw)}"
            lines.append(BillLine(label, line_amount(kw, charge.price_per_kw), "array", "", charge.name))
    return lines


def _minimum_lines(tariff: Tariff, applied) -> list[BillLine]:
    if not applied.minimum:
        return []
    what = {"kept": "kept for the next month", "lost": "lost"}[tariff.minimum.unused_credit]
    label = f"{tariff.minimum.name}, {applied.held_back:,} of credit {what}" if applied.held_back else tariff.minimum.name
    return [BillLine(label, applied.minimum, "minimum", "", tariff.minimum.name)]


def _reset_lines(rule: ExportRule, month: int, left: Decimal, money: Decimal, kept_kwh: dict[str, float]) -> list[BillLine]:
    """left: credit no line could take; money: that and what the minimum held back."""
    lines = []
    if left:
        word = "lost" if rule.leftover == "lost" else "left over"
        lines.append(BillLine(f"Credit {word} at the end of {MONTHS[month - 1]}", left, "credit"))
    if rule.leftover == "paid":
        kwh, price = tenth(sum(kept_kwh.values())), decimal(rule.leftover_price_per_kwh or 0.0)
        if kwh and price:
            label = f"Left in the bank, {count_text(kwh)} kWh paid at {price_text(rule.leftover_price_per_kwh)}"
            lines.append(BillLine(label, -line_amount(kwh, rule.leftover_price_per_kwh), "credit", "", "", kwh))
        if money:
            lines.append(BillLine("Credit left over, paid out", -money, "credit"))
    return lines
