"""The production chain: from a year of sun and air to kWh at the meter, hour by hour."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from reportgen.climate.sun import sun_path
from reportgen.climate.typical_year import TypicalYear
from reportgen.describe.models import House
from reportgen.describe.roof import RoofFace
from reportgen.production.conversion import convert, limited
from reportgen.production.faces import FaceShare, share_modules
from reportgen.production.heat import cell_temperature_c, heat_factor
from reportgen.production.losses import AFTER_HEAT, BEFORE_HEAT, YearEnergy, kept, stairs
from reportgen.production.plane import ALBEDO, face_geometry, plane_light
from reportgen.production.result import FaceProduction, Production
from reportgen.production.spread import spread_of
from reportgen.production.workings import Found, HottestHour, main_figures, notes, other_figures
from reportgen.sizing import dc_kw

DAYS = np.array([31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31])
MONTH_HOURS = DAYS * 24
MONTH_STARTS = np.concatenate(([0], np.cumsum(MONTH_HOURS)[:-1]))


@dataclass(frozen=True, eq=False)
class FaceHours:
    """One face through the year, before conversion."""

    plane_w_m2: np.ndarray        # sun on the plane, before shade
    lit_w_m2: np.ndarray          # after shade
    behind_glass_w_m2: np.ndarray  # after shade and reflection
    cell_c: np.ndarray
    heat: np.ndarray              # power against the label's at this temperature
    dc_kw: np.ndarray


@dataclass(frozen=True, eq=False)
class AcHours:
    """The array through the year, after conversion [kW]."""

    unlimited_kw: np.ndarray      # of the whole array
    limited_kw: np.ndarray
    is_at_limit: np.ndarray       # hours in which something is cut off
    face_kw: tuple[np.ndarray, ...]   # limited, by face


def produce(house: House, year: TypicalYear, *, sky: str = "haydavies", albedo: float = ALBEDO) -> Production:
    """What the array of `house` gives in its first year under the weather of `year`.

    house: everything filled, the array's and the inverter's size included.
    sky, albedo: see `plane.plane_light`; reports use the values given here.
    Errors: ValueError where no roof face carries a module.
    """
    shares = share_modules(house)
    faces = tuple(_face_hours(house, *pair, year, sky, albedo) for pair in zip(house.roof, shares, strict=True))
    power, limit = dc_kw(house), house.array.inverter_kw

    ac = _to_ac(house, faces, shares)
    in_service = 1.0 - house.losses.downtime_percent / 100.0
    hours = ac.limited_kw * in_service
    hours.setflags(write=False)

    found = Found(
        house=house, year=year, energy=_year_energy(faces, shares, ac, hours), spread=spread_of(year), dc_kw=power,
        ac_limit_kw=limit, hours_at_limit=int(ac.is_at_limit.sum()), hottest=_hottest(house, faces, shares, year),
        faces=tuple(_face_production(*four, in_service)
                    for four in zip(house.roof, shares, faces, ac.face_kw, strict=True)))
    main = main_figures(found)
    steps = stairs(found.energy, house.losses, house.array.inverter_efficiency_percent, limit)
    return Production(
        hours_kwh=hours, month_kwh=month_sums(hours), year=main["year"], mean_of_25=main["mean_of_25"],
        specific_yield=main["specific_yield"], performance_ratio=main["performance_ratio"], faces=found.faces,
        losses=steps, spread=found.spread, hottest_cell_c=found.hottest.cell_c, dc_kw=power, ac_limit_kw=limit,
        figures=(*main.values(), *other_figures(found)), notes=notes(found, steps))


def month_sums(hours) -> np.ndarray:
    """Twelve sums of 8,760 hours, read-only."""
    months = np.add.reduceat(hours, MONTH_STARTS)
    months.setflags(write=False)
    return months


def _face_hours(house: House, face: RoofFace, share: FaceShare, year: TypicalYear, sky: str,
                albedo: float) -> FaceHours:
    site = (year.latitude, year.longitude, year.utc_offset_h, year.elevation_m)
    geometry = face_geometry(*site, face.tilt_deg, face.facing_deg)
    light = plane_light(geometry, sun_path(*site), year.ghi_w_m2, year.dni_w_m2, year.dhi_w_m2, sky=sky, albedo=albedo)
    plane = light.total
    clear = np.repeat(1.0 - np.array(face.shade_percent) / 100.0, MONTH_HOURS)
    behind_glass = light.behind_glass(geometry) * clear
    # Cells are as hot as in full light: shade covers part of the face or of the hour, and the rest stays hot.
    cell = cell_temperature_c(plane, year.air_c, year.wind_m_s, house.array.module_noct_c, face.mounting)
    heat = heat_factor(cell, house.array.power_coefficient_percent_per_c)
    even = kept(house.losses, BEFORE_HEAT) * kept(house.losses, AFTER_HEAT)
    dc = behind_glass * heat * (even / 1000.0) * share.dc_kw
    return FaceHours(plane, plane * clear, behind_glass, cell, heat, dc)


def _to_ac(house: House, faces, shares) -> AcHours:
    """Convert and limit.

    One inverter takes the sum of all faces and is limited once; a face has its part of that by its DC power. Small
    units under the modules convert, and are limited, each for itself: a face then has its modules' share of the limit.
    """
    limit, efficiency = house.array.inverter_kw, house.array.inverter_efficiency_percent
    whole_dc_kw = sum(face.dc_kw for face in faces)
    if house.array.conversion == "module-level":
        power = dc_kw(house)
        limits = [limit * share.dc_kw / power for share in shares]
        parts = [convert(face.dc_kw, part, efficiency) if part > 0 else np.zeros_like(whole_dc_kw)
                 for face, part in zip(faces, limits, strict=True)]
        face_kw = tuple(limited(ac, part) for ac, part in zip(parts, limits, strict=True))
        at_limit = np.any([ac > part for ac, part in zip(parts, limits, strict=True)], axis=0)
        # Limited again, since parts that each obey their limit can pass the whole one by a rounding in their sum.
        return AcHours(sum(parts), limited(sum(face_kw), limit), at_limit, face_kw)
    unlimited = convert(whole_dc_kw, limit, efficiency)
    whole_kw = limited(unlimited, limit)
    per_dc = np.divide(whole_kw, whole_dc_kw, out=np.zeros_like(whole_dc_kw), where=whole_dc_kw > 0)
    return AcHours(unlimited, whole_kw, unlimited > limit, tuple(face.dc_kw * per_dc for face in faces))


def _year_energy(faces, shares, ac: AcHours, hours_kwh) -> YearEnergy:
    def total(values) -> float:
        return sum(share.dc_kw * float(v.sum()) / 1000.0 for share, v in zip(shares, values, strict=True))

    behind_glass = total(face.behind_glass_w_m2 for face in faces)
    with_heat = total(face.behind_glass_w_m2 * face.heat for face in faces)
    return YearEnergy(
        sun=total(face.plane_w_m2 for face in faces), after_shade=total(face.lit_w_m2 for face in faces),
        after_reflection=behind_glass, heat_factor=with_heat / behind_glass if behind_glass > 0 else 1.0,
        after_conversion=float(ac.unlimited_kw.sum()), after_limit=float(ac.limited_kw.sum()),
        at_meter=float(hours_kwh.sum()))


def _face_production(face: RoofFace, share: FaceShare, hours: FaceHours, ac_kw, in_service: float) -> FaceProduction:
    months = month_sums(ac_kw * in_service)
    return FaceProduction(
        name=face.name, azimuth_deg=face.facing_deg, slope_deg=face.tilt_deg, module_count=share.module_count,
        dc_kw=share.dc_kw, plane_of_array_kwh_m2=float(hours.plane_w_m2.sum()) / 1000.0, month_kwh=months,
        year_kwh=float(months.sum()))


def _hottest(house: House, faces, shares, year: TypicalYear):
    """The hour and face with the hottest cells, of those faces that carry modules."""
    peaks = [(float(face.cell_c.max()), -i, int(face.cell_c.argmax())) for i, face in enumerate(faces)
             if shares[i].dc_kw > 0]
    cell_c, minus_i, hour = max(peaks)
    return HottestHour(house.roof[-minus_i], cell_c, float(faces[-minus_i].plane_w_m2[hour]),
                       float(year.air_c[hour]), float(year.wind_m_s[hour]), hour)
