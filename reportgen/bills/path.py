"""The bills of many years, for the cash by year: the same rules as `bill`, without rounding.

A bill of 2040 has no cents worth keeping. The first year here and the printed one differ by roundings alone.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from reportgen.bills.months import month_sums
from reportgen.bills.settle import settle_kwh, settle_money
from reportgen.describe.fields import MONTHS
from reportgen.describe.models import Tariff


@dataclass(frozen=True, eq=False)
class MeterPath:
    """What the meter counts over n years, January of the first first [kWh], and what one-to-one makes of it."""
    use_kwh: float               # a year
    import_kwh: np.ndarray       # n × 12; empty under one-to-one
    export_kwh: np.ndarray       # n × 12; empty under one-to-one
    billed_kwh: np.ndarray       # n; one-to-one: charged for, the bank carried from year to year
    taken_kwh: np.ndarray        # n; one-to-one: taken from the bank at the reset


def meter_path(tariff: Tariff, use_hours: np.ndarray, sun_hours: np.ndarray, output_factors: np.ndarray,
               used_at_once_shift: float = 0.0) -> MeterPath:
    """n years of use and sun. output_factors: output of each year as a share of `sun_hours`, n values.

    used_at_once_shift: share of each month's sun that is used at once beyond what the hours say; it moves net billing
    alone, since one-to-one asks for the sums of months.
    """
    none = np.zeros((0, 12))
    use_kwh = float(use_hours.sum())
    if tariff.export == "net billing":
        net = use_hours[None, :] - output_factors[:, None] * sun_hours[None, :]
        exported = month_sums(np.maximum(-net, 0.0))
        imported = month_sums(net) + exported
        made = output_factors[:, None] * month_sums(sun_hours)[None, :]
        moved = np.clip(used_at_once_shift * made, exported - made, np.minimum(imported, exported))
        return MeterPath(use_kwh, imported - moved, exported - moved, np.zeros(0), np.zeros(0))
    net = month_sums(use_hours)[None, :] - output_factors[:, None] * month_sums(sun_hours)[None, :]
    reset = None if tariff.reset_month is None else MONTHS.index(tariff.reset_month) + 1
    billed, taken, bank = [], [], 0.0
    for year in net.tolist():
        months = list(settle_kwh(year, reset, bank))
        bank = months[-1][2]
        billed.append(sum(m[0] for m in months))
        taken.append(sum(m[1] for m in months))
    return MeterPath(use_kwh, none, none, np.array(billed), np.array(taken))


def bills_before(tariff: Tariff, path: MeterPath, price_factors: np.ndarray) -> np.ndarray:
    """The bill of each year without the sun [currency]. price_factors: prices of each year, today's = 1."""
    return price_factors * (12 * tariff.fixed_per_month + tariff.price_per_kwh * path.use_kwh)


def bills_after(tariff: Tariff, path: MeterPath, price_factors: np.ndarray) -> np.ndarray:
    """The bill of each year with the sun [currency]. All prices of the tariff move together."""
    fixed = 12 * tariff.fixed_per_month
    if tariff.export == "one-to-one":
        paid = tariff.leftover_price_per_kwh or 0.0
        return price_factors * (fixed + tariff.price_per_kwh * path.billed_kwh - paid * path.taken_kwh)
    charges = (price_factors[:, None] * tariff.price_per_kwh * path.import_kwh).tolist()
    credits = (price_factors[:, None] * tariff.export_price_per_kwh * path.export_kwh).tolist()
    dues, carried = [], 0.0
    for year_charges, year_credits in zip(charges, credits, strict=True):
        total = 0.0
        for charge, credit in zip(year_charges, year_credits, strict=True):
            due, carried = settle_money(charge, credit, carried)
            total += due
        dues.append(total)
    return price_factors * fixed + np.array(dues)
