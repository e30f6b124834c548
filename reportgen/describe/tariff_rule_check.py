"""The rule for what is sent out: which of its keys belong together."""

from __future__ import annotations

from collections.abc import Iterator

from reportgen.describe.tariff_prices_check import each_pair_once

PRICES = ("price_per_kwh", "prices", "prices_by_month_and_hour")
# Keys that mean something under each rule. netting says under any rule which kWh count as delivered.
BELONGS = {
    "one-to-one": {"netting", "bank", "buckets", "resets", "reset_month", "leftover", "leftover_price_per_kwh", "credit_pays"},
    "net billing": {"netting", "resets", "reset_month", "leftover", "credit_pays", *PRICES},
    "buy-all sell-all": {"resets", "reset_month", "leftover", "credit_pays", *PRICES},
    "none": {"netting"},
}


def rule_problems(tariff, rule, at: tuple, calendar_is_wrong: bool) -> Iterator[tuple[tuple, str]]:
    name = ".".join(at)
    fields = type(rule).model_fields
    said = [key for key in fields if key not in ("rule", "ends", "then") and getattr(rule, key) != fields[key].default]
    foreign = [key for key in said if key not in BELONGS[rule.rule]]
    for key in foreign:
        yield (*at, key), _not_here(name, key, rule.rule)
    if foreign:
        return
    yield from _reset(rule, at, name)
    if rule.rule in ("net billing", "buy-all sell-all"):
        given = [key for key in PRICES if getattr(rule, key) is not None]
        if not given:
            yield at, f"{name}: {rule.rule} needs a price: one of {', '.join(PRICES)}"
        elif len(given) > 1:
            yield at, f"{name}: give only one of {', '.join(PRICES)}; found {' and '.join(given)}"
        elif rule.prices and not calendar_is_wrong:
            yield from each_pair_once(tariff, rule.prices, name, (*at, "prices"))
    elif rule.rule == "one-to-one":
        yield from _bank(rule, at, name)


def _not_here(name: str, key: str, rule: str) -> str:
    owners = [other for other, keys in BELONGS.items() if key in keys]
    return f"{name}: {key} has no meaning under {rule}; it belongs to {' and '.join(owners)}"


def _reset(rule, at: tuple, name: str) -> Iterator[tuple[tuple, str]]:
    if rule.resets == "yearly" and rule.reset_month is None:
        yield at, f"{name}: resets: yearly needs reset_month, the month at whose end it happens"
    if rule.resets != "yearly" and rule.reset_month is not None:
        yield (*at, "reset_month"), f"{name}: reset_month needs resets: yearly; found {rule.resets}"
    if rule.resets == "never" and (rule.leftover == "paid" or rule.leftover_price_per_kwh is not None):
        yield at, f"{name}: nothing is left over where the bank is never emptied; write resets, or leave leftover out"


def _bank(rule, at: tuple, name: str) -> Iterator[tuple[tuple, str]]:
    if rule.bank == "kWh":
        if rule.leftover == "paid" and rule.leftover_price_per_kwh is None:
            yield at, f"{name}: leftover: paid needs leftover_price_per_kwh, since the bank holds kWh"
        if rule.leftover == "lost" and rule.leftover_price_per_kwh is not None:
            yield (*at, "leftover_price_per_kwh"), f"{name}: leftover_price_per_kwh needs leftover: paid"
        if rule.credit_pays != "energy":
            yield (*at, "credit_pays"), f"{name}: credit_pays belongs to a bank of money; a kWh can only pay for a kWh"
    else:
        if rule.leftover_price_per_kwh is not None:
            yield (*at, "leftover_price_per_kwh"), f"{name}: a bank of money is paid as it stands; leave leftover_price_per_kwh out"
        if rule.buckets != "pooled":
            yield (*at, "buckets"), f"{name}: buckets belong to a bank of kWh; money is money"
