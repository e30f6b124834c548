"""The current of a string: what its wires and a device must carry, and what one input of the inverter takes."""

from __future__ import annotations

from dataclasses import dataclass
from functools import partial

from reportgen.describe.equipment import InverterInput
from reportgen.describe.models import House
from reportgen.figures import Figure
from reportgen.interconnection.code_tables import TOLERANCE_A, cite, factor, next_standard_a
from reportgen.interconnection.result import CANNOT_SAY, DOES_NOT_FIT, FITS, Check
from reportgen.interconnection.string_voltage import DATA_SHEET, INVERTER_SHEET, Ask, not_known
from reportgen.interconnection.wording import amps

ASK_ISC: Ask = ("the module's short-circuit current",
                "Read the short-circuit current (Isc) on the module's data sheet.")
ASK_IMP: Ask = ("the module's current at full power",
                "Read the current at full power (Imp) on the module's data sheet.")
ASK_FUSE: Ask = ("the module's maximum series fuse", "Read the maximum series fuse on the module's data sheet.")
ASK_SHORT: Ask = ("the highest short-circuit current of one input",
                  "Read the highest short-circuit current of one input on the inverter's data sheet.")
ASK_OPERATING: Ask = ("the highest operating current of one input",
                      "Read the highest operating current of one input on the inverter's data sheet.")
ASK_SUN: Ask = ("the maker's word on the input's short-circuit current",
                "Ask the inverter's maker whether its short-circuit current already allows for the brightest sun.")
ASK_MORE: Ask = ("the maker's word on the input's operating current",
                 "Ask the inverter's maker whether modules that give more than the operating current may be connected.")
ALL_SOURCES = ("The Code speaks of all sources together; here the other strings on the input are counted, as is common "
               "practice (no source). The inspector decides.")


@dataclass(frozen=True)
class Found:
    checks: tuple[Check, ...] = ()
    figures: tuple[Figure, ...] = ()
    missing: tuple[Ask, ...] = ()

    def __add__(self, other: Found) -> Found:
        return Found(self.checks + other.checks, self.figures + other.figures, self.missing + other.missing)


def current_checks(house: House, number: int, where: str, dc_side: InverterInput | None, side_by_side: int) -> Found:
    """Maximum current, wires and device, and the inverter's input, with `side_by_side` strings on one input."""
    found = _wires_and_device(house, number, where, side_by_side)
    if dc_side is None:
        return found
    return (found + _short_circuit(house, number, where, dc_side, side_by_side)
            + _operating(house, number, where, dc_side, side_by_side))


def maximum_a(isc_a: float) -> float:
    """Largest current of one string [A]: 1.25 × Isc. Source: NEC 690.8(A)(1)."""
    return factor("string_maximum_current") * isc_a


def conductor_a(isc_a: float) -> float:
    """What the wires and a device of one string must carry [A]: 1.25 × 1.25 × Isc. Source: NEC 690.8(B)(1)."""
    return factor("string_conductor") * maximum_a(isc_a)


def _wires_and_device(house: House, number: int, where: str, side: int) -> Found:
    isc, fuse_a, edition = house.array.module_isc_a, house.array.module_max_fuse_a, house.electrical.edition
    rules = ("string_current", "string_conductor", "string_no_device", "string_device")
    check = partial(Check, "string_device", "Wires and device of a string",
                    "; ".join(cite(rule, edition) for rule in rules), where=where,
                    formula="largest current 1.25 × Isc; wires and device at least 1.25 × 1.25 × Isc")
    if isc is None:
        return Found((check(CANNOT_SAY, not_known((ASK_ISC,)), None, ()),), (), (ASK_ISC,))
    most, carry = maximum_a(isc), conductor_a(isc)
    device = next_standard_a(carry, edition)
    figures = _current_figures(number, isc, device, edition)
    start = (f"{figures[0].formula} at most; wires and device at least {factor('string_conductor'):g} × "
             f"{amps(most, 2)} = {amps(carry, 2)}.")
    conditions = (f"The wires of a string must carry {amps(carry, 2)}; heat on the roof lowers what they carry.",)
    if side == 1:
        alone = (f"{start} With one string alone on an input, no other string can feed a fault in it: by arithmetic no "
                 "device of its own is needed.")
        return Found((check(FITS, alone, None, conditions),), figures)
    others = (side - 1) * most
    strings = "string" if side == 2 else f"{side - 1} strings"
    back = f"{start} The other {strings} on the input can feed {amps(others, 2)} into a fault"
    if fuse_a is None:
        return Found((check(CANNOT_SAY, f"{back}. {not_known((ASK_FUSE,))}", None, conditions),), figures, (ASK_FUSE,))
    if others <= fuse_a + TOLERANCE_A:
        within = f"{back}, at most the module's {amps(fuse_a)}: by arithmetic no device is needed."
        margin = _margin(number, "fuse_margin_a", fuse_a - others)
        return Found((check(FITS, within, margin, (*conditions, ALL_SOURCES)),), figures)
    back += f", more than the module's {amps(fuse_a)}"
    if device is None:
        return Found((check(DOES_NOT_FIT, f"{back}, and no standard device is large enough.", None, conditions),),
                     figures)
    margin = _margin(number, "fuse_margin_a", fuse_a - device)
    if device > fuse_a + TOLERANCE_A:
        too_large = f"{back}, and a device of {amps(device)} would be more than the module takes."
        return Found((check(DOES_NOT_FIT, too_large, margin, conditions),), figures)
    return Found((check(FITS, f"{back}, so each string needs a device of {amps(device)}.", margin, conditions),),
                 figures)


