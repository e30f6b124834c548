"""A line of credit on the house: interest alone while it may be drawn, then repayment. The rate varies."""

from __future__ import annotations

import numpy as np

from reportgen.describe.paying import HomeEquity
from reportgen.payback.loan import Schedule, interest_only, repay

POINTS_SHOWN = 2.0   # how much higher the rate is shown beside today's; common practice, no source


def line_schedule(line: HomeEquity, principal: float, points: float = 0.0) -> Schedule:
    """points: added to today's rate throughout."""
    rate = line.rate_percent + points
    draw, rest = interest_only(principal, rate, line.draw_months), repay(principal, rate, line.repay_months)
    return Schedule(np.concatenate([draw.payments, rest.payments]), np.concatenate([draw.balances, rest.balances]))
