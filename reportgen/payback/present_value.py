"""What later money is worth today, the rate that a purchase earns, and the year in which it is paid back.

Flows are money by year, year 0 first. All rates are shares a year (0.044), and real or nominal as the flows are.
Definitions: ASTM E917 (life-cycle cost), E1057 (internal rate of return), E1121 (payback), by number and scope.
"""

from __future__ import annotations

import numpy as np
import numpy_financial as npf


def present_value_factor(rate: float, years: int | np.ndarray) -> float | np.ndarray:
    """Single present value factor: (1 + rate)^−years."""
    return (1.0 + rate) ** -np.asarray(years, dtype=float)


def present_value(flows: np.ndarray, rate: float) -> float:
    """Sum of the flows, each marked down to year 0."""
    return float(np.dot(flows, present_value_factor(rate, np.arange(len(flows)))))


def internal_rate(flows: np.ndarray) -> float | None:
    """The rate at which the present value is zero [share a year]; None where none or several exist."""
    if internal_rate_count(flows) != 1:
        return None
    rate = float(npf.irr(flows))
    return rate if np.isfinite(rate) and abs(present_value(flows, rate)) < 1e-4 * np.abs(flows).max() else None


def internal_rate_count(flows: np.ndarray) -> int:
    """How many internal rates there are above −100 %. With one change of sign there is exactly one (rule of Descartes)."""
    changes = sign_changes(flows)
    return changes if changes < 2 else _rates_above_minus_one(flows)


def sign_changes(flows: np.ndarray) -> int:
    """How often the cash turns from paying to receiving or back."""
    signs = np.sign(flows)[np.abs(flows) > 1e-9]
    return int(np.count_nonzero(signs[1:] != signs[:-1]))


def _rates_above_minus_one(flows: np.ndarray) -> int:
    """How many rates above −100 % make the present value zero: positive roots in x = 1 / (1 + rate)."""
    roots = np.roots(np.asarray(flows)[::-1])
    real = roots[np.abs(roots.imag) < 1e-7 * np.maximum(1.0, np.abs(roots))].real
    return int(np.count_nonzero(real > 0))


def paid_back_in(cumulative: np.ndarray) -> int | None:
    """First year from which the cumulative cash is never negative again; None: not within the horizon."""
    negative = np.nonzero(np.asarray(cumulative) < -1e-9)[0]
    if len(negative) == 0:
        return 0
    year = int(negative[-1]) + 1
    return year if year < len(cumulative) else None


def more_by_the_month(rate: float) -> float:
    """Share by which a year's money is worth more if it comes in twelve equal parts, each marked down from its month's end."""
    return float(np.mean((1.0 + rate) ** ((12 - np.arange(1, 13)) / 12.0))) - 1.0
