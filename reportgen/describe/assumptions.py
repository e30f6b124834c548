"""Fill what the house file leaves out, openly: each filled value is an Assumption with its range, source and question."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from importlib import resources

import yaml

from reportgen.describe.models import House


@dataclass(frozen=True)
class Assumption:
    """One fact that was not said. `low` and `high` are values with which the chain is run again (None: no number line)."""

    path: str                  # "losses.dirt_percent"; "roof.*.shade_percent" stands for all of `paths`
    paths: tuple[str, ...]     # the places in the house that were filled
    label: str
    value: object
    low: object | None
    high: object | None
    unit: str
    source: str
    seen_on: str
    ask: str                   # how to find out; "" where nobody can
    remark: str = ""           # why nothing can be found out
    follows_size: bool = False # assumed anew where the array's size or price is another


@cache
def _table() -> tuple[dict, ...]:
    text = (resources.files("reportgen") / "tables" / "assumptions.yaml").read_text(encoding="utf-8")
    return tuple(yaml.load(text, Loader=getattr(yaml, "CSafeLoader", yaml.SafeLoader)))


def complete(house: House) -> tuple[House, tuple[Assumption, ...]]:
    """The house with every row of tables/assumptions.yaml filled where it was None, and what was filled.

    Array size, inverter size and inverter price depend on the sun or on the size: `sizing` fills those.
    """
    made = []
    for row in _table():
        if row.get("where", "anywhere") not in ("anywhere", "US" if house.place.in_us else "elsewhere"):
            continue
        if not row.get("from_latitude", 0) <= abs(house.place.latitude) < row.get("to_latitude", 91):
            continue
        if "unless" in row and _get(house, row["unless"]) is not None:
            continue
        if "needs" in row and _get(house, row["needs"]) is None:
            continue
        empty = tuple(p for p in _expand(house, row["path"]) if _get(house, p) is None)
        if not empty:
            continue
        value = row["value"]
        if row["path"] == "roof.*.shade_percent":
            house = _fill(house, empty, [float(value)] * 12)
        else:
            house = _fill(house, empty, value)
        unit = row["unit"]
        if unit.startswith("USD") and house.money.currency not in (None, "USD"):
            unit = house.money.currency + unit[3:]
        made.append(Assumption(row["path"], empty, row["label"], value, row.get("low"), row.get("high"), unit,
                               row["source"], str(row["seen_on"]), row["ask"], row.get("remark", "")))
    return house, tuple(made)


def with_assumption(house: House, assumption: Assumption, value) -> House:
    """The house with this one assumption set to another value."""
    if assumption.path == "roof.*.shade_percent":
        value = [float(value)] * 12
    return _fill(house, assumption.paths, value)


def _fill(house: House, paths, value) -> House:
    for path in paths:
        house = house.replaced(path, value)
    return house


def _expand(house: House, path: str) -> list[str]:
    if path.startswith("roof.*."):
        return [f"roof.{i}.{path[7:]}" for i in range(len(house.roof))]
    return [path]


def _get(node, path: str):
    for key in path.split("."):
        node = node[int(key)] if isinstance(node, list) else getattr(node, key)
    return node


def row_for(path: str, in_us: bool) -> dict:
    """The row of the table for this path and country: value, low, high, unit, source, seen_on, ask."""
    return next(row for row in _table() if row["path"] == path
                and row.get("where", "anywhere") in ("anywhere", "US" if in_us else "elsewhere"))
