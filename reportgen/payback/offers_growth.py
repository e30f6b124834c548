"""Prices and savings that a paper lets grow: year 1 is today's, so year n has seen n − 1 rises, not n."""

from __future__ import annotations

SAME_WITHIN = 0.005      # papers round; half a per cent is far from the 4 or 5 % that one rise too many makes


def grown(amount: float, growth_percent: float, year: int) -> float:
    """`amount` of year 1 in year `year`."""
    return amount * (1.0 + growth_percent / 100.0) ** (year - 1)


def todays(amount: float, growth_percent: float, year: int) -> float:
    """What year 1 must be for `amount` to stand in year `year`."""
    return amount / (1.0 + growth_percent / 100.0) ** (year - 1)


def total_of(first_year: float, growth_percent: float, years: int) -> float:
    """The sum of years 1 to `years`."""
    return sum(grown(first_year, growth_percent, year) for year in range(1, years + 1))


def has_a_rise_too_many(first: float, growth_percent: float, shown: float, expected: float) -> bool:
    """Whether `shown` is `expected` with one rise more: the sign of a paper that counts year n as n rises.

    first: the amount of year 1, which with no growth tells nothing.
    """
    one_more = expected * (1.0 + growth_percent / 100.0)
    if first <= 0 or abs(one_more / expected - 1.0) < 2 * SAME_WITHIN:
        return False
    return abs(shown / one_more - 1.0) <= SAME_WITHIN
