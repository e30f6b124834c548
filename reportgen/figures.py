"""Figure: a number that a reader may question, with its unit, range, formula and sources; and the one formatter.

Calculations make Figures; the page shows `text()` and `span_text()`, the workings show the rest.
Nothing else in the project turns a result into digits.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

# Currency signs that every reader of that currency knows; any other currency prints its ISO 4217 code.
CURRENCY_SIGNS = {"USD": "$", "EUR": "€", "GBP": "£", "JPY": "¥"}
MINUS = "−"
SPACE = " "  # between number and unit; the page ties the two so that no line breaks there


@dataclass(frozen=True, slots=True)
class Figure:
    """One result.

    key: dotted name, unique in a report, e.g. ``production.year_kwh``.
    unit: a trade unit (``kWh``, ``kW``, ``A``, ``%``, ``years``, ``kWh/kW``, ``kWh/m²``, ``°C``, ``V``, ``ft``) or
        money as an ISO 4217 code, alone (``USD``) or as a rate (``USD/kWh``, ``USD/W``, ``USD/year``).
    value, low, high: the middle and its range; None where the tool cannot know.
    formula: the sum with its inputs put in, as text, e.g. ``(1.2 × 200 A − 200 A) / 1.25 = 32.0 A``.
    sources: where inputs and method come from.
    range_is: what low and high mean, e.g. ``nine years in ten give more than the low end``.
    """

    key: str
    label: str
    value: float | None
    unit: str
    low: float | None = None
    high: float | None = None
    formula: str = ""
    sources: tuple[str, ...] = ()
    range_is: str = ""

    def text(self) -> str:
        """The middle, rounded, with its unit."""
        return show(self.value, self.unit)

    def span_text(self) -> str:
        """'6,100 to 7,900 kWh', or '' without a range."""
        if self.low is None or self.high is None:
            return ""
        return span(self.low, self.high, self.unit)


def is_money(unit: str) -> bool:
    head = unit.partition("/")[0]
    return len(head) == 3 and head.isalpha() and head.isupper()


def _half_up(value: float, digits: int) -> float:
    """Round half away from zero; `digits` may be negative (tens, hundreds)."""
    scale = 10.0 ** digits
    return math.copysign(math.floor(abs(value) * scale + 0.5 + 1e-9) / scale, value)


def digits_for(value: float, unit: str) -> int:
    """Decimal places that this quantity deserves (negative: round to tens or hundreds)."""
    size = abs(value)
    if is_money(unit):
        rate = "/" in unit and unit.split("/")[1] in ("kWh", "W", "kW", "A")
        if rate:
            return next((d for d in (2, 3) if abs(size - round(size, d)) < 5e-5), 4) if unit.endswith("/kWh") and size < 1 else 2
        return -2 if size >= 10_000 else -1 if size >= 1_000 else 0 if size >= 20 else 2
    if unit in ("kWh", "kWh/year"):
        return -2 if size >= 10_000 else -1 if size >= 1_000 else 0
    if unit in ("years", "modules", "V", "W", "W/m²", "kWh/m²", "kWh/kW", "ft²", "m²", "VA", "days", "hours", "circuits", "year", "g of CO₂ per kWh"):
        return 0
    if unit in ("A", "°", "°C", "K", "ft", "m", "in"):
        return 0 if abs(size - round(size)) < 0.05 else 1
    if unit == "kW":
        return 1 if size >= 10 else 2 if size else 0
    if unit == "%":
        return 0 if size >= 10 or abs(size - round(size)) < 0.05 else 1
    return 2


def show_number(value: float, digits: int) -> str:
    rounded = _half_up(value, digits)
    text = f"{abs(rounded):,.{max(digits, 0)}f}"
    return (MINUS if rounded < 0 else "") + text


def show(value: float | None, unit: str, digits: int | None = None) -> str:
    """'7,120 kWh', '$18,000', '−$450', '12 %', '40 A', '−€1,900 a year'; 'not known' for None."""
    if value is None:
        return "not known"
    places = digits_for(value, unit) if digits is None else digits
    if is_money(unit):
        return _money(value, unit, places)
    return _with_unit(show_number(value, places), unit)


def _money(value: float, unit: str, places: int) -> str:
    code, _, per = unit.partition("/")
    number = show_number(abs(value), places)
    sign = MINUS if _half_up(value, places) < 0 else ""
    mark = CURRENCY_SIGNS.get(code)
    text = f"{sign}{mark}{number}" if mark else f"{sign}{code}{SPACE}{number}"
    if not per:
        return text
    return text + (f" a {per}" if per in ("year", "month") else f" per {per}")


def _with_unit(number: str, unit: str) -> str:
    if not unit or unit == "1":
        return number
    if unit == "year":   # one of many: "year 18"
        return f"year{SPACE}{number}"
    return number + ("" if unit == "°" else SPACE) + unit


def show_input(value, unit: str) -> str:
    """An input as it was written, not rounded as a result would be: '2.15 %', '15 years', '$3.25 per W', 'close roof'."""
    if not isinstance(value, (int, float)):
        return str(value)
    if is_money(unit):
        return show(float(value), unit)
    return show(float(value), unit, next((d for d in range(4) if abs(value - round(value, d)) < 1e-9), 2))


def span(low: float, high: float, unit: str) -> str:
    """'6,100 to 7,900 kWh'. Both ends are rounded alike, as coarsely as the larger one deserves."""
    places = digits_for(max(abs(low), abs(high)), unit)
    if is_money(unit):
        if unit.endswith("/kWh"):     # the shorter end may hide a digit that the other needs
            places = max(digits_for(low, unit), digits_for(high, unit))
        code, _, per = unit.partition("/")
        tail = "" if not per else f" a {per}" if per in ("year", "month") else f" per {per}"
        left, right = _money(low, code, places), _money(high, code, places)
        return f"{left} to {right}{tail}" if left != right else right + tail
    left, right = show_number(low, places), show_number(high, places)
    if left == right:
        return _with_unit(left, unit)
    if unit == "year":
        return f"{_with_unit(left, unit)} to {right}"
    return f"{left} to {_with_unit(right, unit)}"


def years_span(low: float | None, high: float | None, horizon: int) -> str:
    """Whole years, never a decimal: '11 to 16 years', 'from 14 years to not within 25'."""
    if low is None and high is None:
        return f"not within {horizon} years"
    ends = sorted(math.inf if v is None else math.ceil(v - 1e-9) for v in (low, high))
    if ends[1] == math.inf:
        return f"from {ends[0]:.0f} years to not within {horizon}"
    if ends[0] == ends[1]:
        return f"about {ends[0]:.0f} year" + ("" if ends[0] == 1 else "s")
    return f"{ends[0]:.0f} to {ends[1]:.0f} years"


def significant(value: float, digits: int = 6) -> float:
    """Six significant digits for JSON and CSV, so that machines agree."""
    if value == 0 or not math.isfinite(value):
        return value
    return float(f"{value:.{digits}g}")
