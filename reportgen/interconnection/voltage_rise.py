"""How far the array's own current raises the voltage at the inverter: too much, and it switches off on sunny days.

The limits are a maker's recommendation, no rule: nothing here ever "does not fit".
"""

from __future__ import annotations

from dataclasses import dataclass

from reportgen.describe.conductor import Conductor
from reportgen.describe.models import House
from reportgen.figures import Figure, show
from reportgen.interconnection.ampacity import METAL, SIZE, asks, named
from reportgen.interconnection.code_tables import cite, editions, factor
from reportgen.interconnection.result import CANNOT_SAY, FITS, Check
from reportgen.interconnection.source_circuit import SourceCircuit
from reportgen.interconnection.wire_size import smallest_size
from reportgen.interconnection.wire_stretches import Stretch, branch_units, stretches
from reportgen.interconnection.wire_tables import resistance
from reportgen.interconnection.wording import amps, listed

LENGTH, SPACING = "the length of the wires, one way", "the distance between two units along the cable"
LENGTH_ASK = ("measure the way of the wires from the inverter to the panel along the walls, ups and downs too, from the ground or the floor: no "
              "ladder, no attic")
SPACING_ASK = "take the distance between two units along the cable from the array's drawing"
RECOMMENDED = "A recommendation of a maker of module-level units (circuit brief, Nov 2015), not a rule of the code."
TRUNK, TOTAL = "voltage_rise_trunk", "voltage_rise"
PERCENT_TOLERANCE = 1e-9


@dataclass(frozen=True)
class Rise:
    """Rise along one piece of wire; `volts` is None where a fact is missing."""

    volts: float | None
    sum_text: str
    missing: tuple[str, ...] = ()
    caution: str = ""


def run_rise_v(length_ft: float, current_a: float, ohm_per_kft: float) -> float:
    """2 × L × I × R / 1000 [V]: there and back, all current over the whole length; L one way."""
    return 2 * length_ft * current_a * ohm_per_kft / 1000


def trunk_rise_v(units: int, unit_a: float, spacing_ft: float, ohm_per_kft: float) -> float:
    """Rise [V] at the far unit of a cable on which `units` equal units hang, `spacing_ft` apart and from its end.

    The piece nearest the panel carries all of them, the last piece one: n (n + 1) / 2 × i × 2 × d × R / 1000.
    """
    return units * (units + 1) / 2 * unit_a * 2 * spacing_ft * ohm_per_kft / 1000


def longest_run_ft(percent: float, service_v: float, current_a: float, ohm_per_kft: float) -> float:
    """Length one way [ft] at which the rise reaches `percent` of `service_v`."""
    return percent / 100 * service_v / run_rise_v(1.0, current_a, ohm_per_kft)


def voltage_rise_checks(house: House, circuit: SourceCircuit) -> tuple[Check, ...]:
    """The rise over the run; for module-level units over the trunk cable too; and the sum against the recommendation."""
    edition, volts = house.electrical.edition, house.electrical.service_v
    run_stretch = stretches(house, circuit)[0]
    if edition not in editions() or run_stretch.current_a is None or volts is None:
        return ()
    run, feeders = _run(run_stretch, volts, edition), _feeders(stretches(house, circuit)[1:])
    if house.array.conversion != "module-level":
        return (_check(TOTAL, "Voltage rise", run_stretch.where, (run, *feeders.known), "voltage_rise_percent", volts, edition, feeders),)
    trunk = _trunk(house, *branch_units(circuit))
    where = run_stretch.where
    return (_check(TRUNK, "Voltage rise in the cable of the units", "cable of the units", (trunk,), "trunk_rise_percent", volts,
                   edition, feeders),
            _check(TOTAL, "Voltage rise", f"cable of the units and {where}", (trunk, run, *feeders.known), "voltage_rise_percent", volts,
                   edition, feeders))


def rise_photos(house: House) -> tuple[str, ...]:
    """What to measure for the voltage rise."""
    found = []
    if (house.electrical.run or Conductor()).feet is None:
        found.append(f"{LENGTH_ASK[0].upper()}{LENGTH_ASK[1:]}.")
    if house.array.conversion == "module-level" and (house.electrical.trunk is None
                                                     or house.electrical.trunk.spacing_feet is None):
        found.append(f"{SPACING_ASK[0].upper()}{SPACING_ASK[1:]}.")
    return tuple(found)


def _run(stretch: Stretch, volts: int, edition: int) -> Rise:
    wire, current_a = stretch.wire, stretch.current_a
    missing = _missing(wire, ((LENGTH, wire.feet),))
    if missing:
        known = SIZE not in missing and METAL not in missing
        chosen = wire if known else smallest_size(current_a, stretch.device_a, edition, wire.metal or "copper", wire.terminals_c)
        return Rise(None, "" if chosen is None else _longest(chosen, current_a, volts), missing)
    row = resistance(wire.metal, wire.size)
    rise = run_rise_v(wire.feet, current_a, row.ohm_per_kft)
    return Rise(rise, f"2 × {wire.feet:.4g} ft × {amps(current_a, 2)} × {row.ohm_per_kft:g} ohm / 1000 = {show(rise, 'V', 2)}"
                      f" ({named(wire)})", (), row.caution)


