"""Figures of the equipment: the module's data, each inverter against its modules, what is cut off, what the night takes."""

from __future__ import annotations

from typing import TYPE_CHECKING

from reportgen.figures import Figure, show
from reportgen.production import conversion
from reportgen.production.inverters import name_with_faces
from reportgen.production.module import MAY_BE_ASSUMED, ModuleData
from reportgen.production.result import InverterShare

if TYPE_CHECKING:
    from reportgen.production.workings import Found

# (field of ModuleData, what the reader sees, unit)
MODULE_ROWS = (
    ("power_w", "Rated power of one module", "W"),
    ("voc_v", "Open-circuit voltage of one module at 25 °C", "V"),
    ("isc_a", "Short-circuit current of one module", "A"),
    ("vmp_v", "Voltage of one module at full power", "V"),
    ("imp_a", "Current of one module at full power", "A"),
    ("power_coefficient_percent_per_c", "Change of power per degree", "%/°C"),
    ("voc_coefficient_percent_per_c", "Change of open-circuit voltage per degree", "%/°C"),
    ("noct_c", "Nominal operating cell temperature", "°C"),
    ("long_m", "Long side of one module", "m"),
    ("short_m", "Short side of one module", "m"),
    ("weight_kg", "Weight of one module", "kg"),
    ("max_fuse_a", "Maximum series fuse", "A"),
    ("max_system_v", "Maximum system voltage of the module", "V"),
)
# Fields whose value follows another where no data sheet is written.
FOLLOWS = {"isc_a": "scaled with the current at full power", "imp_a": "power / voltage at full power"}


def equipment_figures(found: Found):
    """Every figure of this file, in the order of the page."""
    return (*_module_figures(found.module), *_inverter_figures(found), *_cut_figures(found), _night_figure(found))


def _module_figures(module: ModuleData):
    for field, label, unit in MODULE_ROWS:
        value = getattr(module, field)
        if field in module.said or field in MAY_BE_ASSUMED:
            how = f"{show(value, unit, _digits(value))}, {'as written or assumed' if field in MAY_BE_ASSUMED else 'as written'}"
        else:
            how = f"{show(value, unit, _digits(value))}, as a generic module has it"
            how += f" ({FOLLOWS[field]})" if field in FOLLOWS else ""
        yield Figure(f"production.module.{field}", label, value, unit, None, None, how, (module.source_of(field),))


def _digits(value: float) -> int:
    """As written on a data sheet, not rounded as a result would be."""
    return next((d for d in range(3) if abs(value - round(value, d)) < 1e-9), 3)


def has_own_figures(inverters: tuple[InverterShare, ...]) -> bool:
    """Whether inverters differ from the whole array and from its faces, so that each has figures of its own."""
    return len(inverters) > 1 and not inverters[0].module_level


def _inverter_figures(found: Found):
    if not has_own_figures(found.inverters):
        return
    for number, inverter in enumerate(found.inverters, start=1):
        key, name = f"production.inverter_{number}", name_with_faces(inverter)
        limit = show(inverter.limit_kw, "kW", 2)
        whole = f"({inverter.count} × {limit})" if inverter.count > 1 else limit
        yield Figure(f"{key}.dc_ac_ratio", f"Rated power of the modules against the AC limit: {name}",
                     inverter.dc_ac_ratio, "1", None, None,
                     f"{show(inverter.dc_kw, 'kW', 2)} / {whole} = {show(inverter.dc_ac_ratio, '1')}",
                     ("the house file, or the list of what was assumed",))
        yield Figure(f"{key}.cut_off_kwh", f"Cut off at the limit in a year: {name}", inverter.cut_off_kwh, "kWh",
                     None, None, f"{inverter.hours_at_limit} hours above {limit} each, the excess summed = "
                     f"{show(inverter.cut_off_kwh, 'kWh')}; peaks within an hour come on top", (conversion.SOURCE,))


def _cut_figures(found: Found):
    for number, face in enumerate(found.faces, start=1):
        if face.dc_kw > 0:
            yield Figure(f"production.face_{number}.cut_off_kwh", f"Cut off at the inverter's limit in a year: {face.name}",
                         face.cut_off_kwh, "kWh", None, None,
                         "this face's part, by its DC power, of what its inverters cut off, summed over the hours = "
                         f"{show(face.cut_off_kwh, 'kWh')}", (conversion.SOURCE,))


def _night_figure(found: Found) -> Figure:
    count = sum(inverter.count for inverter in found.inverters)
    draw_w = conversion.night_draw_w(found.house, count)
    dark_hours = int((found.year.ghi_w_m2 <= 0).sum())
    kwh = draw_w * dark_hours / 1000.0
    said = found.house.array.night_draw_w is not None
    each = "" if said else f" ({count} × {show(draw_w / count, 'W', 2)})"
    return Figure(
        "production.night_draw_kwh", "What the inverters draw in the dark in a year", kwh, "kWh", None, None,
        f"{show(draw_w, 'W', 1)}{each} × {dark_hours:,} dark hours / 1000 = {show(kwh, 'kWh')}; it is not taken off "
        "the output, since no hour of output is below nothing: it adds to the house's use",
        ("the inverter's data sheet, as the house file has it" if said else conversion.NIGHT_SOURCE,))
