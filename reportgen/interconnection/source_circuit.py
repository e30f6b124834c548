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


@dataclass(frozen=True)
class OneInverter:
    """One inverter of a kind, or the one that there is."""

    name: str
    stem: str                     # of its Figures' keys
    count: int
    output_a: float               # continuous [A]
    max_breaker_a: float | None   # by its maker [A]


def one_of_each(house: House, circuit: SourceCircuit) -> tuple[OneInverter, ...]:
    """One inverter of each kind with its output current; () where no size is known."""
    array, volts = house.array, house.electrical.service_v or 240
    if circuit.current_a is None:
        return ()
    if not array.inverters:
        return (OneInverter("the new inverter", "source", 1, circuit.current_a, array.inverter_max_breaker_a),)
    return tuple(OneInverter(f"{'each ' if i.count > 1 else ''}{i.name}", f"inverter_{number}", i.count, _one_a(i, volts),
                             i.max_breaker_a) for number, i in enumerate(array.inverters, start=1))


def number_of_inverters(house: House) -> int:
    """Inverters that are listed one by one; 1 where only a total is written."""
    return sum(i.count for i in house.array.inverters or ()) or 1


def device_for(current_a: float, edition: int | None) -> float | None:
    """Next standard rating that is at least 1.25 × the current [A]; None above the table."""
    return next_standard_a(factor("continuous_current") * current_a, edition)


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


@dataclass(frozen=True)
class Branches:
    """How module-level units are shared out over their branch circuits."""

    units: int
    unit_a: float                 # continuous output of one [A]
    by_loading: int               # units that 80 % of the breaker takes
    maker_most: int | None        # units by the maker's limit for the cable
    most: int                     # the lower of the two
    count: int                    # branches; 0 where not even one unit may hang on one
    fullest: int                  # units on the fullest, shared out evenly


def branches_of(house: House, current_a: float) -> Branches | None:
    """None where the number of units is not known."""
    units = unit_count(house)
    if not units:
        return None
    unit_a, maker = current_a / units, house.array.units_per_branch
    by_loading = units_per_branch(unit_a)
    most = by_loading if maker is None else min(by_loading, maker)
    count = math.ceil(units / most) if most > 0 else 0
    return Branches(units, unit_a, by_loading, maker, most, count, math.ceil(units / count) if count else 0)


def _branches(house: House, current_a: float) -> tuple[Figure, ...]:
    found = branches_of(house, current_a)
    if found is None:
        return ()
    breaker_a, loading = factor("branch_breaker"), factor("branch_loading")
    maker = "" if found.maker_most is None else f"; {found.maker_most} by the maker's limit, the lower counts"
    figures = [
        _practice("unit_current_a", "Output current of one unit", found.unit_a, "A",
                  f"{amps(current_a, 2)} / {found.units} units = {amps(found.unit_a, 3)}"),
        _practice("units_per_branch", "Units on one branch circuit, at most", float(found.most), "modules",
                  f"whole part of {loading:g} × {amps(breaker_a)} / {amps(found.unit_a, 3)} = {found.by_loading}{maker}"),
    ]
    if found.count:
        figures += [
            _practice("branches", "Branch circuits", float(found.count), "circuits",
                      f"{found.units} units / {found.most} a branch, rounded up = {found.count}"),
            _practice("branch_current_a", "Current of the fullest branch, shared out evenly", found.fullest * found.unit_a, "A",
                      f"{found.fullest} × {amps(found.unit_a, 3)} = {amps(found.fullest * found.unit_a, 2)}, on a "
                      f"{amps(breaker_a)} breaker"),
        ]
    return tuple(figures)


def _practice(key: str, label: str, value: float, unit: str, formula: str) -> Figure:
    return Figure(f"interconnection.{key}", label, value, unit, formula=formula,
                  sources=("common practice, no source; the maker's limit for the cable goes before it",))
