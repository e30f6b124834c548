"""Where a curve crosses zero."""

from __future__ import annotations

from collections.abc import Callable


def crossing(curve: Callable[[float], float], low: float, high: float, within: float = 1e-6) -> float | None:
    """The x between low and high at which `curve` is zero; None where it has the same sign at both ends.

    within: how near to the true x [unit of x].
    """
    from scipy.optimize import brentq  # 0.1 s to import, and `check` needs none of it

    at_low, at_high = curve(low), curve(high)
    if at_low == 0.0:
        return low
    if at_high == 0.0:
        return high
    return None if (at_low > 0) == (at_high > 0) else float(brentq(curve, low, high, xtol=within))
