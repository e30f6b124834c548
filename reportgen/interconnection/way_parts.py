"""What all ways to connect share: the question, changed houses, and the sizes a way allows in A, kW and modules."""

from __future__ import annotations

import math
from collections.abc import Collection
from dataclasses import dataclass, replace

from reportgen.describe.models import House
from reportgen.figures import Figure, show
from reportgen.interconnection.code_tables import cite, has_clause
from reportgen.interconnection.path import PathFound, check_path
from reportgen.interconnection.prices import price_of
from reportgen.interconnection.result import CANNOT_SAY, Check, PanelFound, ServiceLoad, Way
from reportgen.interconnection.source_circuit import SourceCircuit
from reportgen.interconnection.wording import amps, listed
from reportgen.sizing import DC_TO_AC, module_total

INSPECTOR = "the inspector and a licensed electrician"
NAMES = {
    "sum_rule": "Breaker on the busbar, sum rule",
    "rule_120": "Breaker on the busbar, 120 % rule",
    "all_breakers": "Breaker on the busbar, rule on the sum of all breakers",
    "centre_fed": "Breaker on the busbar, rule for panels fed in their middle",
    "feed_through": "Connection on feed-through wires",
    "move_breaker": "Breaker moved to the far end of the busbar",
    "smaller_main": "Smaller main breaker",
    "supply_side": "Connection ahead of the main breaker (supply side)",
    "power_control": "Listed power control system",
    "larger_panel": "Panel with a larger busbar",
    "smaller_inverter": "Smaller inverter",
    "split_bus": "Breaker on the lower part of the split busbar",
}


@dataclass(frozen=True)
class Question:
    """A house, the new source's circuit, and what is known of the load on the service."""

    house: House
    circuit: SourceCircuit
    load: ServiceLoad | None
    assumed: Collection[str] = ()
    roof_holds: int | None = None     # modules that all faces hold by their drawn size; None where a size is missing

    @property
    def new_a(self) -> float | None:
        return self.circuit.current_a

    @property
    def edition(self) -> int:
        return self.house.electrical.edition

    def path(self, house: House | None = None, new_a: float | None = None, rule: str | None = None) -> PathFound:
        """The path of this house, or of a changed one, with these inverters or with others."""
        return check_path(house or self.house, self.new_a if new_a is None else new_a, rule, self.assumed)


def with_panel(house: House, index: int, **facts) -> House:
    """The house with facts of one panel changed; `index` counts from the array."""
    prefix = "electrical" if house.electrical.panels is None else f"electrical.panels.{index}"
    for key, value in facts.items():
        house = house.replaced(f"{prefix}.{key}", value)
    return house


def panel_label(house: House, index: int) -> str:
    """'the main panel', 'the garage subpanel': a panel's name inside a sentence."""
    name = house.electrical.chain[index].name
    return name if name.lower().startswith("the ") else f"the {name}"


def way_from_path(question: Question, key: str, path: PathFound, *, reason: str = "", verdict: str = "", clause: str = "",
                  conditions: tuple[str, ...] = (), photos: tuple[str, ...] = (), **words) -> Way:
    """A way decided by the busbars and feeders of `path`, the house's own or that of a changed house."""
    verdict = verdict or path.verdict
    proof = (path.caps.formula or path.caps.check.sentence) if path.caps is not None else ""
    margin = path.margin if verdict != CANNOT_SAY or path.decides is None else path.decides.margin_a   # never that of another busbar
    return make_way(question, key, verdict, reason or path.reason, clause or path.clause, margin=margin,
                    largest_a=path.largest_a, proof=proof, checks=path.checks,
                    conditions=once(path.conditions + conditions),
                    photos=once((path.photos if verdict == CANNOT_SAY else ()) + photos), panels=path.panels, **words)


