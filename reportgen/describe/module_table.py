"""The generic modules of tables/modules.csv: typical data-sheet numbers for where no data sheet is at hand."""

from __future__ import annotations

import csv
from dataclasses import dataclass, fields
from functools import cache
from importlib import resources

DEFAULT = "mono 400 W"
_TEXT = ("name", "source", "seen_on")


@dataclass(frozen=True)
class GenericModule:
    """One row; units in the names, as in the house file."""

    name: str
    power_w: float
    voc_v: float
    isc_a: float
    vmp_v: float
    imp_a: float
    power_coefficient_percent_per_c: float
    voc_coefficient_percent_per_c: float
    noct_c: float
    long_mm: float
    short_mm: float
    weight_kg: float
    max_fuse_a: float
    max_system_v: float
    source: str
    seen_on: str


@cache
def generic_modules() -> dict[str, GenericModule]:
    """All rows by name, in the table's order."""
    lines = (resources.files("reportgen") / "tables" / "modules.csv").read_text(encoding="utf-8").splitlines()
    rows = (GenericModule(**{f.name: row[f.name] if f.name in _TEXT else float(row[f.name])
                             for f in fields(GenericModule)}) for row in csv.DictReader(lines))
    return {row.name: row for row in rows}


def generic_module(name: str | None, power_w: float | None) -> GenericModule:
    """The row called `name`; without a name the one nearest in power, and without a power the default."""
    rows = generic_modules()
    if name is not None:
        return rows[name]
    if power_w is None:
        return rows[DEFAULT]
    return min(rows.values(), key=lambda row: (abs(row.power_w - power_w), row.name != DEFAULT))
