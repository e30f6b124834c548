"""Rows of the equipment table: what the report reckons with, and whether the house file said it or it was assumed."""

from __future__ import annotations

from dataclasses import dataclass

from reportgen.assessment import Assessment
from reportgen.figures import show
from reportgen.production.equipment_figures import has_own_figures
from reportgen.production.result import InverterShare

SAID, ASSUMED = "the house file", "assumed"
# What the reader sees -> the fields of ModuleData and their decimal places.
MODULE_ROWS = (
    ("Module, rated power", (("power_w", "W", 0),)),
    ("Module, voltage: nothing connected; at full power", (("voc_v", "V", 1), ("vmp_v", "V", 1))),
    ("Module, current: short circuit; at full power", (("isc_a", "A", 2), ("imp_a", "A", 2))),
    ("Module, each degree warmer: power; voltage with nothing connected", (("power_coefficient_percent_per_c", "%/°C", 2),
                                                         ("voc_coefficient_percent_per_c", "%/°C", 2))),
    ("Module, nominal operating cell temperature", (("noct_c", "°C", 0),)),
    ("Module, sides; weight", (("long_m", "m", 3), ("short_m", "m", 3), ("weight_kg", "kg", 1))),
    ("Module, highest series fuse; highest system voltage", (("max_fuse_a", "A", 0), ("max_system_v", "V", 0))),
)
ASSUMED_BY = {"power_w": "array.module_w", "noct_c": "array.module_noct_c",
              "power_coefficient_percent_per_c": "array.power_coefficient_percent_per_c"}


# For readers who measure in feet: the same in inches and pounds.
IN_FEET = {"m": ("in", 1 / 0.0254, 1), "kg": ("lb", 1 / 0.45359237, 0)}


@dataclass(frozen=True)
class Item:
    words: str
    key: str      # of the Figure behind it


@dataclass(frozen=True)
class Row:
    label: str
    items: tuple[Item, ...]
    source: str


def equipment_rows(assessment: Assessment) -> list[Row]:
    """Modules first, then each inverter, then what the night takes."""
    production = assessment.production
    assumed = {path for a in assessment.assumptions for path in a.paths}
    in_feet = assessment.layout.in_feet if assessment.layout is not None else assessment.house.place.in_us
    rows = []
    if production.module is not None:
        rows += [_module_row(production.module, label, fields, assumed, in_feet) for label, fields in MODULE_ROWS]
    several = has_own_figures(production.inverters)
    rows += [_inverter_row(i, inverter, several, assumed) for i, inverter in enumerate(production.inverters, start=1)]
    night = assessment.figures.get("production.night_draw_kwh")
    if night is not None:
        said = assessment.house.array.night_draw_w is not None
        rows.append(Row("Drawn by the inverters in the dark", (Item(f"{night.text()} a year", night.key),),
                        SAID if said else ASSUMED))
    return rows


def _module_row(module, label: str, fields, assumed: set[str], in_feet: bool) -> Row:
    items = tuple(Item(_in_the_readers_unit(getattr(module, field), unit, places, in_feet), f"production.module.{field}")
                  for field, unit, places in fields)
    sources = []
    for field, _, _ in fields:
        if ASSUMED_BY.get(field) in assumed:
            sources.append(ASSUMED)
        elif field in module.said:
            sources.append(SAID)
        else:
            sources.append(f"typical of {show(module.row_power_w, 'W')} modules")
    return Row(label, items, " and ".join(dict.fromkeys(sources)))


def _in_the_readers_unit(value: float, unit: str, places: int, in_feet: bool) -> str:
    if in_feet and unit in IN_FEET:
        unit, factor, places = IN_FEET[unit]
        value *= factor
    return show(value, unit, places)


def _inverter_row(number: int, inverter: InverterShare, several: bool, assumed: set[str]) -> Row:
    count = f"{inverter.count} × " if inverter.count > 1 else ""
    limit = show(1000.0 * inverter.limit_kw, "W") if inverter.module_level else show(inverter.limit_kw, "kW")
    # Figures of its own exist where several inverters are listed; else the whole array's are the same.
    own = f"production.inverter_{number}" if several else "production"
    ratio_key, cut_key = f"{own}.dc_ac_ratio", f"{own}.cut_off_kwh" if several else "production.hours_at_limit"
    name = inverter.name[:1].upper() + inverter.name[1:]
    faces = "" if inverter.module_level or not inverter.faces else f", from {', '.join(inverter.faces)}"
    items = (Item(f"{count}{limit} AC, {show(inverter.efficiency_percent, '%', 1)} weighted", "production.ac_limit_kw"),
             Item(f"DC/AC {show(inverter.dc_ac_ratio, '1')}", ratio_key),
             Item(f"{show(inverter.cut_off_kwh, 'kWh')} a year cut off", cut_key))
    parts = [ASSUMED if "array.inverter_kw" in assumed else SAID]
    if "array.inverter_efficiency_percent" in assumed and parts == [SAID]:
        parts.append("efficiency assumed")
    return Row(f"{name}{faces}", items, ", ".join(parts))