def make_way(question: Question, key: str, verdict: str, reason: str, clause: str, *, change: str,
             priced: tuple[str, ...], changes_nothing: bool = False, decides: str = INSPECTOR, margin: Figure | None = None,
             largest_a: float | None = None, proof: str = "", checks: tuple[Check, ...] = (),
             conditions: tuple[str, ...] = (), photos: tuple[str, ...] = (),
             panels: tuple[PanelFound, ...] = (), new_main_a: float | None = None) -> Way:
    """A Way with its Figures named after it. `priced`: keys under electrical.prices that it needs together."""
    if margin is not None:
        margin = replace(margin, key=f"interconnection.way_{key}_margin_a", label=f"Left by: {NAMES[key]}")
    largest = _sizes(question, key, largest_a, proof, clause)
    return Way(key, NAMES[key], verdict, reason, clause, margin, change, changes_nothing, decides, priced[0],
               price_of(question.house, *priced), *largest, checks, conditions, photos, panels=panels,
               new_main_a=new_main_a)


def _sizes(question: Question, key: str, largest_a: float | None, proof: str, clause: str) -> tuple[Figure | None, ...]:
    """The largest array that a way allows: amperes, kW AC, modules."""
    if largest_a is None:
        return None, None, None
    house, stem, name = question.house, f"interconnection.way_{key}_largest", NAMES[key]
    volts = house.electrical.service_v or 240
    kilowatts = largest_a * volts / 1000.0
    sources = (clause,) if clause else ()
    amperes = Figure(f"{stem}_a", f"Largest output current: {name}", largest_a, "A", formula=proof, sources=sources)
    power = Figure(f"{stem}_kw", f"Largest inverters: {name}", kilowatts, "kW",
                   formula=f"{amps(largest_a, 2)} × {volts} V / 1000 = {show(kilowatts, 'kW', 2)}", sources=sources)
    return amperes, power, _modules(question, f"{stem}_modules", f"Most modules: {name}", largest_a, kilowatts)


def _modules(question: Question, key: str, label: str, largest_a: float, kilowatts: float) -> Figure | None:
    """Modules behind that much AC, in the proportion this house has; whole, rounded down."""
    house, array = question.house, question.house.array
    counted = (array.module_count is not None or array.array_kw is not None
               or any(face.module_count is not None for face in house.roof))
    if question.new_a and counted and (array.module_count is not None or array.module_w is not None):
        count = module_total(house)
        most = math.floor(largest_a * count / question.new_a + 1e-9)
        shown, roof = _on_the_roof(question, most, count)
        formula = f"whole part of {amps(largest_a, 2)} × {count} modules / {amps(question.new_a, 2)} = {most}; {roof}"
        return Figure(key, label, float(shown), "modules", formula=formula,
                      sources=("modules for each ampere of inverter as in this house",))
    if array.module_w is None:
        return None
    most = math.floor(kilowatts * 1000.0 * DC_TO_AC / array.module_w + 1e-9)
    shown, roof = _on_the_roof(question, most, 0)
    formula = f"whole part of {show(kilowatts, 'kW', 2)} × 1000 × {DC_TO_AC} / {array.module_w:g} W = {most}; {roof}"
    return Figure(key, label, float(shown), "modules", formula=formula,
                  sources=(f"array power {DC_TO_AC} × inverter power: common practice, no source",))


def _on_the_roof(question: Question, most: int, planned: int) -> tuple[int, str]:
    """No more modules than the roof holds, or than are planned already; with the words for the formula."""
    holds = question.roof_holds
    if holds is None:
        return most, "by the electrical side alone: the roof's room is another matter"
    if holds < planned:
        return min(most, planned), f"the faces as drawn hold {holds}, fewer than are planned"
    return min(most, holds), f"the roof holds {holds}" + (", so no more are shown" if holds < most else "")


def replaced_service(house: House, edition: int) -> tuple[str, ...]:
    """What work on the service's main can bring with it, by edition, and whether the price holds it."""
    parts = []
    if has_clause("surge_protector", edition):
        parts.append(f"a surge protector ({cite('surge_protector', edition)})")
    if has_clause("emergency_outdoors", edition) and house.electrical.emergency_disconnect_outdoors is not True:
        parts.append(f"an emergency disconnect outdoors ({cite('emergency_outdoors', edition)})")
    if not parts:
        return ()
    said = (f"Work on the service's main can bring {listed(parts)} with it. Ask the inspector whether it does here, and the electrician "
            "whether the price holds it.")
    return (said,)


def once(texts: tuple[str, ...]) -> tuple[str, ...]:
    return tuple(dict.fromkeys(texts))


def joined(parts: list[str]) -> str:
    """'a', 'a and b'; 'nothing' for none."""
    return listed(parts) if parts else "nothing"
