"""Credit in money: how it is earned, which lines it pays, and the minimum that it may not go below.

energy: credit pays the lines that count net kWh; lines on delivered kWh can't be lowered by what is sent out.
all but fixed: every line before taxes that is no fixed charge. everything: every line, taxes too, which are paid last.
Credit pays lines in the order of the bill, each in full before the next. A negative credit (a negative export price) is
simply due.
The minimum is a floor under what is due after credit. What the floor leaves of the credit is kept for the next month or
lost, as the tariff says; kWh that one-to-one cancelled are used, whatever the minimum does.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

import numpy as np

from reportgen.bills.energy_lines import Counted, net_prices
from reportgen.bills.flows import PeriodFlows
from reportgen.bills.result import BillLine
from reportgen.bills.rounding import NOTHING, cents, count_text, decimal, line_amount, price_text, tenth
from reportgen.describe.tariff import ExportRule, Minimum, Tariff
from reportgen.describe.tariff_days import holding, pairs, season_names, window_names


def earned_lines(tariff: Tariff, rule: ExportRule, flows: PeriodFlows) -> list[BillLine]:
    """Credit earned in a period, negative lines. flows: as the meters of the rule count."""
    if rule.rule == "one-to-one":
        return _surplus_lines(tariff, flows) if rule.bank == "money" else []
    if rule.rule == "none":
        return []
    word = "Made" if rule.rule == "buy-all sell-all" else "Sent out"
    if rule.prices_by_month_and_hour is not None:
        worth = float((flows.sent_by_hour * np.array(rule.prices_by_month_and_hour)).sum())
        kwh, amount = tenth(flows.sent.sum()), cents(decimal(round(worth, 6)))
        mean = f"{amount / kwh:.4f}" if kwh else "0"
        return [_credit(f"{word}, {count_text(kwh)} kWh at the prices of its hours, {mean} on average", amount, "", kwh)] if kwh else []
    if rule.prices is None:
        return [*_sold(word, "", tenth(flows.sent.sum()), rule.price_per_kwh)]
    lines = []
    for entry in rule.prices:
        kwh = sum(flows.sent[cell] for cell, held in _entry_cells(tariff, rule.prices) if held is entry)
        name = word + "".join(f", {part}" for part in (entry.season, entry.window) if part)
        lines += _sold(name, entry.window or "", tenth(kwh), entry.price_per_kwh)
    return lines


def _entry_cells(tariff: Tariff, prices: Sequence) -> list[tuple[tuple[int, int], object]]:
    seasons, windows = season_names(tariff), window_names(tariff)
    return [((seasons.index(s), windows.index(w)), holding(prices, s, w)[0]) for s, w in pairs(tariff)]


def _sold(name: str, window: str, kwh: Decimal, price: float) -> list[BillLine]:
    return [_credit(f"{name}, {count_text(kwh)} kWh at {price_text(price)}", line_amount(kwh, price), window, kwh)] if kwh else []


def _credit(label: str, amount: Decimal, window: str = "", kwh: Decimal | None = None) -> BillLine:
    return BillLine(label, NOTHING - amount, "credit", window, "", kwh)


def _surplus_lines(tariff: Tariff, flows: PeriodFlows) -> list[BillLine]:
    """A bank of money: what a window sent beyond what it took in the period, at the price its net kWh have (in blocks, the
    first one's)."""
    worth, net, lines = net_prices(tariff), flows.taken - flows.sent, []
    seasons, windows = season_names(tariff), window_names(tariff)
    for s, w in np.argwhere(net < 0):
        where = [seasons[s]] if (flows.season_days > 0).sum() > 1 else []
        where += [windows[w]] if tariff.windows and len(windows) > 1 else []
        window = windows[w] if len(windows) > 1 else ""
        lines += _sold(", ".join(["Sent out beyond use", *where]), window, tenth(-net[s, w]), float(worth[s, w]))
    return lines


@dataclass(frozen=True)
class Applied:
    paid: tuple[Decimal, ...]     # of each line, by credit
    used: Decimal                 # credit that went into the lines; below zero where it is due instead
    left: Decimal                 # credit beyond what it may pay
    minimum: Decimal              # raises what is due to the minimum
    held_back: Decimal            # of `minimum`, what is there because credit went below it
    minimum_before: Decimal       # what the minimum would add without any credit


def apply_credit(charges: Sequence[Counted], credit: Decimal, pays: str, minimum: Minimum | None, days: int) -> Applied:
    """Credit against the lines before taxes, and the floor after it."""
    payable = [c.line.amount if _may_pay(c, pays) else NOTHING for c in charges]
    used = min(credit, max(NOTHING, sum(payable, NOTHING)))
    paid, to_pay = [], max(used, NOTHING)
    for amount in payable:
        part = min(max(amount, NOTHING), to_pay)
        paid.append(part)
        to_pay -= part
    if minimum is None:
        return Applied(tuple(paid), used, credit - used, NOTHING, NOTHING, NOTHING)
    least = cents(decimal(minimum.price) * (days if minimum.per == "day" else 1))
    covered = [i for i, c in enumerate(charges) if minimum.covers == "everything" or c.line.kind == "energy"]
    charged = sum((charges[i].line.amount for i in covered), NOTHING)
    on_covered = used if minimum.covers == "everything" or used < 0 else sum((paid[i] for i in covered), NOTHING)
    raised = max(NOTHING, least - (charged - on_covered))
    return Applied(tuple(paid), used, credit - used, raised, min(raised, max(on_covered, NOTHING)), max(NOTHING, least - charged))


def _may_pay(charge: Counted, pays: str) -> bool:
    if pays == "energy":
        return charge.line.kind == "energy" and charge.counts == "net"
    return pays == "everything" or charge.line.kind != "fixed"
