"""Points that fill a cube evenly without chance, and the spreads laid over them."""

from __future__ import annotations

import numpy as np
from scipy.special import ndtri

PRIMES = (2, 3, 5, 7, 11, 13, 17)


def even_points(count: int, dimensions: int) -> np.ndarray:
    """count × dimensions numbers above 0 and below 1: Halton's sequence in the first prime bases, from its first point on.

    Not scrambled, so always the same. Halton, "On the efficiency of certain quasi-random sequences of points", 1960.
    Raises ValueError for more dimensions than there are bases here.
    """
    if dimensions > len(PRIMES):
        raise ValueError(f"at most {len(PRIMES)} dimensions; found {dimensions}")
    return np.column_stack([_mirrored(np.arange(1, count + 1), base) for base in PRIMES[:dimensions]])


def _mirrored(numbers: np.ndarray, base: int) -> np.ndarray:
    """The digits of each number in `base` written behind the point, last digit first."""
    left, place, found = numbers.copy(), 1.0 / base, np.zeros(len(numbers))
    while left.any():
        found += place * (left % base)
        left, place = left // base, place / base
    return found


def triangular(share: np.ndarray, low: float, middle: float, high: float) -> np.ndarray:
    """The value that `share` of a triangular spread lies below."""
    low, high = min(low, middle), max(high, middle)
    width = high - low
    if width <= 0:
        return np.full(len(share), middle)
    rising, falling = np.sqrt(share * width * (middle - low)), np.sqrt((1.0 - share) * width * (high - middle))
    return np.where(share < (middle - low) / width, low + rising, high - falling)


def normal(share: np.ndarray, sigma: float) -> np.ndarray:
    """The same of a normal spread around 1; never below 0."""
    return np.maximum(1.0 + sigma * ndtri(share), 0.0)