def _current_figures(number: int, isc: float, device: float | None, edition: int | None) -> tuple[Figure, ...]:
    sun, hours, most, carry = (factor("string_maximum_current"), factor("string_conductor"), maximum_a(isc),
                               conductor_a(isc))
    rating = f"next standard rating {amps(device)}" if device else "above the largest standard rating in the table"

    def figure(key: str, label: str, value: float | None, formula: str, *rules: str) -> Figure:
        return Figure(f"interconnection.string_{number}_{key}", label, value, "A", formula=formula,
                      sources=(DATA_SHEET, *(cite(rule, edition) for rule in rules)))

    return (
        figure("maximum_current_a", "Largest current of a string", most,
               f"{sun:g} × {amps(isc, 2)} = {amps(most, 2)}", "string_current"),
        figure("conductor_a", "What the wires of a string must carry", carry,
               f"{hours:g} × {sun:g} × {amps(isc, 2)} = {amps(carry, 2)}", "string_conductor"),
        figure("device_a", "Overcurrent device of a string, where one is needed", device,
               f"at least {amps(carry, 2)}; {rating}", "string_device", "standard_ratings"))


def _short_circuit(house: House, number: int, where: str, dc_side: InverterInput, side: int) -> Found:
    isc, limit_a = house.array.module_isc_a, dc_side.max_short_circuit_a
    check = partial(Check, "string_short_circuit", "Short-circuit current of one input",
                    f"{INVERTER_SHEET}; {cite('string_current', house.electrical.edition)}", where=where,
                    conditions=(), formula="strings × 1.25 × Isc ≤ the input's highest")
    asks = tuple(ask for value, ask in ((isc, ASK_ISC), (limit_a, ASK_SHORT)) if value is None)
    if asks:
        return Found((check(CANNOT_SAY, not_known(asks), None),), (), asks)
    most, plain = side * maximum_a(isc), side * isc
    margin = _margin(number, "short_circuit_margin_a", limit_a - most)
    sums = (f"{side} × {factor('string_maximum_current'):g} × {amps(isc, 2)} = {amps(most, 2)}, at most "
            f"{amps(limit_a, 2)}")
    if most <= limit_a + TOLERANCE_A:
        return Found((check(FITS, f"{sums}.", margin),))
    if plain <= limit_a + TOLERANCE_A:
        between = (f"{sums}: too much with the extra quarter for the brightest sun, enough without it "
                   f"({amps(plain, 2)}).")
        return Found((check(CANNOT_SAY, between, margin),), (), (ASK_SUN,))
    return Found((check(DOES_NOT_FIT, f"{sums}: too much.", margin),))


def _operating(house: House, number: int, where: str, dc_side: InverterInput, side: int) -> Found:
    imp, limit_a = house.array.module_imp_a, dc_side.max_current_a
    check = partial(Check, "string_operating_current", "Operating current of one input", INVERTER_SHEET, where=where,
                    conditions=(), formula="strings × Imp ≤ the input's highest")
    asks = tuple(ask for value, ask in ((imp, ASK_IMP), (limit_a, ASK_OPERATING)) if value is None)
    if asks:
        return Found((check(CANNOT_SAY, not_known(asks), None),), (), asks)
    total = side * imp
    margin = _margin(number, "operating_margin_a", limit_a - total)
    sums = f"{side} × {amps(imp, 2)} = {amps(total, 2)}, at most {amps(limit_a, 2)}"
    if total <= limit_a + TOLERANCE_A:
        return Found((check(FITS, f"{sums}.", margin),))
    more = (f"{sums}: an input that is given more holds the current down and loses output; whether that is allowed, "
            "its maker says.")
    return Found((check(CANNOT_SAY, more, margin),), (), (ASK_MORE,))


def _margin(number: int, key: str, value: float) -> Figure:
    return Figure(f"interconnection.string_{number}_{key}", "Left", value, "A")
