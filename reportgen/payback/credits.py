"""A credit taken off a tax: never more than is owed in a year; what is left is carried or lost by its own rule."""

from __future__ import annotations

from collections.abc import Sequence
from math import inf


def used_by_year(credit: float, tax_owed_per_year: float, carry_forward: bool, years: int) -> tuple[float, ...]:
    """A credit of the first year against the same tax each year, carried for ever or not at all."""
    return take_off((credit,), (tax_owed_per_year,) * years, inf if carry_forward else 0)


def take_off(earned: Sequence[float], owed: Sequence[float], carry_years: float) -> tuple[float, ...]:
    """What is used each year of credits earned in year 1, 2, ... against the tax owed in each year.

    carry_years: how many years after the one in which it is earned a credit may still be used; the oldest is used first.
    """
    used, left = [], []                       # left: [amount, last year in which it may be used]
    for year, limit in enumerate(owed):
        if year < len(earned) and earned[year] > 0:
            left.append([earned[year], year + carry_years])
        taken = 0.0
        while left and taken < limit:
            part = min(left[0][0], limit - taken)
            taken += part
            left[0][0] -= part
            if left[0][0] > 0:
                break
            left.pop(0)
        used.append(min(taken, limit))       # sums of binary fractions may end a hair above
        left = [lot for lot in left if lot[1] > year]
    return tuple(used)


class TaxesOwed:
    """What is still owed of each tax in each year, after the credits taken off before."""

    def __init__(self, federal: float | None, state: float | None, years: int):
        self._owed = {tax: None if owed is None else [float(owed)] * years
                      for tax, owed in (("federal income tax", federal), ("state income tax", state))}

    def is_known(self, tax: str) -> bool:
        return self._owed[tax] is not None

    def take(self, tax: str, earned: Sequence[float], carry_years: float) -> tuple[float, ...]:
        """What of the credit is used each year; it is no longer owed for the next credit."""
        owed = self._owed[tax]
        used = take_off(earned, owed, carry_years)
        self._owed[tax] = [o - u for o, u in zip(owed, used, strict=True)]
        return used
