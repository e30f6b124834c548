"""Fill what the house file leaves out, openly: each filled value is an Assumption with its range, source and question."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from importlib import resources

import yaml

from reportgen.describe.models import House
from reportgen.describe.module_table import generic_module
from reportgen.describe.places_known import in_europe
from reportgen.describe.shade import TREES

MONTHLY = ("roof.*.shade_percent", "losses.dirt_percent", "losses.snow_percent")   # one assumed number for all months


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
    if house.array.module is not None and house.array.module_w is None:   # chosen by name, so not assumed
        house = house.replaced("array.module_w", generic_module(house.array.module, None).power_w)
    for row in _table():
        if row.get("where", "anywhere") not in ("anywhere", "US" if house.place.in_us else "elsewhere",
                                                "Europe" if in_europe(house.place.country) else "anywhere"):
            continue
        if not row.get("from_latitude", 0) <= abs(house.place.latitude) < row.get("to_latitude", 91):
            continue
        if "unless" in row and _get(house, row["unless"]) is not None:
            continue
        if "needs" in row and _get(house, row["needs"]) is None:
            continue
        empty = tuple(p for p in _expand(house, row["path"]) if _get(house, p) is None and _applies(house, p, row))
        if not empty:
            continue
        value, source = _value_and_source(house, row)
        house = _fill(house, empty, _as_written(row["path"], value))
        unit = row["unit"]
        if unit.startswith("USD") and house.money.currency not in (None, "USD"):
            unit = house.money.currency + unit[3:]
        made.append(Assumption(row["path"], empty, row["label"], value, row.get("low"), row.get("high"), unit,
                               source, str(row["seen_on"]), row["ask"], row.get("remark", "")))
    return house, tuple(made)


def with_assumption(house: House, assumption: Assumption, value) -> House:
    """The house with this one assumption set to another value."""
    return _fill(house, assumption.paths, _as_written(assumption.path, value))


def _as_written(path: str, value):
    """The value in the form that the model holds."""
    return [float(value)] * 12 if path in MONTHLY else value


def _value_and_source(house: House, row: dict):
    """The row's, or for what a named generic module knows that module's."""
    key = {"array.module_noct_c": "noct_c",
           "array.power_coefficient_percent_per_c": "power_coefficient_percent_per_c"}.get(row["path"])
    if key is None or house.array.module is None:
        return row["value"], row["source"]
    module = generic_module(house.array.module, None)
    return getattr(module, key), f"generic module {module.name}: {module.source}"


def _fill(house: House, paths, value) -> House:
    for path in paths:
        house = house.replaced(path, value)
    return house


def _expand(house: House, path: str) -> list[str]:
    if path.startswith("roof.*."):
        return [f"roof.{i}.{path[7:]}" for i in range(len(house.roof))]
    if path.startswith("electrical.panels.*."):
        return [f"electrical.panels.{i}.{path[20:]}" for i in range(len(house.electrical.panels or ()))]
    if path.startswith("obstacles.*."):   # those of the whole house, and those of each face
        at = [f"obstacles.{i}" for i in range(len(house.obstacles))]
        at += [f"roof.{i}.obstacles.{j}" for i, face in enumerate(house.roof) for j in range(len(face.obstacles))]
        return [f"{place}.{path[12:]}" for place in at]
    return [path]


def _applies(house: House, path: str, row: dict) -> bool:
    """A row with `only` holds for some of the places of its path alone."""
    around = _get(house, path.rpartition(".")[0])
    match row.get("only"):
        case None:
            return True
        case "trees":
            return around.kind in TREES
        case "trees that shed":
            return around.kind == "tree"
        case "faces with horizon or obstacles":
            return bool(house.horizon or house.obstacles or around.horizon or around.obstacles)
    raise ValueError(f"tables/assumptions.yaml: no meaning for only: {row['only']}")


def _get(node, path: str):
    for key in path.split("."):
        node = node[int(key)] if isinstance(node, list) else getattr(node, key)
    return node


def row_for(path: str, in_us: bool) -> dict:
    """The row of the table for this path and country: value, low, high, unit, source, seen_on, ask."""
    return next(row for row in _table() if row["path"] == path
                and row.get("where", "anywhere") in ("anywhere", "US" if in_us else "elsewhere"))
