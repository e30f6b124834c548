"""The checks of every wire that carries the array's current: terminals, heat, its breaker, its ground, the service wires."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass, replace

from reportgen.describe.conductor import Conductor
from reportgen.describe.models import House
from reportgen.figures import Figure, show
from reportgen.interconnection.ampacity import (
    INSULATION,
    TERMINALS,
    Ampacity,
    asks,
    corrected_ampacity,
    dwelling_service_ampacity,
    named,
    roof_limit_text,
    terminal_ampacity,
    terminal_column_c,
)
from reportgen.interconnection.code_tables import TOLERANCE_A, cite, editions, factor, standard_ratings_a
from reportgen.interconnection.ground_size import smallest_passing, upsized_ground
from reportgen.interconnection.result import CANNOT_SAY, DOES_NOT_FIT, FITS, Check
from reportgen.interconnection.service_wires import service_wire_checks, service_wire_photos
from reportgen.interconnection.source_circuit import SourceCircuit
from reportgen.interconnection.voltage_rise import rise_photos, voltage_rise_checks
from reportgen.interconnection.wire_size import allowed_device_a, smallest_size
from reportgen.interconnection.wire_stretches import Stretch, stretches
from reportgen.interconnection.wire_tables import (
    clause_caution,
    equipment_ground,
    small_conductor_cap_a,
    table_ampacity_a,
)
from reportgen.interconnection.wording import amps, an, digits_to_tell_apart, listed

NOT_CHOSEN = "These wires are not there yet; the electrician chooses them."
NO_SIZE = "No inverter size is known yet."
INDOOR_CABLE = "The wires are no indoor cable of type NM-B, which counts in the 60 °C column whatever its insulation ({})."

AS_WRITTEN = "The air and the number of wires are those that the house file gives."
GROUND_FORMULA = "size of the equipment ground by the breaker's rating, and in proportion where the wires are thicker than needed"
MILS_FROM_MEMORY = "The circular mils are from memory; they agree with the wires' diameters in ASTM B258."
ONLY_IF_CHOSEN = ("Where the thicker wires were needed for more than voltage, by hotter air or more wires in the pipe than are written, the "
                  "proportion is smaller; the electrician says.")
UPSIZED = ("Where the wires are thicker than they had to be, against voltage rise for instance, the equipment ground grows with "
           "them ({}).")


def conductor_checks(house: House, circuit: SourceCircuit) -> tuple[Check, ...]:
    """Four checks for each stretch of wire from the inverter to the meter, in order; then the service wires, then voltage.

    Missing facts lead to "cannot say" with what to read. () where the edition is not known or not tabulated.
    """
    edition = house.electrical.edition
    if edition not in editions():
        return ()
    checks = [check for stretch in stretches(house, circuit)
              for check in (_terminals(stretch, edition), _corrected(stretch, edition), _protection(stretch, edition),
                            _ground(stretch, edition))]
    return (*checks, *service_wire_checks(house), *voltage_rise_checks(house, circuit))


def conductor_photos(house: House, circuit: SourceCircuit) -> tuple[str, ...]:
    """Which photos to take, or what to measure, where a wire check cannot say."""
    edition = house.electrical.edition
    if edition not in editions():
        return ()
    found = []
    for stretch in stretches(house, circuit):
        if _not_chosen(stretch):
            continue
        ends, way = terminal_ampacity(stretch.wire, stretch.device_a), corrected_ampacity(stretch.wire, edition)
        missing = [*ends.missing, *way.missing]
        if _marking_decides(stretch, ends) or _marking_helps_device(stretch, way, edition):
            missing.append(TERMINALS)
        found += [f"{_capital(stretch.where)}: {ask}." for ask in asks(missing)]
    return tuple(dict.fromkeys((*found, *service_wire_photos(house), *rise_photos(house))))


def _of_what(s: Stretch) -> str:
    """A feeder's ampacity is held against the array's current; what is left is no room for loads."""
    return ", for what the array sends back" if s.is_feeder else ""


def _terminals(s: Stretch, edition: int) -> Check:
    rules = ("feeder" if s.is_feeder else "source_conductor", "terminals", "ampacity_table")
    ends = terminal_ampacity(s.wire, s.device_a)
    check = _maker(s, edition, "terminal_ampacity", f"Terminals{_of_what(s)}",
                   "ampacity at the terminals, no other factors ≥ 1.25 × current", rules, ends.cautions)
    if s.current_a is None:
        return check(CANNOT_SAY, NO_SIZE)
    least = factor("continuous_current") * s.current_a
    if ends.missing == (INSULATION,):
        worst, best = (_with_insulation(s, insulation_c) for insulation_c in (60, 90))
        ends = worst if worst.a >= least - TOLERANCE_A else best if best.a < least - TOLERANCE_A else ends
    if ends.missing and _not_chosen(s):
        return check(CANNOT_SAY, f"{NOT_CHOSEN} {_smallest_text(s, edition).removesuffix('.')}, before heat and number of wires.")
    if ends.missing:
        return check(CANNOT_SAY, f"{_without(ends.missing)} {_smallest_text(s, edition)}".strip())
    margin = ends.a - least
    sentence = _compared(ends, margin, f"{factor('continuous_current'):g} × {s.current_text} = ", least)
    if margin >= -TOLERANCE_A:
        return check(FITS, sentence, margin)
    if _marking_decides(s, ends):
        return check(CANNOT_SAY, f"{sentence} {_marked_text(s)}")
    return check(DOES_NOT_FIT, f"{sentence} {_smallest_text(s, edition)}".strip(), margin)


def _corrected(s: Stretch, edition: int) -> Check:
    rules = ((() if s.is_feeder else ("source_conductor_corrected",))
             + ("ambient_factor", "count_factor") + (("roof_addition",) if s.wire.over_roof_mm is not None else ()))
    check = _maker(s, edition, "corrected_ampacity", f"Heat and number of wires{_of_what(s)}",
                   "ampacity of the insulation's column × factor for hot air × factor for the number of wires ≥ current", rules,
                   conditions=_way_conditions(s, edition))
    way = corrected_ampacity(s.wire, edition)
    if s.current_a is None:
        return check(CANNOT_SAY, NO_SIZE)
    if way.missing:
        return check(CANNOT_SAY, NOT_CHOSEN if _not_chosen(s) else _without(way.missing))
    margin = way.a - s.current_a
    return check(FITS if margin >= -TOLERANCE_A else DOES_NOT_FIT, _compared(way, margin, "", s.current_a), margin)


def _protection(s: Stretch, edition: int) -> Check:
    check = _maker(s, edition, "wire_protection", "Breaker on these wires",
                   "breaker ≤ the lower ampacity of the two checks above, or the next standard rating; thin wires capped",
                   ("wire_protection", "small_conductor"))
    if s.device_a is None:
        return check(CANNOT_SAY, "Cannot say without the rating of the breaker at the supply end: take a photo of its handle."
                     if s.is_feeder else NO_SIZE)
    ends, way = terminal_ampacity(s.wire, s.device_a), corrected_ampacity(s.wire, edition)
    if ends.missing == (INSULATION,):
        ends = _with_insulation(s, 90)    # the best it can be: what does not fit then never does
    known = [a for a in (ends.a, way.a) if a is not None]
    if ends.a is None:
        return check(CANNOT_SAY, f"The breaker is {amps(s.device_a)}. {NOT_CHOSEN if _not_chosen(s) else _without(ends.missing, ask=False)}")
    lower_a = min(known)
    allowed = allowed_device_a(lower_a, s.wire, edition)
    sentence = _protection_text(s, lower_a, allowed, len(known) == 2)
    if s.whole_load and s.device_a > allowed + TOLERANCE_A:
        return _whole_load(s, check, sentence, edition)
    margin = allowed - s.device_a
    if margin < -TOLERANCE_A:
        if _marking_helps_device(s, way, edition):
            return check(CANNOT_SAY, f"{sentence} {_marked_text(s)}")
        return check(DOES_NOT_FIT, f"{sentence} {_smallest_text(s, edition)}".strip(), margin)
    if way.missing:
        return check(CANNOT_SAY, f"{sentence} That is at the terminals alone; heat may take some of it. "
                                 f"{_without(way.missing, ask=False)}")
    return check(FITS, sentence, margin)


def _whole_load(s: Stretch, check, sentence: str, edition: int) -> Check:
    """Wires with a dwelling's whole load may have a larger breaker than their ampacity: the 83 % rule decides."""
    found = dwelling_service_ampacity(s.wire, s.device_a, edition)
    sentence = f"{sentence} But these wires carry one dwelling's whole load, for which the service wires' rule holds: {found.sentence}"
    if found.missing:
        return check(CANNOT_SAY, f"{sentence} {_without(found.missing)}")
    margin = found.a - s.device_a
    return check(FITS if margin >= -TOLERANCE_A else DOES_NOT_FIT, sentence, margin)


