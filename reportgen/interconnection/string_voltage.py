"""What one module gives on the coldest morning and on the hottest afternoon, and the voltages that a string must keep.

Cold raises a module's voltage and heat lowers it. Only the data sheet's own numbers decide; a generic module never
does.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cache

from reportgen.describe.equipment import InverterInput
from reportgen.describe.models import House
from reportgen.figures import show, show_input
from reportgen.interconnection.code_tables import cite, factor, table_rows
from reportgen.interconnection.wording import listed
from reportgen.production.module import module_of

TABLE_CONDITION = ("The Code's table holds for modules of crystalline silicon alone. The data sheet's own temperature "
                   "coefficient of Voc goes before it: read it.")
STAND_IN = ("The temperature coefficient of power, from the house file or from the list of what was assumed, stands in "
            "for that of the voltage at full power (common practice, no source).")
COUNT_TOLERANCE = 1e-9
"""Of one module: binary fractions must not lose one. It never turns 10.77 into 11."""
DATA_SHEET, INVERTER_SHEET = "module data sheet", "inverter data sheet"
NO_SOURCE = "common practice, no source"
Ask = tuple[str, str]
"""A fact that is missing, and how to find it out."""
ASK_VOC: Ask = ("the module's open-circuit voltage", "Read the open-circuit voltage (Voc) on the module's data sheet.")
ASK_VMP: Ask = ("the module's voltage at full power",
                "Read the voltage at full power (Vmp) on the module's data sheet.")
ASK_LOW: Ask = ("the coldest weather to plan for",
                "Ask the building office for the coldest temperature to plan for (the extreme annual mean minimum).")
ASK_HIGH: Ask = ("the hottest weather to plan for",
                 "Ask the building office for the hottest air to plan for (the 2 % summer design dry bulb).")
ASK_VMP_COEFFICIENT: Ask = ("the temperature coefficient of the module's voltage at full power",
                            "Read the temperature coefficient of power, or better of Vmp, on the module's data sheet.")
ASK_VOC_COEFFICIENT: Ask = (
    "the temperature coefficient of the module's open-circuit voltage (the Code's table does not reach so low)",
    "Read the temperature coefficient of the open-circuit voltage (Voc) on the module's data sheet.")
ASK_SYSTEM_V: Ask = ("the module's maximum system voltage",
                     "Read the maximum system voltage on the module's data sheet.")


@dataclass(frozen=True)
class ModuleVoltage:
    """Of one module, at one end of the weather."""

    v: float | None                          # None: a fact is missing
    formula: str = ""
    sources: tuple[str, ...] = ()
    missing: tuple[Ask, ...] = ()
    cautions: tuple[str, ...] = ()
    conditions: tuple[str, ...] = ()
    mild_v: float | None = None              # hot end only: with the smaller rise above the air


@dataclass(frozen=True)
class Limit:
    v: float
    words: str
    source: str


def cold_v(voc_v: float, coefficient_percent_per_c: float, low_c: float) -> float:
    """Open-circuit voltage [V] at `low_c`: Voc × [1 + coefficient / 100 × (low_c − 25)]. Source: NEC 690.7(A)."""
    return voc_v * (1.0 + coefficient_percent_per_c / 100.0 * (low_c - factor("string_rating_c")))


def hot_v(vmp_v: float, coefficient_percent_per_c: float, cell_c: float) -> float:
    """Voltage at full power [V] at `cell_c`, the temperature of the cell and never of the air."""
    return vmp_v * (1.0 + coefficient_percent_per_c / 100.0 * (cell_c - factor("string_rating_c")))


@cache
def _voc_factors() -> tuple[tuple[float, float], ...]:
    return tuple((float(row["ambient_down_to_c"]), float(row["factor"])) for row in table_rows("code_voc_factors.csv"))


def table_factor(low_c: float) -> float | None:
    """Factor of NEC Table 690.7(A) for crystalline silicon; None below its last row.

    A temperature between two rows takes the colder one.
    """
    return next((found for down_to, found in _voc_factors() if down_to <= low_c), None)


def most_modules(limit_v: float, module_cold_v: float) -> int:
    """Whole modules under the limit; never rounded up."""
    return math.floor(limit_v / module_cold_v + COUNT_TOLERANCE)


def fewest_modules(least_v: float, module_hot_v: float) -> int:
    """Whole modules that still reach `least_v`; never rounded down."""
    return math.ceil(least_v / module_hot_v - COUNT_TOLERANCE)


def not_known(asks: tuple[Ask, ...]) -> str:
    """'Not known: the module's open-circuit voltage.'"""
    return f"Not known: {listed([fact for fact, _ in asks])}."


def volts(value: float) -> str:
    return show(value, "V", 0 if abs(value - round(value)) < 1e-9 else 2)


