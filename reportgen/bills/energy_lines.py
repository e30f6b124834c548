"""The lines for kWh: prices by season and window, blocks, and riders with their own base.

net: a charge counts the kWh that are billed after one-to-one set what was sent against what was taken; under every other
rule these are the kWh taken. delivered: it counts each kWh taken from the grid, whatever was sent out.
Blocks run on the kWh that the entry itself counts in the period: all windows together where it names none. Blocks per
month hold for a whole period, whatever its days; blocks per day are multiplied by the days of the period. Where a price
holds in one season and the period lies in two, its blocks shrink with that season's share of the days.
"""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal

import numpy as np

from reportgen.bills.flows import PeriodFlows
from reportgen.bills.result import BillLine
from reportgen.bills.rounding import TENTH, count_text, decimal, line_amount, measured, price_text, tenth
from reportgen.describe.tariff import Block, EnergyCharge, EnergyPrice, Tariff
from reportgen.describe.tariff_days import holding, pairs, season_names, window_names


@dataclass(frozen=True)
class Counted:
    """An energy line, and which kWh it counts ("net" or "delivered")."""
    line: BillLine
    counts: str


def entries(charge: EnergyCharge) -> list[EnergyPrice]:
    """A charge's prices as a list, one entry where it has one price."""
    return charge.prices if charge.prices is not None else [EnergyPrice(price_per_kwh=charge.price_per_kwh)]


def entry_of_pair(charge: EnergyCharge, tariff: Tariff) -> np.ndarray:
    """S × W: the index of the entry that prices a season and window; −1 where that window does not hold in that season."""
    listed, seasons, windows = entries(charge), season_names(tariff), window_names(tariff)
    found = np.full((len(seasons), len(windows)), -1)
    for season, window in pairs(tariff):
        held = holding(listed, season, window)
        if held:
            found[seasons.index(season), windows.index(window)] = next(i for i, e in enumerate(listed) if e is held[0])
    return found


def first_price(entry: EnergyPrice) -> float:
    """The price of the first kWh."""
    return entry.price_per_kwh if entry.blocks is None else entry.blocks[0].price_per_kwh


def net_prices(tariff: Tariff) -> np.ndarray:
    """S × W: what a kWh that one-to-one cancels is worth: all charges on net kWh together, in blocks the first one's price."""
    total = np.zeros((len(season_names(tariff)), len(window_names(tariff))))
    for charge in tariff.energy or ():
        if charge.counts == "net":
            at = entry_of_pair(charge, tariff)
            prices = np.array([first_price(entry) for entry in entries(charge)])
            total += np.where(at >= 0, prices[at], 0.0)
    return total.round(9)   # so that equal sums of prices are equal


def energy_lines(tariff: Tariff, flows: PeriodFlows, billed: np.ndarray) -> list[Counted]:
    """The lines of every energy charge. billed: S × W, kWh that charges on net kWh count."""
    return [Counted(line, charge.counts) for charge in tariff.energy or ()
            for line in _charge_lines(charge, tariff, flows, billed if charge.counts == "net" else flows.taken)]


def _charge_lines(charge: EnergyCharge, tariff: Tariff, flows: PeriodFlows, kwh: np.ndarray) -> list[BillLine]:
    at = entry_of_pair(charge, tariff)
    there = (flows.season_days > 0)[:, None] & (at >= 0)
    lines, empty = [], []
    for i, entry in enumerate(entries(charge)):
        if not (there & (at == i)).any():
            continue
        name = _name(charge, entry, flows)
        made = _entry_lines(charge, entry, name, tenth(kwh[at == i].sum()), _share(entry, tariff, flows), flows.days)
        (lines if made[0].kwh else empty).extend(made)
    return lines or empty[:1]   # a charge without kWh shows one line of nothing


def _name(charge: EnergyCharge, entry: EnergyPrice, flows: PeriodFlows) -> str:
    two_seasons = (flows.season_days > 0).sum() > 1
    return ", ".join(part for part in (charge.name, entry.season if two_seasons else None, entry.window) if part)


def _share(entry: EnergyPrice, tariff: Tariff, flows: PeriodFlows) -> Decimal:
    """The share of the period's days in which an entry holds."""
    if entry.season is None:
        return Decimal(1)
    return decimal(float(flows.season_days[season_names(tariff).index(entry.season)])) / decimal(float(flows.season_days.sum()))


def _entry_lines(charge: EnergyCharge, entry: EnergyPrice, name: str, kwh: Decimal, share: Decimal, days: int) -> list[BillLine]:
    if entry.blocks is None:
        return [_line(charge, entry, name, kwh, entry.price_per_kwh, "")]
    lines = []
    for part, price, below in in_blocks(kwh, entry.blocks, share * (days if charge.blocks_per == "day" else 1)):
        above = f" above {count_text(below)}" if below else ""
        lines.append(_line(charge, entry, name, part, price, above))
    return lines


def in_blocks(kwh: Decimal, blocks: list[Block], times: Decimal) -> list[tuple[Decimal, float, Decimal]]:
    """(kWh, price, kWh below) of each block that is reached; the ends of blocks × `times`, to a tenth of a kWh."""
    found, below = [], Decimal(0)
    for block in blocks:
        end = None if block.up_to_kwh is None else measured(float(decimal(block.up_to_kwh) * times), TENTH)
        part = kwh - below if end is None else min(kwh, end) - below
        if part > 0 or not found:
            found.append((max(part, Decimal(0)), block.price_per_kwh, below))
        if end is None or kwh <= end:
            break
        below = end
    return found


def _line(charge: EnergyCharge, entry: EnergyPrice, name: str, kwh: Decimal, price: float, above: str) -> BillLine:
    return BillLine(f"{name}, {count_text(kwh)} kWh{above} at {price_text(price)}", line_amount(kwh, price), "energy",
                    entry.window or "", charge.name, kwh)
