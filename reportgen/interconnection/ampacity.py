"""What current a wire may carry: at its terminals, and along its way through hot air beside other wires."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from reportgen.describe.conductor import SIZES, Conductor
from reportgen.interconnection.code_tables import TOLERANCE_A, factor
from reportgen.interconnection.wire_tables import (
    ambient_factor,
    count_factor,
    dwelling_service_range_a,
    largest_dwelling_service,
    table_ampacity_a,
)
from reportgen.interconnection.wording import amps, listed

SIZE, METAL, INSULATION = "the wires' size", "the wires' metal", "the rating of their insulation"
AIR, COUNT = "the hottest air around them", "the number of wires in the pipe or cable"
TERMINALS = "the marking of the terminals"
# Nobody but an electrician opens a pipe, a box or a cover to read a wire: so none of these asks for a look inside.
_PRINT = "ask the electrician for the wires' size, metal and type of insulation; nobody else opens or touches anything for it"
_ASKS = {
    SIZE: _PRINT, METAL: _PRINT, INSULATION: _PRINT,
    AIR: "note where the wires run (attic, outside wall, roof, cellar), as far as it is seen from the ground or the "
         "floor: no ladder, no attic",
    COUNT: "ask the electrician how many wires share the pipe or cable, spare ones too, bare and green ones not",
    TERMINALS: ("read on the inverter's and the disconnect's data sheets, or on the label inside the panel's door, whether the "
                "terminals are marked 60 °C or 75 °C; nothing else is opened for it"),
}
TABLE_READ_IN = 2023                    # edition in which the table for dwelling services was read
LAST_MARKED_SMALL = SIZES.index("1")    # 110.14(C)(1): terminals marked 14 to 1 AWG


@dataclass(frozen=True)
class Ampacity:
    """`a` is None where a fact is missing; `missing` names each, and `asks` says how to find it."""

    a: float | None
    sentence: str
    missing: tuple[str, ...]
    cautions: tuple[str, ...]


def asks(missing: Iterable[str]) -> tuple[str, ...]:
    """Which photo to take, or whom to ask, for each missing fact; no repeats."""
    return tuple(dict.fromkeys(_ASKS[fact] for fact in missing))


def ampacity(wire: Conductor, edition: int, device_a: float | None) -> Ampacity:
    """The lower of the ampacity at the terminals and the one corrected for heat and number of wires [A].

    device_a: the breaker or fuses that protect the wires, which decides the terminals' column; None: the wires' size
    decides. Source: NEC 110.14(C)(1) and 310.15.
    """
    ends, way = terminal_ampacity(wire, device_a), corrected_ampacity(wire, edition)
    missing = tuple(dict.fromkeys((*ends.missing, *way.missing)))
    cautions = (*ends.cautions, *way.cautions)
    if missing:
        return Ampacity(None, f"No ampacity without {listed(list(missing))}.", missing, cautions)
    least = min(ends.a, way.a)
    return Ampacity(least, f"{ends.sentence} {way.sentence} The lower counts: {amps(least, 2)}.", (), cautions)


def named(wire: Conductor) -> str:
    """'8 AWG copper'."""
    return f"{wire.size or 'size not known'} AWG {wire.metal or 'metal not known'}"


def terminal_column_c(wire: Conductor, device_a: float | None) -> int:
    """Column of the ampacity table for the terminals [°C]; never 90, and never above the wire's own insulation.

    Circuits up to 100 A count at 60 °C unless the terminals are marked for 75 °C, larger ones at 75 °C; where no
    device is known, wires up to 1 AWG count as the former. Source: NEC 110.14(C)(1).
    """
    if wire.terminals_c is not None:
        column = wire.terminals_c
    elif device_a is not None:
        column = 60 if device_a <= factor("terminals_60_c_up_to_a") + TOLERANCE_A else 75
    else:
        column = 60 if wire.size is None or SIZES.index(wire.size) <= LAST_MARKED_SMALL else 75
    return column if wire.insulation_c is None else min(column, wire.insulation_c)


def terminal_ampacity(wire: Conductor, device_a: float | None) -> Ampacity:
    """Ampacity at the terminals [A], no other factors."""
    column = terminal_column_c(wire, device_a)
    missing = tuple(fact for fact, value in ((SIZE, wire.size), (METAL, wire.metal)) if value is None)
    if column > 60 and wire.insulation_c is None:
        missing += (INSULATION,)
    if missing:
        return Ampacity(None, f"Nothing to look up without {listed(list(missing))}.", missing, ())
    cautions = () if wire.terminals_c is not None or column > 60 else (
        "Nobody has read the terminals' marking; unmarked ones count in the 60 °C column.",)
    value = table_ampacity_a(wire.metal, wire.size, column)
    return Ampacity(value, f"{named(wire)} at the terminals, {column} °C column: {amps(value)}.", (), cautions)


def corrected_ampacity(wire: Conductor, edition: int) -> Ampacity:
    """Ampacity along the way [A]: insulation column × factor for hot air × factor for the number of wires.

    A pipe close to the roof adds 33 °C to the air, XHHW-2 wires excepted; a pipe of 24 in or less needs no factor for
    the number of wires. `a` is 0 where the table has no factor, because the air is too hot for this insulation.
    """
    short = wire.pipe_length_in is not None and wire.pipe_length_in <= factor("short_pipe_in")
    wanted = [(SIZE, wire.size), (METAL, wire.metal), (INSULATION, wire.insulation_c), (AIR, wire.hottest_air_c)]
    if not short:
        wanted.append((COUNT, wire.current_carrying))
    missing = [fact for fact, value in wanted if value is None]
    if missing:
        return Ampacity(None, f"No factors without {listed(missing)}.", tuple(missing), ())
    addition = roof_addition_c(wire, edition)
    air_c = wire.hottest_air_c + addition
    base, heat = table_ampacity_a(wire.metal, wire.size, wire.insulation_c), ambient_factor(air_c, wire.insulation_c)
    number = 1.0 if short else count_factor(wire.current_carrying)
    air = (f"air of {wire.hottest_air_c:g} °C" if not addition
           else f"air of {wire.hottest_air_c:g} °C + {addition:g} °C close to the roof = {air_c:g} °C")
    beside = "short pipe" if short else f"{wire.current_carrying} wire{'' if wire.current_carrying == 1 else 's'}"
    if heat == 0.0:
        return Ampacity(0.0, f"{named(wire)} with {wire.insulation_c} °C insulation: the table has no factor for {air}; "
                             "this wire may not be used there.", (), ())
    value = base * heat * number
    return Ampacity(value, f"{named(wire)} with {wire.insulation_c} °C insulation: {amps(base)} × {heat:.2f} ({air}) × "
                           f"{number:.2f} ({beside}) = {amps(value, 2)}.", (), ())


def roof_addition_c(wire: Conductor, edition: int) -> float:
    """Degrees added for a pipe close to the roof [°C]; 0 for one that lies on no roof, and for XHHW-2 wires.

    Heights written in inches are held against the edition's inches, those in millimetres against its millimetres,
    since the two are rounded differently (7/8 in is 22.2 mm, printed 23 mm).
    """
    if wire.over_roof_mm is None or wire.insulation_xhhw2:
        return 0.0
    return factor("roof_addition_c") if _close_to_roof(wire, edition) else 0.0


def _close_to_roof(wire: Conductor, edition: int) -> bool:
    if wire.above_roof_in is not None:
        return wire.above_roof_in < factor(f"roof_height_{edition}_in") - 1e-9
    return wire.above_roof_mm < factor(f"roof_height_{edition}_mm") - 1e-9


def roof_limit_text(edition: int) -> str:
    """'7/8 in (23 mm)': the height under which a pipe on a roof takes the addition."""
    eighths = round(factor(f"roof_height_{edition}_in") * 8)
    inches = f"{eighths // 2}/4" if eighths % 2 == 0 else f"{eighths}/8"
    return f"{inches} in ({factor(f'roof_height_{edition}_mm'):g} mm)"


def dwelling_service_ampacity(wire: Conductor, service_a: float, edition: int) -> Ampacity:
    """Largest service [A] that these wires may bring to one dwelling whose whole load they carry.

    The table asks for 83 % of the service in the 75 °C column, and holds as it stands where no factor for heat or
    number of wires applies; where one does, the corrected ampacity must still reach 83 %. `a` is 0 for wires under the
    table's first row and for a service outside its range. Source: NEC 310.12(A).
    """
    share, (first_a, last_a) = factor("dwelling_service_share"), dwelling_service_range_a()
    way = corrected_ampacity(wire, edition)
    if wire.size is None or wire.metal is None:
        return Ampacity(None, f"Nothing to look up without {listed(list(way.missing))}.", way.missing, ())
    row = largest_dwelling_service(wire.metal, wire.size)
    cautions = (row.caution,) if row and row.caution else ()
    if edition != TABLE_READ_IN:
        cautions += (f"The sizes for each service were read in the edition of {TABLE_READ_IN} and are carried over.",)
    if not first_a - TOLERANCE_A <= service_a <= last_a + TOLERANCE_A:
        return Ampacity(0.0, f"The table for dwelling services runs from {amps(first_a)} to {amps(last_a)}; it says nothing "
                             f"for {amps(service_a)}.", (), ())
    if row is None:
        return Ampacity(0.0, f"{named(wire)} is thinner than every row of the table, which begins at {amps(first_a)}.", (), ())
    by_table = f"{named(wire)} carries a dwelling's service of {amps(row.service_a)} by the {share * 100:g} % rule."
    if row.service_a < service_a - TOLERANCE_A:
        return Ampacity(row.service_a, by_table, (), cautions)
    if way.missing:
        return Ampacity(None, f"{by_table} That holds where no factor for heat or number of wires applies, which nobody can say "
                              f"without {listed(list(way.missing))}.", way.missing, cautions)
    ends_a = table_ampacity_a(wire.metal, wire.size, min(wire.terminals_c or 75, wire.insulation_c, 75))
    least_a = min(way.a, ends_a)
    return Ampacity(min(row.service_a, least_a / share),
                    f"{by_table} {way.sentence} At the terminals: {amps(ends_a)}. The lower, {amps(least_a, 2)}, is "
                    f"{share * 100:g} % of {amps(least_a / share, 2)}.", (), cautions)