def cold_of(house: House) -> ModuleVoltage:
    """Highest voltage of one module: by the data sheet's coefficient, else by the Code's table."""
    voc, low_c, edition = house.array.module_voc_v, house.place.design_low_c, house.electrical.edition
    missing = tuple(ask for value, ask in ((low_c, ASK_LOW), (voc, ASK_VOC)) if value is None)
    if missing:
        return ModuleVoltage(None, missing=missing)
    coefficient = house.array.voc_coefficient_percent_per_c
    if coefficient is not None:
        v = cold_v(voc, coefficient, low_c)
        return ModuleVoltage(v, _by_coefficient(voc, coefficient, low_c, v),
                             (DATA_SHEET, cite("string_voltage", edition)))
    found = table_factor(low_c)
    if found is None:
        return ModuleVoltage(None, missing=(ASK_VOC_COEFFICIENT,))
    v = voc * found
    table = cite("string_factor", edition)
    formula = f"{show_input(voc, 'V')} × {found:.2f} ({table}, at {show_input(low_c, '°C')}) = {volts(v)}"
    return ModuleVoltage(v, formula, (DATA_SHEET, table), conditions=(TABLE_CONDITION,))


def example_of(house: House) -> tuple[float, str] | None:
    """Where only the data sheet is missing: what a generic module would give [V], and the sum in words."""
    low_c = house.place.design_low_c
    if low_c is None or house.array.module_voc_v is not None:
        return None
    module = module_of(house)
    coefficient = module.voc_coefficient_percent_per_c
    v = cold_v(module.voc_v, coefficient, low_c)
    return v, f"generic module {module.name}: {_by_coefficient(module.voc_v, coefficient, low_c, v)}"


def _by_coefficient(start_v: float, coefficient: float, at_c: float, v: float) -> str:
    from_rating = f"({show_input(at_c, '°C')} − {show_input(factor('string_rating_c'), '°C')})"
    return f"{show_input(start_v, 'V')} × [1 + ({show_input(coefficient, '%/°C')}) / 100 × {from_rating}] = {volts(v)}"


def hot_of(house: House) -> ModuleVoltage:
    """Lowest voltage of one module at full power, with the cells as hot above the air as roofs make them."""
    array, high_c = house.array, house.place.design_high_c
    own, stand_in = array.vmp_coefficient_percent_per_c, array.power_coefficient_percent_per_c
    coefficient = own if own is not None else stand_in
    missing = tuple(ask for value, ask in ((high_c, ASK_HIGH), (array.module_vmp_v, ASK_VMP),
                                           (coefficient, ASK_VMP_COEFFICIENT)) if value is None)
    if missing:
        return ModuleVoltage(None, missing=missing)
    rise, mild = factor("string_cell_rise_high"), factor("string_cell_rise_low")
    v = hot_v(array.module_vmp_v, coefficient, high_c + rise)
    cautions = [_rise_caution(mild, rise)]
    if own is None:
        cautions.append(STAND_IN)
    if any(face.mounting == "in the roof" and face.module_count != 0 for face in house.roof):
        cautions.append("Modules built into the roof can run hotter still.")
    formula = (f"cells at {show_input(high_c, '°C')} + {show(rise, 'K')} = {show_input(high_c + rise, '°C')}; "
               + _by_coefficient(array.module_vmp_v, coefficient, high_c + rise, v))
    return ModuleVoltage(v, formula, (DATA_SHEET, NO_SOURCE), cautions=tuple(cautions),
                         mild_v=hot_v(array.module_vmp_v, coefficient, high_c + mild))


def _rise_caution(mild_k: float, rise_k: float) -> str:
    return (f"Cells run {show(mild_k, 'K')} to {show(rise_k, 'K')} hotter than the air on a roof in full sun; the "
            f"higher number is used ({NO_SOURCE}). That is the worst case to plan strings by: the hottest air of a usual summer and full sun "
            "at once; the hottest cells in the year's hours, where this report names them, come from the weather file and the roof.")


def limits_of(house: House, dc_side: InverterInput | None) -> tuple[Limit, ...]:
    """Every voltage that a string may not pass, the lowest first."""
    is_other, system_v = house.building.kind == "other building", house.array.module_max_system_v
    found = [Limit(factor("string_limit_other_v" if is_other else "string_limit_dwelling_v"),
                   "the Code's limit on " + ("other buildings" if is_other else "one- and two-family dwellings"),
                   cite("string_limit", house.electrical.edition))]
    if dc_side is not None:
        found.append(Limit(dc_side.max_v, "the inverter's highest input voltage", INVERTER_SHEET))
    if system_v is not None:
        found.append(Limit(system_v, "the module's maximum system voltage", DATA_SHEET))
    return tuple(sorted(found, key=lambda limit: limit.v))
