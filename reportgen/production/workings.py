"""Figures of the production part, with the sums written out, and what the reader should know about them."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime, timedelta
from functools import lru_cache
from math import prod

from reportgen.climate.sun import sunrise_sunset
from reportgen.climate.typical_year import MODEL_YEAR, TypicalYear
from reportgen.describe.fields import MONTHS
from reportgen.describe.models import House
from reportgen.describe.roof import RoofFace
from reportgen.figures import Figure, show, show_number
from reportgen.production import conversion, degradation, heat, plane
from reportgen.production.equipment_figures import equipment_figures
from reportgen.production.losses import GIVEN, YearEnergy
from reportgen.production.module import ModuleData
from reportgen.production.result import FaceProduction, InverterShare, Spread
from reportgen.production.shade import told
from reportgen.production.shade.light import ShadedLight
from reportgen.production.spread import MEAN_RANGE_IS, RANGE_IS, YEARS_OF_MEAN, Z_NINE_IN_TEN, nine_in_ten
from reportgen.production.weather_figures import weather_figures, weather_notes

MEASURED_RATIO_PERCENT = (75.0, 88.0)
MEASURED_RATIO_SOURCE = ("Six measured arrays in the US, the Netherlands and Italy, among them the NIST net-zero house "
                         "(Energy and Buildings 101, 2015) and the NIST ground array (J. Sol. Energy Eng. 140, 014503)")
POLE_SLOPE_MIN_DEG, POLE_ANGLE_MIN_DEG = 5.0, 112.5
TROPICS_DEG = 23.44
SUN_SOURCE = "Solar Position Algorithm, NREL/TP-560-34302"


@dataclass(frozen=True)
class HottestHour:
    face: RoofFace
    cell_c: float
    plane_w_m2: float
    air_c: float
    wind_m_s: float
    hour: int                     # of the year, from 0


@dataclass(frozen=True, eq=False)
class Found:
    """What the chain found, as the figures need it."""

    house: House
    year: TypicalYear
    energy: YearEnergy
    spread: Spread
    dc_kw: float
    ac_limit_kw: float
    hours_at_limit: int
    faces: tuple[FaceProduction, ...]
    hottest: HottestHour
    inverters: tuple[InverterShare, ...]
    module: ModuleData
    face_lights: tuple[ShadedLight, ...]


def main_figures(found: Found) -> dict[str, Figure]:
    """The four figures that `Production` names, by that name."""
    kwh, sun, power = found.energy.at_meter, found.energy.sun, found.dc_kw
    low, high = nine_in_ten(kwh, found.spread.one_year_sigma)
    mean_low, mean_high = nine_in_ten(kwh, found.spread.mean_of_25_sigma)
    ratio = 100.0 * kwh / sun if sun > 0 else 0.0
    weather = (f"Weather: {found.year.name}", *found.year.sources)

    def ends(sigma, low, high):
        return (f"{show(kwh, 'kWh', 0)} × (1 ± {Z_NINE_IN_TEN} × {show(100 * sigma, '%', 1)}) = "
                f"{show(high, 'kWh', 0)} and {show(low, 'kWh', 0)}")

    return {
        "year": Figure(
            "production.year_kwh", "Output in a typical first year", kwh, "kWh", low, high,
            f"{show(sun, 'kWh', 0)} of sun × performance ratio {show(ratio, '%', 1)} = {show(kwh, 'kWh', 0)}; ends: "
            + ends(found.spread.one_year_sigma, low, high), (*weather, plane.SKY_SOURCE), RANGE_IS),
        "mean_of_25": Figure(
            "production.mean_of_25_kwh", f"Mean output of {YEARS_OF_MEAN} years, ageing left out", kwh, "kWh", mean_low,
            mean_high, ends(found.spread.mean_of_25_sigma, mean_low, mean_high), weather, MEAN_RANGE_IS),
        "specific_yield": Figure(
            "production.specific_yield", "Output per kW of modules in a year", kwh / power, "kWh/kW", low / power,
            high / power, f"{show(kwh, 'kWh', 0)} / {show(power, 'kW', 2)} = {show(kwh / power, 'kWh/kW', 0)}", weather,
            RANGE_IS),
        "performance_ratio": Figure(
            "production.performance_ratio", "Performance ratio: the share of sun on the planes that reaches the meter",
            ratio, "%", None, None,
            f"{show(kwh, 'kWh', 0)} / {show(sun, 'kWh', 0)} = {show(ratio, '%', 1)}", (MEASURED_RATIO_SOURCE,)),
    }


def other_figures(found: Found) -> tuple[Figure, ...]:
    """Everything else a reader may question."""
    return (*_size_figures(found), *equipment_figures(found), *_face_figures(found), *told.figures(found), _hottest_figure(found), *_spread_figures(found),
            _year_25(found), *weather_figures(found.house, found.year), *_day_figures(found.year))


def _size_figures(found: Found):
    sun, power, limit = found.energy.sun, found.dc_kw, found.ac_limit_kw
    terms = " + ".join(f"{show(f.plane_of_array_kwh_m2, 'kWh/m²')} × {show(f.dc_kw, 'kW', 2)}"
                       for f in found.faces if f.dc_kw > 0)
    counts = " + ".join(str(f.module_count) for f in found.faces)
    lost = found.energy.after_conversion - found.energy.after_limit
    yield Figure("production.dc_kw", "Rated power of all modules", power, "kW", None, None,
                 f"{counts} modules on {len(found.faces)} roof face{'s' if len(found.faces) > 1 else ''}: "
                 f"{show(power, 'kW', 2)}", (GIVEN,))
    yield Figure("production.ac_limit_kw", "AC limit of all inverters", limit, "kW", None, None,
                 f"no hour gives more than {show(limit, 'kW', 2)}", (GIVEN,))
    yield Figure("production.dc_ac_ratio", "Rated power of the modules against the AC limit", power / limit, "1", None,
                 None, f"{show(power, 'kW', 2)} / {show(limit, 'kW', 2)} = {show(power / limit, '1')}", (GIVEN,))
    yield Figure("production.sun_kwh", "Sun on the planes times rated power", sun, "kWh", None, None,
                 f"{terms}, at 1 kW/m² rated = {show(sun, 'kWh', 0)}", (plane.SKY_SOURCE, *found.year.sources))
    yield Figure("production.hours_at_limit", "Hours a year at the inverter's limit", float(found.hours_at_limit),
                 "hours", None, None, f"{found.hours_at_limit} hours in which something is cut off at "
                 f"{show(limit, 'kW', 2)}; in all {show(lost, 'kWh', 0)}", (conversion.SOURCE,))


def _face_figures(found: Found):
    how = ("this face's own conversion and limit, summed over the hours"
           if found.house.array.conversion == "module-level" else
           "its part of each hour's output, by its share of the DC power, summed over the hours")
    weather = (plane.SKY_SOURCE, f"Albedo {plane.ALBEDO:g}: common practice, no source", *found.year.sources)
    for number, face in enumerate(found.faces, start=1):
        key = f"production.face_{number}"
        looks = f"slope {show(face.slope_deg, '°')}, facing {show(face.azimuth_deg, '°')} from north"
        yield Figure(f"{key}.plane_of_array_kwh_m2", f"Sun on the plane in a year, before shade: {face.name}",
                     face.plane_of_array_kwh_m2, "kWh/m²", None, None,
                     f"{looks}: beam + sky + ground = {show(face.plane_of_array_kwh_m2, 'kWh/m²')}", weather)
        if face.dc_kw == 0:
            continue
        yield Figure(f"{key}.year_kwh", f"Output in a typical first year: {face.name}", face.year_kwh, "kWh", None,
                     None, how, weather)
        yield Figure(f"{key}.specific_yield", f"Output per kW of modules in a year: {face.name}",
                     face.year_kwh / face.dc_kw, "kWh/kW", None, None,
                     f"{show(face.year_kwh, 'kWh', 0)} / {show(face.dc_kw, 'kW', 2)} = "
                     f"{show(face.year_kwh / face.dc_kw, 'kWh/kW')}", weather)


def _hottest_figure(found: Found) -> Figure:
    hot, noct = found.hottest, found.house.array.module_noct_c
    still, per_wind = heat.heat_loss(noct, hot.face.mounting)
    adder, gap = heat.STAND_OFF[hot.face.mounting]
    when = datetime(MODEL_YEAR, 1, 1) + timedelta(hours=hot.hour)
    return Figure(
        "production.hottest_cell_c", "Hottest cell in the year", hot.cell_c, "°C", None, None,
        f"{show(hot.air_c, '°C', 1)} + {show(hot.plane_w_m2, 'W/m²', 0)} / ({show_number(still, 2)} + "
        f"{show_number(per_wind, 2)} × {show(hot.wind_m_s, 'm/s', 1)}) = {show(hot.cell_c, '°C', 1)}, "
        f"{_day(when)} from {when:%H:%M} standard time, {hot.face.name}; {hot.face.mounting}: "
        f"{gap}, NOCT {noct:g} + {adder:g} °C", (heat.SOURCE, heat.STAND_OFF_SOURCE))


def _spread_figures(found: Found):
    for key, label, sigma, parts in (
            ("production.one_year_sigma", "One standard deviation of one year's output",
             found.spread.one_year_sigma, 1),
            ("production.mean_of_25_sigma", f"One standard deviation of the mean of {YEARS_OF_MEAN} years",
             found.spread.mean_of_25_sigma, YEARS_OF_MEAN)):
        terms = " + ".join(f"({show_number(100 * p.sigma, 1)} / √{parts})²" if p.every_year_anew and parts > 1
                           else f"{show_number(100 * p.sigma, 1)}²" for p in found.spread.parts)
        sources = tuple(dict.fromkeys(p.source for p in found.spread.parts))
        yield Figure(key, label, 100 * sigma, "%", None, None, f"√({terms}) = {show(100 * sigma, '%', 1)}", sources)


def _year_25(found: Found) -> Figure:
    percent = found.house.array.degradation_percent_per_year
    left = 100.0 * degradation.degradation_factor(25, percent)
    return Figure("production.year_25_percent", "Output in year 25, in percent of year 1", left, "%", None, None,
                  f"(1 − {percent:g} %)^24 = {show(left, '%', 1)}; year 1 counts as 100 %", (degradation.SOURCE, GIVEN))


def _day_figures(year: TypicalYear):
    days = _shortest_and_longest(year.latitude, year.longitude, year.utc_offset_h)
    for name, (day, rise, fall) in zip(("shortest", "longest"), days, strict=True):
        if rise is None or fall is None or fall <= rise:
            hours = 0.0 if name == "shortest" else 24.0   # polar night, or the midnight sun
            text = f"the sun does not both rise and set on this day: {hours:.0f} hours"
        else:
            hours = (fall - rise).total_seconds() / 3600.0
            text = f"sunrise {rise:%H:%M}, sunset {fall:%H:%M} standard time: {show(hours, 'hours', 1)}"
        yield Figure(f"production.{name}_day_hours", f"Sun above the horizon on the {name} day", hours, "hours", None,
                     None, f"{_day(day)}, {text}", (SUN_SOURCE,))


def _day(moment: date) -> str:
    return f"{moment.day} {MONTHS[moment.month - 1]}"


@lru_cache(maxsize=64)
def _shortest_and_longest(latitude: float, longitude: float, utc_offset_h: float):
    """((day, sunrise, sunset) of the shortest day, the same of the longest)."""
    june, december = ((day, *sunrise_sunset(day, latitude, longitude, utc_offset_h))
                      for day in (date(MODEL_YEAR, 6, 21), date(MODEL_YEAR, 12, 21)))
    return (december, june) if latitude >= 0 else (june, december)


def notes(found: Found, steps) -> tuple[str, ...]:
    """Sentences for the reader: what is special about this roof, and what the numbers leave out."""
    return (*weather_notes(found.house, found.year), *_pole_notes(found), *_ratio_note(found, steps), *told.notes(found),
            *_size_notes(found))


def _pole_notes(found: Found):
    year = found.year
    level = float(year.ghi_w_m2.sum()) / 1000.0
    to_equator = 180.0 if year.latitude >= 0 else 0.0
    for face in found.faces:
        away = abs((face.azimuth_deg - to_equator + 180.0) % 360.0 - 180.0)
        steep = face.slope_deg >= POLE_SLOPE_MIN_DEG and away >= POLE_ANGLE_MIN_DEG
        if steep and abs(year.latitude) > TROPICS_DEG and face.dc_kw > 0:
            yield (f"The face {face.name} looks away from the midday sun: its plane gets "
                   f"{show(face.plane_of_array_kwh_m2, 'kWh/m²')} a year, level ground {show(level, 'kWh/m²')}.")


def _ratio_note(found: Found, steps):
    if found.energy.sun <= 0:
        return
    aside = prod(step.factor for step in steps if step.key in ("horizon", "obstacles", "shade", "string", "limit"))
    ratio = 100.0 * found.energy.at_meter / found.energy.sun / aside if aside > 0 else None
    low, high = MEASURED_RATIO_PERCENT
    if ratio is not None and not low <= ratio <= high:
        yield (f"Shade and the inverter's limit aside, {show(ratio, '%', 1)} of the sun on the planes reaches the "
               f"meter; measured young arrays gave {low:g} to {high:g} %. Look for a slip in the house file before "
               "believing this.")


def _size_notes(found: Found):
    array, counted = found.house.array, sum(face.module_count for face in found.faces)
    by_count = counted * array.module_w / 1000.0
    is_counted = any(face.module_count is not None for face in found.house.roof)
    if array.array_kw is not None and is_counted and abs(by_count - found.dc_kw) > 0.05 * found.dc_kw:
        yield (f"{counted} modules of {array.module_w:g} W make {show(by_count, 'kW', 2)}, not the written "
               f"{show(found.dc_kw, 'kW', 2)}; the written power was used.")
