"""Which wires carry the array's current: the run from the inverter, and every feeder from there to the meter."""

from __future__ import annotations

from dataclasses import dataclass, replace

from reportgen.describe.conductor import Conductor
from reportgen.describe.models import House
from reportgen.interconnection.code_tables import factor
from reportgen.interconnection.existing_sources import existing_sources
from reportgen.interconnection.source_circuit import SourceCircuit
from reportgen.interconnection.wording import amps


@dataclass(frozen=True)
class Stretch:
    key: str                   # "run", "feeder_1": unique in a house
    where: str                 # "wires from the inverter", "feeder of the garage subpanel"
    wire: Conductor            # nothing in it where nobody described the wires
    current_a: float | None    # continuous output of all sources that it carries [A]
    current_text: str          # the same as a sum: "(32 A + 12 A)"
    device_a: float | None     # breaker or fuses that protect it [A]
    is_feeder: bool
    conditions: tuple[str, ...] = ()
    whole_load: bool = False   # whether it carries one dwelling's whole load, so that the 83 % rule holds


def stretches(house: House, circuit: SourceCircuit) -> tuple[Stretch, ...]:
    """The run first, then the feeders, array to meter. A pipe on the roof lies in the place's hottest outdoor air where no
    other is written."""
    return tuple(_with_outdoor_air(stretch, house.place.design_high_c) for stretch in (_run(house, circuit), *_feeders(house, circuit)))


def _with_outdoor_air(stretch: Stretch, design_high_c: float | None) -> Stretch:
    wire = stretch.wire
    if design_high_c is None or wire.over_roof_mm is None or wire.hottest_air_c is not None:
        return stretch
    said = (f"The air is the place's hottest of a usual summer, {design_high_c:g} °C; where the wires also pass an attic, its air is "
            "hotter and counts instead.")
    return replace(stretch, wire=wire.model_copy(update={"hottest_air_c": design_high_c}), conditions=(*stretch.conditions, said))


def branch_units(circuit: SourceCircuit) -> tuple[int, float] | None:
    """Module-level units on the fullest branch, and the current of one [A]; None where the branches are not known."""
    found = {figure.key: figure.value for figure in circuit.branches}
    unit_a, branch_a = (found.get(f"interconnection.{key}") for key in ("unit_current_a", "branch_current_a"))
    return None if not unit_a or not branch_a else (round(branch_a / unit_a), unit_a)


def _run(house: House, circuit: SourceCircuit) -> Stretch:
    wire = house.electrical.run or Conductor()
    if house.array.conversion == "module-level":
        branch = branch_units(circuit)
        current_a = None if branch is None else branch[0] * branch[1]
        return Stretch("run", "wires of one branch", wire, current_a, "" if current_a is None else amps(current_a, 2),
                       factor("branch_breaker"), False)
    several = sum(i.count for i in house.array.inverters or ()) > 1
    conditions = ("The wires were taken to carry all inverters together; wires from one inverter alone carry less.",) if several else ()
    return Stretch("run", f"wires from the inverter{'s' if several else ''}", wire, circuit.current_a,
                   "" if circuit.current_a is None else amps(circuit.current_a, 2), circuit.device.value, False, conditions)


def _feeders(house: House, circuit: SourceCircuit) -> tuple[Stretch, ...]:
    chain, existing, found = house.electrical.chain, [], []
    for number, panel in enumerate(chain[:-1], 1):
        existing += [source.output_a for source in existing_sources(panel.sources)[0] if source.counts]
        wire, current_a, text = panel.feeder or Conductor(), None, ""
        if circuit.current_a is not None:
            parts = (circuit.current_a, *existing)
            current_a, text = sum(parts), " + ".join(amps(part, 2) for part in parts)
        found.append(Stretch(f"feeder_{number}", f"feeder of the {panel.name}", wire, current_a,
                             f"({text})" if existing and text else text,
                             panel.feeder.breaker_a if panel.feeder else panel.protected_by_a, True,
                             whole_load=carries_whole_load(house, number)))
    return tuple(found)


def carries_whole_load(house: House, number: int) -> bool:
    """Whether feeder `number` carries one dwelling's whole load: only where the panel nearest the meter has no other load."""
    chain = house.electrical.chain
    return (number == len(chain) - 1 and chain[-1].load_breakers_a == []
            and house.building.kind in (None, "one family", "two families"))
