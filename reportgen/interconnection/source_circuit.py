"""The new source's own circuit: its current, its breaker, and the branches of module-level units."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

from reportgen.describe.equipment import Inverter
from reportgen.describe.models import House
from reportgen.figures import Figure, show
from reportgen.interconnection.code_tables import cite, factor, next_standard_a
from reportgen.interconnection.wording import amps, listed
from reportgen.sizing import module_total


@dataclass(frozen=True)
class SourceCircuit:
    current_a: float | None       # continuous output of all new inverters together [A]
    current: Figure
    device: Figure                # breaker [A]
    branches: tuple[Figure, ...]  # module-level units only: unit current, units a branch, branches, fullest branch
    each: tuple[Figure, ...] = ()   # several inverters only: the breaker of one of each kind [A]


def source_circuit(house: House) -> SourceCircuit:
    """Current, breaker and branches of the inverters in `house.array`; values None where no inverter size is known.

    The printed current of the data sheet goes before power divided by voltage; fractions of an ampere are kept.
    """
    current_a, formula, sources = _current(house)
    edition = house.electrical.edition
    current = Figure("interconnection.source_current_a", "Output current of the new inverters", current_a, "A",
                     formula=formula, sources=(*sources, cite("source_current", edition)) if current_a else sources)
    branches = _branches(house, current_a) if current_a and house.array.conversion == "module-level" else ()
    device, each = source_device(current_a, edition), _each(house)
    if each:
        device = replace(device, label="Breaker for the new inverters, where one carries them all")
    return SourceCircuit(current_a, current, device, branches, each)


def _current(house: House) -> tuple[float | None, str, tuple[str, ...]]:
    array, volts = house.array, house.electrical.service_v
    if array.inverters and array.inverter_a is not None:
        terms = " + ".join(f"{f'{i.count} × ' if i.count > 1 else ''}{amps(_one_a(i, volts or 240), 2)}"
                           for i in array.inverters)
        bare = [i.name for i in array.inverters if i.output_a is None]
        worked_out = f"; power divided by voltage for {listed(bare)}" if bare else ""
        return array.inverter_a, f"{terms} = {amps(array.inverter_a, 2)}{worked_out}", ("inverter data sheets",)
    if array.unit_output_a is not None and array.inverter_a is not None:
        formula = f"{unit_count(house)} units × {amps(array.unit_output_a, 3)} = {amps(array.inverter_a, 2)}"
        return array.inverter_a, formula, ("data sheet of the units",)
    if array.inverter_a is not None:
        return array.inverter_a, f"{amps(array.inverter_a)}, read from the data sheet", ("inverter data sheet",)
    if array.inverter_kw is None or volts is None:
        return None, "", ()
    amperes = array.inverter_kw * 1000.0 / volts
    formula = f"{show(array.inverter_kw, 'kW')} × 1000 / {volts} V = {show(amperes, 'A', 2)}"
    return amperes, formula, ("power divided by voltage",)


def _one_a(inverter: Inverter, volts: int) -> float:
    """Continuous output current of one listed inverter [A]: its data sheet's, else power divided by voltage."""
    return inverter.output_a if inverter.output_a is not None else inverter.limit_kw * 1000.0 / volts


def _each(house: House) -> tuple[Figure, ...]:
    """The breaker of one inverter of each kind, where several are listed."""
    inverters, edition, volts = house.array.inverters or (), house.electrical.edition, house.electrical.service_v
    if volts is None or sum(i.count for i in inverters) < 2:
        return ()
    return tuple(replace(source_device(_one_a(inverter, volts), edition),
                         key=f"interconnection.inverter_{number}_device_a",
                         label=f"Breaker for {'each ' if inverter.count > 1 else ''}{inverter.name}")
                 for number, inverter in enumerate(inverters, start=1))


def source_device(current_a: float | None, edition: int | None) -> Figure:
    """The next standard breaker that is at least 1.25 × the output current [A]."""
    key, label = "interconnection.source_device_a", "Breaker for the new source"
    if current_a is None:
        return Figure(key, label, None, "A")
    least = factor("continuous_current") * current_a
    device = next_standard_a(least, edition)
    end = f"next standard rating {amps(device)}" if device else "above the largest standard rating in the table"
    return Figure(key, label, device, "A",
                  formula=f"{factor('continuous_current'):g} × {amps(current_a, 2)} = {amps(least, 2)}; {end}",
                  sources=(cite("source_device", edition), cite("standard_ratings", edition)))


def unit_count(house: House) -> int | None:
    """Module-level units: one a module; None where the number of modules is not known."""
    array = house.array
    counted = array.module_count is not None or any(face.module_count is not None for face in house.roof)
    if not counted and (array.array_kw is None or array.module_w is None):
        return None
    return module_total(house)


def units_per_branch(unit_a: float) -> int:
    """Units that one branch breaker may carry for hours: floor(0.8 × 20 A / unit current).

    Source: common practice, no source; the maker's limit for the cable goes before it.
    """
    return math.floor(factor("branch_loading") * factor("branch_breaker") / unit_a + 1e-9)


def _branches(house: House, current_a: float) -> tuple[Figure, ...]:
    count = unit_count(house)
    if count is None:
        return ()
    breaker_a, loading, unit_a = factor("branch_breaker"), factor("branch_loading"), current_a / count
    most = units_per_branch(unit_a)
    figures = [
        _practice("unit_current_a", "Output current of one unit", unit_a, "A",
                  f"{amps(current_a, 2)} / {count} units = {amps(unit_a, 3)}"),
        _practice("units_per_branch", "Units on one branch circuit, at most", float(most), "modules",
                  f"whole part of {loading:g} × {amps(breaker_a)} / {amps(unit_a, 3)} = {most}"),
    ]
    if most > 0:
        branches = math.ceil(count / most)
        fullest = math.ceil(count / branches)
        figures += [
            _practice("branches", "Branch circuits", float(branches), "circuits",
                      f"{count} units / {most} a branch, rounded up = {branches}"),
            _practice("branch_current_a", "Current of the fullest branch, shared out evenly", fullest * unit_a, "A",
                      f"{fullest} × {amps(unit_a, 3)} = {amps(fullest * unit_a, 2)}, on a {amps(breaker_a)} breaker"),
        ]
    return tuple(figures)


def _practice(key: str, label: str, value: float, unit: str, formula: str) -> Figure:
    return Figure(f"interconnection.{key}", label, value, unit, formula=formula,
                  sources=("common practice, no source; the maker's limit for the cable goes before it",))
