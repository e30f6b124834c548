"""Ratings as the electrical pictures write them."""

from __future__ import annotations

from reportgen.figures import show


def amps(value: float) -> str:
    """'40 A', '36.5 A', '18.13 A': as many decimals as it has, two at most."""
    digits = next((d for d in (0, 1) if abs(value - round(value, d)) < 1e-9), 2)
    return show(float(value), "A", digits)


def rated(value: float | None) -> str:
    """'40 A'; 'rating not known' where there is none. Nought is how an unknown breaker is handed on."""
    return amps(value) if value else "rating not known"
