"""What `check` says about one house: its problems, or what was read, what is assumed and what to find out next."""

from __future__ import annotations

import re

from reportgen.describe import expected
from reportgen.describe.assumptions import Assumption
from reportgen.describe.load import Described
from reportgen.describe.models import House
from reportgen.figures import show_input

LONGEST_SOURCE = 90
# Not assumed where missing: the report then proposes or leaves open. Asked for in this order.
NOT_ASSUMED = ("electrical.busbar_a", "electrical.main_breaker_a", "electrical.edition", "building.roof_covering",
               "building.roof_years_left", "place.design_low_c", "finish_day")


def explain(described: Described) -> list[str]:
    """Plain lines; an empty line parts the sections."""
    if described.house is None:
        return [problem.text() for problem in described.problems]
    made = described.assumptions
    facts = facts_read(described)
    lines = [f"{facts} {'fact' if facts == 1 else 'facts'} read, {len(made)} assumed."]
    if made:
        lines += ["", "Assumed, with the range that the report tries and the source:"]
        lines += [_line(a) for a in made]
    lines += _to_come(described.house)
    missing = [f"- {path}: {_sentence(path)}" for path in NOT_ASSUMED if _unsaid_here(described, path)]
    if missing:
        lines += ["", "Not said, and not assumed:", *missing]
    asks = list(dict.fromkeys(a.ask for a in made if a.ask))
    if asks:
        lines += ["", "What to find out next:", *(f"- {ask}" for ask in asks)]
    return lines


def facts_read(described: Described) -> int:
    """Values said in the house file, batch.yaml and the tariff; twelve months count as one."""
    paths = set(described.where)
    sections = {path.rpartition(".")[0] for path in paths}
    return len({re.sub(r"\.\d+$", "", path) for path in paths if path not in sections})


def _line(a: Assumption) -> str:
    value = show_input(a.value, a.unit)
    if a.low is None or a.high is None:
        reach = ""
    elif isinstance(a.value, (int, float)):
        low, high = sorted((a.low, a.high))
        reach = f" (range {show_input(low, a.unit)} to {show_input(high, a.unit)})"
    else:
        other = next(end for end in (a.low, a.high) if end != a.value)
        reach = f" (or {other})"
    return f"- {a.label}: {value}{reach}; {_short(a.source)}"


def _short(source: str) -> str:
    head = source.partition(";")[0].strip()
    return head if len(head) <= LONGEST_SOURCE else head[:LONGEST_SOURCE].rsplit(" ", 1)[0].rstrip(",") + " …"


def _to_come(house: House) -> list[str]:
    """What the report assumes once it knows the sun or the size."""
    array, money, lines = house.array, house.money, []
    if not (array.array_kw or array.module_count or any(face.module_count is not None for face in house.roof)):
        lines.append("- Size of the array: not said; as many modules as cover the year's use, as far as the faces hold them")
    if array.inverter_kw is None and array.inverter_a is None and array.inverters is None and array.unit_limit_w is None:
        lines.append("- AC limit of the inverter: follows from the size of the array; common practice, no source")
    if money.inverter_replacement is None:
        lines.append("- Price of a new inverter: a share of the installed price; common practice, no source")
    if money.upkeep_per_kw_year is None and not house.place.in_us:
        lines.append("- Upkeep: a share of the installed price a year; common practice, no source")
    return lines


def _unsaid_here(described: Described, path: str) -> bool:
    node = described.house
    if path.startswith("electrical.") and not node.place.in_us:
        return False   # the rules for the panel are of the United States
    for key in path.split("."):
        node = getattr(node, key)
    return node is None


def _sentence(path: str) -> str:
    return expected.node_at(tuple(path.split(".")))["description"]
