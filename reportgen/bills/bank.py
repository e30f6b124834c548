"""What one month leaves to the next: a bank of kWh, credit in money, and the highest demands a ratchet looks back on."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from decimal import Decimal

import numpy as np

from reportgen.bills.rounding import NOTHING
from reportgen.describe.fields import MONTHS
from reportgen.describe.tariff import ExportRule

POOL = ""   # the key of a bank that all windows share


@dataclass(frozen=True)
class Bank:
    kwh: Mapping[str, float] = field(default_factory=dict)   # by the window's name, or all under POOL
    money: Decimal = NOTHING
    peaks_kw: tuple[tuple[float, ...], ...] = ()             # for each demand charge, months before, oldest first

    @classmethod
    def empty(cls) -> Bank:
        return cls()

    @property
    def total_kwh(self) -> float:
        return float(sum(self.kwh.values()))

    def peaks_alone(self) -> Bank:
        """Without kWh or money: how a household with a past begins with its array."""
        return Bank(peaks_kw=self.peaks_kw)


@dataclass(frozen=True)
class Growth:
    """By how much a settled year lets the bank grow."""
    kwh: float
    money: Decimal


def keeps_kwh(rule: ExportRule) -> bool:
    return rule.rule == "one-to-one" and rule.bank == "kWh"


def resets_after(rule: ExportRule, month: int) -> bool:
    """Whether the bank is emptied at the end of this month (1 to 12)."""
    return rule.resets == "monthly" or (rule.resets == "yearly" and MONTHS[month - 1] == rule.reset_month)


def set_against(rule: ExportRule, net_kwh: np.ndarray, worth: np.ndarray, windows: tuple[str, ...],
                bank: Mapping[str, float]) -> tuple[np.ndarray, dict[str, float]]:
    """One-to-one with a bank of kWh: (kWh billed S × W, the bank after it).

    net_kwh: S × W, taken less sent over the period in each season and window. What is below zero, and the bank, counts
    against what is above zero: the dearest kWh first (`worth`, S × W), in the tariff's order where prices are equal;
    under "by window" only within the same window.
    """
    pools = ({POOL: list(np.ndindex(net_kwh.shape))} if rule.buckets == "pooled" else
             {name: [(s, w) for s in range(net_kwh.shape[0])] for w, name in enumerate(windows)})
    billed, after = np.maximum(net_kwh, 0.0), {}
    for name, cells in pools.items():
        left = bank.get(name, 0.0) + sum(max(-net_kwh[cell], 0.0) for cell in cells)
        for cell in sorted(cells, key=lambda c: -worth[c]):   # a stable sort: ties keep the tariff's order
            drawn = min(left, billed[cell])
            billed[cell] -= drawn
            left -= drawn
        after[name] = float(left)
    return billed, after
