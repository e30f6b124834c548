"""The parts a year of bills is made of, summed from its lines: fixed, energy by window, demand, taxes, credit."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal

from reportgen.bills.result import BillLine, Bills, YearBill
from reportgen.bills.rounding import NOTHING

MOST_WINDOWS = 4       # more than that no picture and no table can hold beside one another
OTHER_HOURS = "other hours"
_ORDER = ("fixed", "array", "energy", "demand", "minimum", "tax", "credit")
_LABELS = {"fixed": "fixed", "array": "on the array", "demand": "demand", "minimum": "minimum", "tax": "taxes",
           "credit": "credit for sun sent out"}


@dataclass(frozen=True)
class Part:
    kind: str                        # as BillLine.kind
    label: str                       # "energy, on-peak"
    before: tuple[Decimal, ...]      # 12; all parts of a month sum to its bill
    after: tuple[Decimal, ...]


@dataclass(frozen=True)
class PartsTable:
    """A year's bills, month by month, in the parts that occur in it."""
    side: str                                        # "before", "after"
    labels: tuple[str, ...]
    months: tuple[tuple[tuple[Decimal, ...], Decimal], ...]     # 12: the parts, and what is due
    sums: tuple[Decimal, ...]
    total: Decimal


def bill_parts(bills: Bills) -> tuple[Part, ...]:
    """Parts in the order of a bill, energy by window in the order in which the bills name them; none that is zero throughout."""
    lines = [line for year in (bills.before, bills.after) for month in year.months for line in month.lines]
    kept = _windows_kept(lines)
    several = len({line.window for line in lines if line.kind == "energy"}) > 1
    keys = sorted(dict.fromkeys(_key(line, kept) for line in lines), key=lambda key: _ORDER.index(key[0]))
    made = [Part(kind, _label(kind, window, several), *(_by_month(year, (kind, window), kept) for year in (bills.before, bills.after)))
            for kind, window in keys]
    return tuple(part for part in made if any((*part.before, *part.after)))


def parts_tables(bills: Bills, parts: tuple[Part, ...]) -> tuple[PartsTable, PartsTable]:
    """Before and after."""
    return tuple(_table(side, getattr(bills, side), [part for part in parts if any(getattr(part, side))]) for side in ("before", "after"))


def _table(side: str, year: YearBill, parts: list[Part]) -> PartsTable:
    amounts = [getattr(part, side) for part in parts]
    return PartsTable(side, tuple(part.label for part in parts),
                      tuple((tuple(by_month[i] for by_month in amounts), month.total) for i, month in enumerate(year.months)),
                      tuple(sum(by_month, NOTHING) for by_month in amounts), year.total)


def kind_text(line: BillLine) -> str:
    """The kind of a line for a reader: "energy, on-peak"."""
    return _label(line.kind, line.window if line.kind == "energy" else "", False)


def _windows_kept(lines: Iterable[BillLine]) -> tuple[str, ...]:
    """The windows shown by name: all, or where there are too many those with the most money."""
    worth: dict[str, Decimal] = {}
    for line in lines:
        if line.kind == "energy" and line.window:
            worth[line.window] = worth.get(line.window, NOTHING) + abs(line.amount)
    if len(worth) <= MOST_WINDOWS:
        return tuple(worth)
    return tuple(sorted(worth, key=lambda name: -worth[name])[:MOST_WINDOWS - 1])


def _key(line: BillLine, kept: tuple[str, ...]) -> tuple[str, str]:
    if line.kind != "energy" or not line.window:
        return line.kind, ""
    return line.kind, line.window if line.window in kept else OTHER_HOURS


def _label(kind: str, window: str, several: bool) -> str:
    if kind != "energy":
        return _LABELS[kind]
    return f"energy, {window}" if window else "energy at all hours" if several else "energy"


def _by_month(year: YearBill, key: tuple[str, str], kept: tuple[str, ...]) -> tuple[Decimal, ...]:
    return tuple(sum((line.amount for line in month.lines if _key(line, kept) == key), NOTHING) for month in year.months)
