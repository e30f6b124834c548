"""A lease or a power purchase: the company owns the array, the household pays by the month or by the kWh.

The price of year n is the first year's × (1 + escalator)^(n − 1): it rises n − 1 times, not n.
"""

from __future__ import annotations

import numpy as np

from reportgen.describe.paying import Lease, PowerPurchase


def escalated(first: float, escalator_percent: float, years: int) -> np.ndarray:
    """The price in years 1 to `years`, not rounded."""
    return first * (1.0 + escalator_percent / 100.0) ** np.arange(years)


def lease_payments(lease: Lease) -> np.ndarray:
    """Every monthly payment, not rounded: the contract says how, if at all."""
    return np.repeat(escalated(lease.per_month, lease.escalator_percent, lease.years), 12)


def purchase_payments(purchase: PowerPurchase, output_kwh: np.ndarray) -> np.ndarray:
    """Every month's payment, a twelfth of its year's. output_kwh: the array's, years 1 on; the last stands for any after it."""
    made = np.concatenate([output_kwh, np.full(max(purchase.years - len(output_kwh), 0), output_kwh[-1])])[:purchase.years]
    paid_for = np.maximum(made, purchase.minimum_kwh_per_year)
    yearly = escalated(purchase.price_per_kwh, purchase.escalator_percent, purchase.years) * paid_for
    return np.repeat(yearly / 12.0, 12)


def dearer_from_year(paid: np.ndarray, saved: np.ndarray) -> int | None:
    """First year from which more is paid than saved, to stay so; None where that never comes. Both by year, year 1 first."""
    not_dearer = np.nonzero(np.asarray(paid) <= np.asarray(saved))[0]
    first = 1 if len(not_dearer) == 0 else int(not_dearer[-1]) + 2
    return first if first <= len(paid) else None


def buy_out_price(contract: Lease | PowerPurchase, year: int) -> float | None:
    """What the paper names for the end of `year`."""
    return next((entry.price for entry in contract.buy_out if entry.year == year), None)
