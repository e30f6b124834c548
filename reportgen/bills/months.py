"""The months of the model year, and sums over them."""

from __future__ import annotations

import numpy as np

MONTH_DAYS = (31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31)
MONTH_OF_DAY = np.repeat(np.arange(12), MONTH_DAYS)
_MONTH_STARTS_H = np.concatenate([[0], np.cumsum(MONTH_DAYS)[:-1]]) * 24


def month_sums(hours: np.ndarray) -> np.ndarray:
    """Sums by month of the last axis: (..., 8,760) to (..., 12)."""
    return np.add.reduceat(hours, _MONTH_STARTS_H, axis=-1)
