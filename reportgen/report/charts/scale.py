"""From values to places on the sheet: a scale, its few ticks, and labels kept apart."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from matplotlib.ticker import MaxNLocator

from reportgen.figures import is_money, show, show_number


@dataclass(frozen=True)
class Scale:
    """A straight line from value to place."""

    low: float
    high: float
    at_low: float
    at_high: float

    def __call__(self, value: float) -> float:
        share = (value - self.low) / (self.high - self.low)
        return self.at_low + share * (self.at_high - self.at_low)


def scale_for(values: Iterable[float], at_low: float, at_high: float) -> Scale:
    """A scale over all values with zero in it, never of no length."""
    low, high = min(0.0, *values), max(0.0, *values)
    return Scale(low, high if high - low > 1e-9 else low + 1.0, at_low, at_high)


def ticks_for(low: float, high: float, most: int = 4) -> list[float]:
    """At most `most` + 1 round values between `low` and `high`, at least two; zero among them where it lies between."""
    found = [float(v) for v in MaxNLocator(nbins=most, steps=[1, 2, 2.5, 5, 10]).tick_values(low, high)]
    slack = (high - low) * 1e-9
    inside = [v for v in found if low - slack <= v <= high + slack]
    return inside if len(inside) > 1 else ticks_for(low, high, most + 1)


def tick_texts(ticks: list[float], unit: str) -> list[str]:
    """Money with its sign at each tick; other units at the last tick alone."""
    step = ticks[1] - ticks[0]
    digits = next(d for d in range(7) if abs(step * 10 ** d - round(step * 10 ** d)) < 1e-6)
    if is_money(unit):
        return [show(v, unit, digits) for v in ticks]
    return [show_number(v, digits) for v in ticks[:-1]] + [show(ticks[-1], unit, digits)]


def kept_apart(places: list[float], gap: float, first: float, last: float) -> list[float]:
    """The places moved as little as needed to lie `gap` apart within [first, last]; their order stays."""
    order = sorted(range(len(places)), key=lambda i: (places[i], i))
    moved = [min(max(places[i], first), last) for i in order]
    for k in range(1, len(moved)):
        moved[k] = max(moved[k], moved[k - 1] + gap)
    if moved and moved[-1] > last:
        moved[-1] = last
        for k in range(len(moved) - 2, -1, -1):
            moved[k] = min(moved[k], moved[k + 1] - gap)
    result = [0.0] * len(places)
    for k, i in enumerate(order):
        result[i] = moved[k]
    return result
