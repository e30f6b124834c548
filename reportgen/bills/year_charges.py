"""The charges of many years at today's prices, unrounded: what `bill` does from the export rule to the fixed lines, for
all years and periods at once. `years` lets the prices grow, sets credit against them and adds minimum and taxes.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from reportgen.bills.bank import POOL, keeps_kwh, resets_after
from reportgen.bills.calendar import BillCalendar
from reportgen.bills.demand_lines import STEPS, demand_price
from reportgen.bills.energy_lines import entries, entry_of_pair, net_prices
from reportgen.bills.netting import MeterYears, tables_of
from reportgen.describe.tariff import DemandCharge, EnergyCharge, EnergyPrice, ExportRule, Tariff
from reportgen.describe.tariff_days import holding, pairs, season_names, window_names

KWH_DUST = 6     # decimals beyond which a sum of hours is the dust of adding binary fractions


@dataclass(frozen=True, eq=False)
class Charge:
    """One charge of the tariff; y years × 12 periods [currency at today's prices]."""
    name: str
    kind: str                    # fixed, energy, demand, array: as in result.BillLine
    counts: str                  # an energy charge: net or delivered
    amount: np.ndarray
    positive: np.ndarray         # its lines above zero: what credit can pay


@dataclass(frozen=True, eq=False)
class RuleYears:
    """The years in which one export rule holds."""
    rule: ExportRule
    charges: tuple[Charge, ...]
    earned: np.ndarray           # y × 12: credit earned, at today's prices
    earned_with: str             # which price it grows with: export or energy
    paid_kwh: np.ndarray         # y × 12: left in the bank of kWh at a reset and paid
    net_kwh: np.ndarray          # y × 12: what charges on net kWh count
    delivered_kwh: np.ndarray    # y × 12


@dataclass(frozen=True, eq=False)
class Plan:
    """What the charges of a tariff need of its calendar."""
    tariff: Tariff               # in full form
    calendar: BillCalendar
    season_days: np.ndarray      # 12 × seasons

    @classmethod
    def of(cls, tariff: Tariff, calendar: BillCalendar) -> Plan:
        seasons = len(season_names(tariff))
        hours = np.bincount(seasons * calendar.period + calendar.season, minlength=12 * seasons)
        return cls(tariff, calendar, hours.reshape(12, seasons) / 24.0)


def charges_of_years(plan: Plan, meter: MeterYears, rules: Sequence[ExportRule], array_kw: tuple[float, float]) -> tuple[RuleYears, ...]:
    """rules: the export rule of each year. array_kw: (DC, AC)."""
    demand = [_demand_amounts(plan, meter, d, charge, rules) for d, charge in enumerate(plan.tariff.demand)]
    found, bank, begun = [], {}, 0
    for end in range(1, len(rules) + 1):
        if end < len(rules) and rules[end] is rules[begun]:
            continue
        years, rule = slice(begun, end), rules[begun]
        taken, sent = (meter.used[years], meter.made[years]) if rule.rule == "buy-all sell-all" else (meter.taken[years], meter.sent[years])
        billed, paid, bank = _billed(plan, rule, taken - sent, taken, bank)
        charges = (*_fixed(plan, end - begun), *(_energy(plan, charge, billed if charge.counts == "net" else taken)
                                                 for charge in plan.tariff.energy),
                   *(Charge(charge.name, "demand", "", amounts[years], amounts[years])
                     for charge, amounts in zip(plan.tariff.demand, demand, strict=True)), *_array(plan, end - begun, array_kw))
        earned, grows_with = _earned(plan, rule, meter, years, taken - sent, sent)
        found.append(RuleYears(rule, charges, earned, grows_with, paid, billed.sum(axis=2), taken.sum(axis=2)))
        begun = end
    return tuple(found)


def _fixed(plan: Plan, year_count: int) -> list[Charge]:
    made = []
    for charge in plan.tariff.fixed:
        period = charge.price * (plan.calendar.period_days if charge.per == "day" else np.ones(12))
        amount = np.broadcast_to(period, (year_count, 12))
        made.append(Charge(charge.name, "fixed", "", amount, amount))
    return made


def _array(plan: Plan, year_count: int, array_kw: tuple[float, float]) -> list[Charge]:
    made = []
    for charge in plan.tariff.array:
        amount = np.full((year_count, 12), charge.price_per_kw * array_kw[("DC", "AC").index(charge.rating)])
        made.append(Charge(charge.name, "array", "", amount, amount))
    return made


def _energy(plan: Plan, charge: EnergyCharge, kwh: np.ndarray) -> Charge:
    at, listed = entry_of_pair(charge, plan.tariff).ravel(), entries(charge)
    flat = np.array([0.0 if i < 0 or listed[i].blocks is not None else listed[i].price_per_kwh for i in at])
    amount = kwh @ flat
    positive = amount if (flat >= 0).all() else kwh @ np.maximum(flat, 0.0)
    for i, entry in enumerate(listed):
        if entry.blocks is not None:
            more, more_positive = _in_blocks(plan, charge, entry, kwh[:, :, at == i].sum(axis=2))
            amount, positive = amount + more, positive + more_positive
    return Charge(charge.name, "energy", charge.counts, amount, positive)


def _in_blocks(plan: Plan, charge: EnergyCharge, entry: EnergyPrice, kwh: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    times = plan.calendar.period_days.astype(float) if charge.blocks_per == "day" else np.ones(12)
    if entry.season is not None:
        s = season_names(plan.tariff).index(entry.season)
        times = times * plan.season_days[:, s] / plan.season_days.sum(axis=1)
    amount, positive, below = np.zeros(kwh.shape), np.zeros(kwh.shape), np.zeros(12)
    for block in entry.blocks:
        end = np.full(12, np.inf) if block.up_to_kwh is None else block.up_to_kwh * times
        line = block.price_per_kwh * np.clip(kwh - below, 0.0, end - below)
        amount, positive, below = amount + line, positive + np.maximum(line, 0.0), end
    return amount, positive


def _demand_amounts(plan: Plan, meter: MeterYears, d: int, charge: DemandCharge, rules: Sequence[ExportRule]) -> np.ndarray:
    whole_use = np.array([rule.rule == "buy-all sell-all" for rule in rules])[:, None]
    kw = np.where(whole_use, meter.use_demand_kw[:, :, d], meter.demand_kw[:, :, d])
    season = np.where(whole_use, meter.use_demand_season[:, :, d], meter.demand_season[:, :, d])
    if charge.ratchet_percent:
        past = np.concatenate([meter.past_demand_kw[-charge.ratchet_periods:, d], kw.ravel()])
        windows = np.lib.stride_tricks.sliding_window_view(past[:-1], charge.ratchet_periods)
        kw = np.maximum(kw, charge.ratchet_percent / 100.0 * windows.max(axis=1).reshape(kw.shape))
    if charge.rounded_to != "nothing":
        step = float(STEPS[charge.rounded_to])
        kw = step * np.floor(kw.round(KWH_DUST) / step + 0.5)
    prices = np.array([demand_price(charge, name) for name in season_names(plan.tariff)])
    return kw * prices[season]


def _billed(plan: Plan, rule: ExportRule, net: np.ndarray, taken: np.ndarray,
            bank: dict[str, float]) -> tuple[np.ndarray, np.ndarray, dict[str, float]]:
    """(kWh that charges on net kWh count, y × 12 × cells; kWh paid at resets, y × 12; the bank at the end)."""
    none = np.zeros(net.shape[:2])
    if not keeps_kwh(rule):
        return (np.maximum(net, 0.0) if rule.rule == "one-to-one" else taken), none, {}
    windows = window_names(plan.tariff)
    cells = np.arange(net.shape[2])
    pools = {POOL: cells} if rule.buckets == "pooled" else {name: cells[cells % len(windows) == w] for w, name in enumerate(windows)}
    worth, billed, paid, after = net_prices(plan.tariff).ravel(), np.maximum(net, 0.0), none, {}
    for name, own in pools.items():
        carried, emptied, after[name] = _bank_levels(rule, net[:, :, own].sum(axis=2), bank.get(name, 0.0))
        left = carried + np.maximum(-net[:, :, own], 0.0).sum(axis=2)
        for cell in sorted(own, key=lambda c: -worth[c]):   # a stable sort: ties keep the tariff's order
            drawn = np.minimum(left, billed[:, :, cell])
            billed[:, :, cell] -= drawn
            left = left - drawn
        paid = paid + emptied if rule.leftover == "paid" else paid
    return billed, paid, after


def _bank_levels(rule: ExportRule, net: np.ndarray, bank: float) -> tuple[np.ndarray, np.ndarray, float]:
    """(kWh in the bank before each period, kWh taken from it at its end, the bank at last)."""
    emptied_after = [resets_after(rule, month) for month in range(1, 13)]
    carried, emptied = [], []
    for k, kwh in enumerate(net.ravel().tolist()):
        carried.append(bank)
        bank = max(0.0, bank - kwh)
        emptied.append(bank if emptied_after[k % 12] else 0.0)
        bank -= emptied[-1]
    return np.array(carried).reshape(net.shape), np.array(emptied).reshape(net.shape), bank


def _earned(plan: Plan, rule: ExportRule, meter: MeterYears, years: slice, net: np.ndarray, sent: np.ndarray) -> tuple[np.ndarray, str]:
    tariff = plan.tariff
    if rule.rule == "one-to-one":
        if rule.bank == "kWh":
            return np.zeros(net.shape[:2]), "energy"
        return np.maximum(-net, 0.0) @ net_prices(tariff).ravel(), "energy"
    if rule.rule == "none":
        return np.zeros(net.shape[:2]), "export"
    if rule.prices_by_month_and_hour is not None:
        at = next(i for i, table in enumerate(tables_of(tariff)) if table is rule.prices_by_month_and_hour)
        return (meter.made_worth if rule.rule == "buy-all sell-all" else meter.sent_worth)[at, years], "export"
    prices = np.zeros((len(season_names(tariff)), len(window_names(tariff))))
    for season, window in pairs(tariff):
        price = rule.price_per_kwh if rule.prices is None else holding(rule.prices, season, window)[0].price_per_kwh
        prices[season_names(tariff).index(season), window_names(tariff).index(window)] = price
    return sent @ prices.ravel(), "export"
