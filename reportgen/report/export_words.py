"""The rule for what is sent out, in words: what it is set against, what it earns, what that pays, and when it is emptied."""

from __future__ import annotations

from dataclasses import dataclass

from reportgen.describe import tariff_days as days
from reportgen.describe.tariff import ExportRule, Tariff
from reportgen.figures import show_number
from reportgen.report.price_words import exact, joined
from reportgen.report.setting import long_day

_PAYS = {"energy": "the lines for energy and no other", "all but fixed": "every line but the fixed charges and taxes",
         "everything": "every line, and taxes last"}
_WITHIN = {"instant": "in the same instant", "quarter hour": "in the same quarter hour", "hour": "in the same hour"}


@dataclass(frozen=True)
class HourPrices:
    hours: str                       # "0 to 16"
    prices: tuple[str, ...]          # 12, January first


def export_rows(tariff: Tariff, code: str) -> list[tuple[str, str]]:
    rule = tariff.export_rule
    rows = [("Sent out", _rule(tariff, rule, code))]
    if rule.ends is not None:
        rows[0] = ("Sent out", f"{rows[0][1]} This holds until {long_day(rule.ends)}.")
        rows.append(("Sent out, after that", _rule(tariff, rule.then, code)))
    return rows


def hour_prices(tariff: Tariff) -> tuple[HourPrices, ...]:
    """The table of prices by month and hour, hours with the same prices in one row; empty without such a table."""
    rule = tariff.export_rule
    table = rule.prices_by_month_and_hour or (rule.then.prices_by_month_and_hour if rule.then is not None else None)
    if table is None:
        return ()
    by_hour = list(zip(*table, strict=True))
    digits = max(2, *(_decimals(price) for row in table for price in row))
    starts = [hour for hour in range(24) if hour == 0 or by_hour[hour] != by_hour[hour - 1]]
    return tuple(HourPrices(f"{start} to {end}", tuple(show_number(price, digits) for price in by_hour[start]))
                 for start, end in zip(starts, [*starts[1:], 24], strict=True))


def _decimals(price: float) -> int:
    return len(f"{price:.6f}".rstrip("0").partition(".")[2])


def _rule(tariff: Tariff, rule: ExportRule, code: str) -> str:
    if rule.rule == "none":
        return "Nothing is paid for it. Only sun used in the house as it is made saves anything."
    if rule.rule == "one-to-one":
        return _one_to_one(tariff, rule, code)
    price = _price(rule, code)
    if rule.rule == "buy-all sell-all":
        text = f"Buy-all, sell-all: all that the array makes is sold through a meter of its own for {price}; all that the house uses is bought."
    else:
        text = f"Net billing: sun is set against use {_WITHIN[rule.netting]}; each kWh beyond that is sent out and earns {price}."
    return f"{text} This credit pays {_pays(tariff, rule)}. {_money_left(rule)}"


def _pays(tariff: Tariff, rule: ExportRule) -> str:
    unpayable = rule.credit_pays == "energy" and any(charge.counts == "delivered" for charge in tariff.energy)
    return "the lines for energy, but for those that nothing sent out can lower" if unpayable else _PAYS[rule.credit_pays]


def _price(rule: ExportRule, code: str) -> str:
    if rule.prices_by_month_and_hour is not None:
        return "the price of its month and hour (the table below)"
    if rule.prices is None:
        return f"{exact(rule.price_per_kwh, code)} a kWh"
    said = []
    for price in rule.prices:
        place = ", ".join(part for part in (price.season, price.window) if part)
        said.append(f"{exact(price.price_per_kwh, code)} a kWh" + (f" ({place})" if place else ""))
    return joined(said)


def _one_to_one(tariff: Tariff, rule: ExportRule, code: str) -> str:
    several = len(days.pairs(tariff)) > 1
    if rule.bank == "money":
        text = ("One-to-one with a bank in money: within a bill each kWh sent out cancels one taken"
                + (" in the same season and window" if several else "") + ". What is sent out beyond that earns what a kWh taken then costs by "
                f"the lines on net kWh, in blocks the first one’s price. This credit pays {_pays(tariff, rule)}. {_money_left(rule)}")
        return text
    if rule.buckets == "by window":
        text = "One-to-one, which is net metering: each kWh sent out cancels one taken in the same window, in this bill or later from that window’s bank."
    else:
        text = ("One-to-one, which is net metering: each kWh sent out cancels one taken, in this bill or later from the bank"
                + (", the dearest first." if any(len(charge.prices or ()) > 1 for charge in tariff.energy) else "."))
    if rule.resets == "never":
        return text + " The bank is never emptied."
    when = "with every bill" if rule.resets == "monthly" else f"at the end of {rule.reset_month}"
    paid = rule.leftover == "paid" and rule.leftover_price_per_kwh
    return f"{text} The bank is emptied {when}, " + (f"at {exact(rule.leftover_price_per_kwh, code)} a kWh." if paid else "without pay.")


def _money_left(rule: ExportRule) -> str:
    if rule.resets == "never":
        return "What is left over is carried on from bill to bill."
    when = "with every bill" if rule.resets == "monthly" else f"at the end of {rule.reset_month}"
    carried = "" if rule.resets == "monthly" else "What is left over is carried on from bill to bill. "
    return f"{carried}What is left {when} is {'paid out' if rule.leftover == 'paid' else 'lost'}."
