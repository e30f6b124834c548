"""Safety equipment and labels to expect on a rooftop array, with the clause of the adopted edition.

Statements to print, no sums: what an electrician will plan and an inspector will look for. Source: tables/code_safety.yaml
with tables/code_clauses_safety.csv.
"""

from __future__ import annotations

from functools import cache
from importlib import resources

import yaml

from reportgen.describe.models import House
from reportgen.interconnection.code_tables import cite, editions, has_clause
from reportgen.interconnection.result import Expectation
from reportgen.interconnection.wording import listed

MODULE_LEVEL = "module-level"
HAS_ONE = "The house file says that the house already has one; expect its marking to be checked. "
HAS_NONE = "The house file says that the house has none yet. "
LOOK_OUTDOORS = "Nobody has said whether the house has one: look near the meter and take a photo. "
DWELLINGS = (None, "one family", "two families")


@cache
def _table() -> dict:
    return yaml.safe_load((resources.files("reportgen") / "tables" / "code_safety.yaml").read_text(encoding="utf-8"))


def covered_editions(house: House) -> tuple[int, ...]:
    """The editions whose clauses are printed: the adopted one, every tabulated one where none is named, else none."""
    edition = house.electrical.edition
    if not house.place.in_us:
        return ()
    return editions() if edition is None else (edition,) if edition in editions() else ()


def cite_in(rule: str, held: tuple[int, ...]) -> str:
    """The clause in each of `held` editions that has the rule, each with its edition; '' where none has."""
    return "; ".join(cite(rule, edition) for edition in held if has_clause(rule, edition))


def expected_equipment(house: House) -> tuple[Expectation, ...]:
    """Equipment first, then labels, in the table's order; () outside the United States and for an edition not tabulated."""
    held = covered_editions(house)
    if not held:
        return ()
    module_level = house.array.conversion == MODULE_LEVEL
    conversion = MODULE_LEVEL if module_level else "string inverter"
    found = [_expectation(row, held, house, module_level) for row in _table()["expectations"]
             if conversion in row["on"] and cite_in(row["key"], held) and _concerns(row, house)]
    if module_level:
        found.append(_left_out(held))
    return tuple(found)


def _concerns(row: dict, house: House) -> bool:
    return row["key"] != "emergency_disconnect" or house.building.kind in DWELLINGS


def _expectation(row: dict, held: tuple[int, ...], house: House, module_level: bool) -> Expectation:
    text = row.get("text_module_level", row["text"]) if module_level else row["text"]
    more = row.get("in_editions")
    if more and set(more["editions"]) & set(held):
        who = "This edition" if len(held) == 1 else f"Each of the editions {listed([str(e) for e in more['editions']])}"
        text = f"{text} {who} {more['text']}"
    if row["key"] == "emergency_disconnect":
        has = house.electrical.emergency_disconnect_outdoors
        text = (LOOK_OUTDOORS if has is None else HAS_ONE if has else HAS_NONE) + text
    return Expectation(row["name"], text, cite_in(row["key"], held), row["kind"], _caution(row, held))


def _caution(row: dict, held: tuple[int, ...]) -> str:
    said = row.get("caution", {})
    parts = list(dict.fromkeys(said[edition] for edition in held if edition in said))
    if row["checked"] == "one public source":
        parts.append("Read in one public source only.")
    return " ".join(parts)


def _left_out(held: tuple[int, ...]) -> Expectation:
    row = _table()["left_out_module_level"]
    left = [other["key"] for other in _table()["expectations"] if MODULE_LEVEL not in other["on"]]
    return Expectation(row["name"], row["text"], "; ".join(cite_in(key, held) for key in left), "equipment", row["caution"])