def _ground(s: Stretch, edition: int) -> Check:
    check = _maker(s, edition, "equipment_ground", "Equipment ground", GROUND_FORMULA,
                   ("equipment_ground",),
                   conditions=(UPSIZED.format(cite("ground_upsizing", edition)),))
    sizes = None if s.device_a is None else equipment_ground(s.device_a)
    if sizes is None:
        return check(CANNOT_SAY, NO_SIZE if s.device_a is None and not s.is_feeder else
                     "Cannot say without the breaker's rating: take a photo of its handle." if s.device_a is None else
                     f"The table ends below {amps(s.device_a)}.")
    grown = None if s.whole_load else upsized_ground(s, edition)
    base = f"For {an(amps(s.device_a))} breaker: at least {sizes[0]} AWG copper or {sizes[1]} AWG aluminum"
    if grown is not None:
        check = _maker(s, edition, "equipment_ground", "Equipment ground", GROUND_FORMULA, ("equipment_ground", "ground_upsizing"),
                       (MILS_FROM_MEMORY, ONLY_IF_CHOSEN))
        by = "" if grown.needed.in_full else " by the terminals and the breaker alone"
        base = (f"{base}. But the wires are {named(s.wire)} where {grown.needed.size} AWG passes{by}, so the ground grows with them: at "
                f"least {grown.sizes[0]} AWG copper or {grown.sizes[1]} AWG aluminum ({grown.sums})")
    return check(CANNOT_SAY, f"{base}. The house file holds no size for the ground; the electrician puts it on the drawing.")


