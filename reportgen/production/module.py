"""The module's data sheet as the calculation uses it: what the house file says, and the generic row for the rest."""

from __future__ import annotations

from dataclasses import dataclass

from reportgen.describe.models import House
from reportgen.describe.module_table import generic_module

SAID = "the house file"
# Filled openly where the house file leaves them out, so that this file can't tell which of the two it was.
MAY_BE_ASSUMED = ("power_w", "noct_c", "power_coefficient_percent_per_c")


@dataclass(frozen=True)
class ModuleData:
    """One module. `said`: names of the fields below that the house file gives; the rest is the generic row's."""

    name: str                     # of the generic row
    power_w: float                # at 25 °C and 1,000 W/m²
    voc_v: float                  # open circuit
    isc_a: float                  # short circuit
    vmp_v: float                  # at full power
    imp_a: float
    power_coefficient_percent_per_c: float
    voc_coefficient_percent_per_c: float
    noct_c: float
    long_m: float
    short_m: float
    weight_kg: float
    max_fuse_a: float             # maximum series fuse
    max_system_v: float
    said: frozenset[str]
    row_power_w: float            # of the generic row
    row_source: str
    row_seen_on: str

    def source_of(self, field: str) -> str:
        if field in MAY_BE_ASSUMED:
            return f"{SAID}, or the list of what was assumed"
        return SAID if field in self.said else f"generic module {self.name}: {self.row_source}"


def module_of(house: House) -> ModuleData:
    """The module of `house`, whether completed or not.

    Without a name the row nearest in power is taken. Voltages come from the row; currents follow from the power, so
    that voltage times current at full power is the power.
    """
    array = house.array
    row = generic_module(array.module, array.module_w)
    power = array.module_w if array.module_w is not None else row.power_w
    said = {"power_w": array.module_w, "voc_v": array.module_voc_v, "isc_a": array.module_isc_a,
            "vmp_v": array.module_vmp_v, "imp_a": array.module_imp_a, "noct_c": array.module_noct_c,
            "power_coefficient_percent_per_c": array.power_coefficient_percent_per_c,
            "voc_coefficient_percent_per_c": array.voc_coefficient_percent_per_c,
            "long_m": _metres(array.module_long_mm), "short_m": _metres(array.module_short_mm),
            "weight_kg": array.module_weight_kg, "max_fuse_a": array.module_max_fuse_a,
            "max_system_v": array.module_max_system_v}
    said = {key: value for key, value in said.items() if value is not None}
    vmp = said.get("vmp_v", power / said["imp_a"] if "imp_a" in said else row.vmp_v)
    imp = said.get("imp_a", power / vmp)
    values = {"power_w": power, "voc_v": row.voc_v, "isc_a": row.isc_a * imp / row.imp_a, "vmp_v": vmp, "imp_a": imp,
              "power_coefficient_percent_per_c": row.power_coefficient_percent_per_c,
              "voc_coefficient_percent_per_c": row.voc_coefficient_percent_per_c, "noct_c": row.noct_c,
              "long_m": row.long_mm / 1000.0, "short_m": row.short_mm / 1000.0, "weight_kg": row.weight_kg,
              "max_fuse_a": row.max_fuse_a, "max_system_v": row.max_system_v} | said
    return ModuleData(name=row.name, **values, said=frozenset(said), row_power_w=row.power_w, row_source=row.source, row_seen_on=row.seen_on)


def _metres(millimetres: float | None) -> float | None:
    return None if millimetres is None else millimetres / 1000.0
