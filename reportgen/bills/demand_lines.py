"""The lines for the highest demand: hours that count, ratchet, rounding, and the price of the season of that hour."""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal

from reportgen.bills.flows import PeriodFlows
from reportgen.bills.result import BillLine
from reportgen.bills.rounding import TENTH, WATT, count_text, line_amount, measured, price_text
from reportgen.describe.tariff import DemandCharge, Tariff
from reportgen.describe.tariff_days import holding, season_names

STEPS = {"nothing": WATT, "tenth of a kW": TENTH, "whole kW": Decimal(1)}


def demand_lines(tariff: Tariff, flows: PeriodFlows,
                 peaks_kw: Sequence[tuple[float, ...]]) -> tuple[list[BillLine], tuple[tuple[float, ...], ...], Decimal | None]:
    """(lines, peaks with this period's added, the highest kW charged for).

    peaks_kw: for each charge the measured demand of the periods before, oldest first. A ratchet looks at measured
    demand, never at what an earlier ratchet made of it, and holds in periods without an hour that counts too. The
    result is rounded once, after the ratchet; half a step goes up. A charge by season takes the season of the highest hour.
    """
    lines, peaks, highest = [], [], None
    for i, charge in enumerate(tariff.demand or ()):
        before = tuple(peaks_kw[i]) if i < len(peaks_kw) else ()
        kw, raised = charged_kw(charge, flows.demand_kw[i], before)
        price = demand_price(charge, season_names(tariff)[flows.demand_season[i]])
        why = f", {charge.ratchet_percent:g} % of an earlier month" if raised else ""
        lines.append(BillLine(f"{charge.name}, {count_text(kw)} kW{why} at {price_text(price)}", line_amount(kw, price), "demand",
                              "", charge.name))
        peaks.append((*before, flows.demand_kw[i])[-charge.ratchet_periods:])
        highest = kw if highest is None else max(highest, kw)
    return lines, tuple(peaks), highest


def charged_kw(charge: DemandCharge, measured_kw: float, before_kw: Sequence[float]) -> tuple[Decimal, bool]:
    """(kW charged for, whether the ratchet made it more than was measured)."""
    least = (charge.ratchet_percent or 0.0) / 100.0 * max(before_kw[-charge.ratchet_periods:], default=0.0)
    raised = least > measured_kw
    return measured(least if raised else measured_kw, STEPS[charge.rounded_to]), raised


def demand_price(charge: DemandCharge, season: str) -> float:
    """Price of a kW; nothing in a season for which none is written."""
    if charge.prices is None:
        return charge.price_per_kw or 0.0
    held = holding(charge.prices, season)
    return held[0].price_per_kw if held else 0.0