@dataclass(frozen=True)
class ThinWires:
    """Wires that the house file names and that do not pass: the sentence of the check that fails, and what mends it."""

    where: str
    sentence: str            # the failed check, then what passes
    remedy: str              # "8 AWG copper for the wires from the inverter"


def thin_wires(house: House, circuit: SourceCircuit) -> ThinWires | None:
    """The first stretch, array to meter, whose named wires do not pass; None where none fails."""
    edition = house.electrical.edition
    for stretch in stretches(house, circuit) if edition in editions() else ():
        failed = [check for check in (_terminals(stretch, edition), _corrected(stretch, edition), _protection(stretch, edition))
                  if check.verdict == DOES_NOT_FIT]
        if not failed:
            continue
        passing = smallest_passing(stretch, edition)
        metal = stretch.wire.metal
        size = f"{passing.size} AWG {metal}" if passing else "other wires"
        by = " by the terminals and the breaker alone" if passing and not passing.in_full else ""
        passes = f"{size} passes{by}" if passing else f"No {metal} size in the table passes"
        return ThinWires(stretch.where, f"{failed[0].sentence.split(' Smallest')[0]} {passes}{_less_current(house, stretch, edition)}.",
                         f"{size} for the {stretch.where}")
    return None


def _less_current(house: House, s: Stretch, edition: int) -> str:
    """'; or a 30 A breaker with at most 24 A (5.76 kW)': what the wires as named would take; '' for a feeder."""
    ends, way = terminal_ampacity(s.wire, s.device_a), corrected_ampacity(s.wire, edition)
    if s.is_feeder or ends.a is None or house.array.conversion == "module-level":
        return ""
    lower_a = ends.a if way.a is None else min(ends.a, way.a)
    allowed = max((r for r in standard_ratings_a(edition) if r <= allowed_device_a(lower_a, s.wire, edition) + TOLERANCE_A), default=None)
    if allowed is None:
        return ""
    most = min(allowed / factor("continuous_current"), ends.a / factor("continuous_current"), lower_a)
    kilowatts = most * (house.electrical.service_v or 240) / 1000.0
    return f"; as named they take {an(amps(allowed))} breaker with at most {amps(most, 1)} ({show(kilowatts, 'kW', 2)})"


def _maker(s: Stretch, edition: int, key: str, name: str, formula: str, rules: tuple[str, ...],
           cautions: Iterable[str] = (), conditions: tuple[str, ...] = ()):
    """A function (verdict, sentence, margin) -> Check with everything else filled in."""
    clause = "; ".join(cite(rule, edition) for rule in rules)
    caution = " ".join(filter(None, (*cautions, clause_caution(rules, edition))))

    def make(verdict: str, sentence: str, margin_a: float | None = None) -> Check:
        figure = None if margin_a is None else Figure(
            f"interconnection.{s.key}_{key}_margin_a", f"Left, {s.where}: {name.lower()}", margin_a, "A",
            formula=sentence, sources=(clause,))
        return Check(key, name, clause, verdict, sentence, figure, (*conditions, *s.conditions), s.where, formula, caution)
    return make


def _compared(found: Ampacity, margin: float, sum_text: str, needed_a: float) -> str:
    """'8 AWG copper at terminals of 60 °C: 40 A; at least 1.25 × 31.67 A = 39.58 A: 0.4 A left.'"""
    digits = digits_to_tell_apart(margin)
    left = f"{amps(max(margin, 0.0), digits)} left" if margin >= -TOLERANCE_A else f"{amps(-margin, digits)} too little"
    return f"{found.sentence.removesuffix('.')}; needed {sum_text}{amps(needed_a, digits or 2)}: {left}."