@dataclass(frozen=True)
class Feeders:
    """The rise on each feeder whose size, metal and length are written, and the names of the others."""

    known: tuple[Rise, ...]
    left_out: tuple[str, ...]


def _feeders(found: tuple[Stretch, ...]) -> Feeders:
    known, left_out = [], []
    for stretch in found:
        wire, current_a = stretch.wire, stretch.current_a
        if current_a is None or None in (wire.size, wire.metal, wire.feet):
            left_out.append(stretch.where)
            continue
        row = resistance(wire.metal, wire.size)
        rise = run_rise_v(wire.feet, current_a, row.ohm_per_kft)
        known.append(Rise(rise, f"{stretch.where}: 2 × {wire.feet:.4g} ft × {amps(current_a, 2)} × {row.ohm_per_kft:g} ohm / 1000 = "
                                f"{show(rise, 'V', 2)} ({named(wire)})", (), row.caution))
    return Feeders(tuple(known), tuple(left_out))


def _longest(wire: Conductor, current_a: float, volts: int) -> str:
    percent = factor("voltage_rise_percent")
    most = longest_run_ft(percent, volts, current_a, resistance(wire.metal, wire.size).ohm_per_kft)
    return f" With {named(wire)}, {most:.0f} ft one way makes {percent:g} %."


def _trunk(house: House, units: int, unit_a: float) -> Rise:
    cable = house.electrical.trunk
    if cable is None:
        return Rise(None, "", (SIZE, METAL, SPACING))
    missing = _missing(cable, ((SPACING, cable.spacing_feet),))
    if missing:
        return Rise(None, "", missing)
    row = resistance(cable.metal, cable.size)
    rise = trunk_rise_v(units, unit_a, cable.spacing_feet, row.ohm_per_kft)
    return Rise(rise, f"{units} × {units + 1} / 2 × {amps(unit_a, 3)} × 2 × {cable.spacing_feet:.3g} ft × {row.ohm_per_kft:g} ohm / 1000 "
                      f"= {show(rise, 'V', 2)} (cable of {units} units, {named(cable)})", (), row.caution)


def _missing(wire: Conductor, more) -> tuple[str, ...]:
    return tuple(fact for fact, value in ((SIZE, wire.size), (METAL, wire.metal), *more) if value is None)


def _check(key: str, name: str, where: str, parts: tuple[Rise, ...], limit: str, volts: int, edition: int,
           feeders: Feeders) -> Check:
    most, clause = factor(limit), cite("wire_resistance", edition)
    caution = " ".join(dict.fromkeys((RECOMMENDED, *(p.caution for p in parts if p.caution))))
    out = listed(["the service wires", *(f"the {name}" for name in feeders.left_out)])
    conditions = (f"{out[0].upper()}{out[1:]} raise the voltage further and are not in this sum.",
                  "Resistance of stranded wire at 75 °C, by direct current.")

    def make(verdict, sentence, margin=None):
        figure = None if margin is None else Figure(f"interconnection.{key}_margin_percent", f"Left under the recommendation: {name}",
                                                    margin, "%", formula=sentence, sources=(clause, RECOMMENDED))
        return Check(key, name, clause, verdict, sentence, figure, conditions, where,
                     f"2 × length × current × resistance / 1000, in percent of the voltage ≤ {most:g} % recommended", caution)

    known = [p for p in parts if p.volts is not None]
    rise = sum(p.volts for p in known)
    percent = 100 * rise / volts
    sums = "; ".join(p.sum_text for p in known)
    total = f"{sums}. {show(rise, 'V', 2)} / {volts} V = {show(percent, '%', 2)}" if known else ""
    missing = list(dict.fromkeys(fact for p in parts for fact in p.missing))
    if known and percent > most + PERCENT_TOLERANCE:
        return make(CANNOT_SAY, f"{total}, above the {most:g} % recommended{' already' if missing else ''}; ask the inverter's maker, or use "
                                f"thicker wires.", None if missing else most - percent)
    if missing:
        return make(CANNOT_SAY, f"Cannot say without {listed(missing)}: {'; '.join(_asks(missing))}."
                                f"{''.join(p.sum_text for p in parts if p.volts is None)}{f' So far: {total}.' if known else ''}")
    return make(FITS, f"{total}, at most {most:g} % recommended: {show(most - percent, '%', 2)} left.", most - percent)


def _asks(missing: list[str]) -> list[str]:
    own = {LENGTH: LENGTH_ASK, SPACING: SPACING_ASK}
    return list(dict.fromkeys(own.get(fact) or asks([fact])[0] for fact in missing))
