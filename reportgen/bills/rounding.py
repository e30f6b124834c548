"""Money to the cent and kWh to a tenth, half upwards, in decimal arithmetic; and how both are printed.

A line charges the kWh that it prints, so that each line can be checked by hand: kWh to a tenth, kW to a watt.
"""

from __future__ import annotations

from decimal import ROUND_HALF_UP, Decimal

CENT = Decimal("0.01")
TENTH = Decimal("0.1")
WATT = Decimal("0.001")
NOTHING = Decimal("0.00")


def decimal(value: float) -> Decimal:
    """A number as it is written in the tariff: 0.0475 as 0.0475, not as the binary fraction beside it."""
    return value if isinstance(value, Decimal) else Decimal(str(value))


def cents(amount: Decimal) -> Decimal:
    """Half-up to the cent: 26.125 is 26.13."""
    return amount.quantize(CENT, ROUND_HALF_UP)


def line_amount(count: Decimal, price: float) -> Decimal:
    """kWh (or kW, or days) × price, rounded half-up to the cent."""
    return cents(count * decimal(price))


def tenth(kwh: float) -> Decimal:
    """kWh as a line prints and charges them."""
    return measured(kwh, TENTH)


def measured(value: float, step: Decimal) -> Decimal:
    """A sum of hours rounded half-up to a step; the dust of adding binary fractions is taken off first."""
    return Decimal(repr(round(float(value), 6))).quantize(step, ROUND_HALF_UP)


def count_text(count: Decimal) -> str:
    """1,400 or 412.3 or 5.25."""
    return f"{count:,.0f}" if count == count.to_integral_value() else f"{count.normalize():,f}"


def price_text(price: float) -> str:
    """At least two decimals: 0.30, 0.0475."""
    return f"{price:.2f}" if round(price, 2) == price else f"{decimal(price):f}"