def _protection_text(s: Stretch, lower_a: float, allowed: float, both: bool) -> str:
    which = "the lower of the two ampacities" if both else "ampacity at the terminals"
    cap = small_conductor_cap_a(s.wire.metal, s.wire.size)
    if cap is not None and allowed == cap:
        limit = f"{named(s.wire)} is a thin wire: no breaker above {amps(cap)}"
    elif abs(allowed - lower_a) < TOLERANCE_A:
        limit = f"{which} {amps(lower_a, 2)}"
    else:
        limit = f"{which} {amps(lower_a, 2)}, next standard rating {amps(allowed)}"
    end = "it is not above that" if s.device_a <= allowed + TOLERANCE_A else f"{amps(s.device_a - allowed, 2)} too much"
    return f"{_capital(limit)}; the breaker is {amps(s.device_a)}: {end}."


def _with_insulation(s: Stretch, insulation_c: int) -> Ampacity:
    """At the terminals, were the insulation of this rating: where both ends of what is possible agree, it need not be read."""
    found = terminal_ampacity(s.wire.model_copy(update={"insulation_c": insulation_c}), s.device_a)
    return replace(found, sentence=found.sentence.removesuffix(".") + f", were the insulation rated {insulation_c} °C.")


def _marking_decides(s: Stretch, ends: Ampacity) -> bool:
    """Whether terminals marked 75 °C would turn a failed first check: then the marking is the fact to find out."""
    least = factor("continuous_current") * (s.current_a or 0.0)
    at_75 = _at_75_a(s)
    return ends.a is not None and ends.a < least - TOLERANCE_A and at_75 is not None and at_75 >= least - TOLERANCE_A


def _marking_helps_device(s: Stretch, way: Ampacity, edition: int) -> bool:
    """Whether terminals marked 75 °C would turn a failed check of the breaker."""
    at_75, ends = _at_75_a(s), terminal_ampacity(s.wire, s.device_a)
    if None in (at_75, s.device_a, ends.a):
        return False
    other_a = math.inf if way.a is None else way.a
    now_a, then_a = (allowed_device_a(min(a, other_a), s.wire, edition) + TOLERANCE_A for a in (ends.a, at_75))
    return now_a < s.device_a <= then_a


def _at_75_a(s: Stretch) -> float | None:
    """Ampacity with terminals marked 75 °C; None where their marking is known, or the insulation stands below it."""
    if s.wire.terminals_c is not None or s.wire.insulation_c == 60 or None in (s.wire.size, s.wire.metal):
        return None
    return table_ampacity_a(s.wire.metal, s.wire.size, 75)


def _marked_text(s: Stretch) -> str:
    insulation = "" if s.wire.insulation_c else " and insulation for at least that"
    return (f"With both ends marked for 75 °C{insulation} it would be {amps(_at_75_a(s))}, which is enough, so the marking "
            f"decides: {asks([TERMINALS])[0]}.")


def _smallest_text(s: Stretch, edition: int) -> str:
    if s.current_a is None:
        return ""
    metal = s.wire.metal or "copper"
    wire = smallest_size(s.current_a, s.device_a, edition, metal, s.wire.terminals_c)
    if wire is None:
        return f"No {metal} size in the table is enough by the terminals alone."
    column = terminal_column_c(wire, s.device_a)
    text = (f"Smallest {metal} size by the terminals alone: {wire.size} AWG ({amps(table_ampacity_a(metal, wire.size, column))} "
            f"at {column} °C for {factor('continuous_current'):g} × {s.current_text} = "
            f"{amps(factor('continuous_current') * s.current_a, 2)})")
    marked = smallest_size(s.current_a, s.device_a, edition, metal, 75)
    if s.wire.terminals_c is None and marked.size != wire.size:
        text += f"; {marked.size} AWG where both ends are marked for 75 °C"
    return text + "."


def _way_conditions(s: Stretch, edition: int) -> tuple[str, ...]:
    said = [AS_WRITTEN] if None not in (s.wire.hottest_air_c, s.wire.current_carrying) else []
    conditions = said + [INDOOR_CABLE.format(cite("indoor_cable", edition))] if (s.wire.insulation_c or 0) > 60 else []
    if s.wire.over_roof_mm is not None and not s.wire.insulation_xhhw2:
        conditions.append(f"Closer to the roof than {roof_limit_text(edition)} the air counts {factor('roof_addition_c'):g} °C hotter "
                          f"({cite('roof_addition', edition)}).")
    return tuple(conditions)


def _not_chosen(s: Stretch) -> bool:
    """Whether these are wires of the new circuit about which nothing is written: nobody can read what does not exist yet."""
    return not s.is_feeder and s.wire == Conductor()


def _without(missing: Iterable[str], ask: bool = True) -> str:
    """What is missing, and what to do about it; `ask` False where a check above has said it for the same wires."""
    facts = list(dict.fromkeys(missing))
    todo = f": {'; '.join(asks(facts))}" if ask else ""
    return f"Cannot say without {listed(facts)}{todo}."


def _capital(text: str) -> str:
    return text[0].upper() + text[1:]
