"""The production chain: from a year of sun and air to kWh at the meter, hour by hour."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from reportgen.climate.sun import sun_path
from reportgen.climate.typical_year import TypicalYear
from reportgen.describe.models import House
from reportgen.describe.roof import RoofFace
from reportgen.production.dirt_and_snow import dirt_months, snow_months
from reportgen.production.faces import FaceShare, share_modules
from reportgen.production.heat import cell_temperature_c, heat_factor
from reportgen.production.inverters import AcHours, plan_inverters, to_ac
from reportgen.production.losses import AFTER_HEAT, YearEnergy, kept, stairs
from reportgen.production.module import module_of
from reportgen.production.plane import ALBEDO, face_geometry, plane_light
from reportgen.production.result import FaceProduction, Production
from reportgen.production.shade.factors import shade_factors
from reportgen.production.shade.light import ShadedLight, shaded_light
from reportgen.production.shade.told import skylines, spread_parts
from reportgen.production.spread import spread_of
from reportgen.production.workings import Found, HottestHour, main_figures, notes, other_figures
from reportgen.sizing import dc_kw, with_inverter_totals

DAYS = np.array([31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31])
MONTH_HOURS = DAYS * 24
MONTH_STARTS = np.concatenate(([0], np.cumsum(MONTH_HOURS)[:-1]))


@dataclass(frozen=True, eq=False)
class FaceHours:
    """One face through the year, before conversion."""

    light: ShadedLight
    cell_c: np.ndarray
    heat: np.ndarray              # power against the label's at this temperature
    snow: np.ndarray              # share that snow takes, by month
    dc_kw: np.ndarray


def produce(house: House, year: TypicalYear, *, sky: str = "haydavies", albedo: float = ALBEDO) -> Production:
    """What the array of `house` gives in its first year under the weather of `year`.

    house: everything filled, the array's and the inverter's size included.
    sky, albedo: see `plane.plane_light`; reports use the values given here.
    Errors: ValueError where no roof face carries a module.
    """
    house = with_inverter_totals(house)
    shares = share_modules(house)
    dirt = dirt_months(house.losses)
    faces = tuple(_face_hours(house, *pair, year, dirt, sky, albedo) for pair in zip(house.roof, shares, strict=True))
    power, limit = dc_kw(house), house.array.inverter_kw

    ac = to_ac(plan_inverters(house, shares), [face.dc_kw for face in faces], limit)
    in_service = 1.0 - house.losses.downtime_percent / 100.0
    hours = ac.limited_kw * in_service
    hours.setflags(write=False)

    energy = _year_energy(faces, shares, dirt, ac, hours)
    found = Found(
        house=house, year=year, energy=energy, spread=spread_of(year, spread_parts(energy)), dc_kw=power,
        face_lights=tuple(face.light for face in faces),
        ac_limit_kw=limit, hours_at_limit=int(ac.is_at_limit.sum()), inverters=ac.inverters, module=module_of(house),
        hottest=_hottest(house, faces, shares, year),
        faces=tuple(_face_production(*five, in_service)
                    for five in zip(house.roof, shares, faces, ac.face_kw, ac.face_cut_kwh, strict=True)))
    main = main_figures(found)
    steps = stairs(found.energy, house.losses, ac.inverters)
    return Production(
        hours_kwh=hours, month_kwh=month_sums(hours), year=main["year"], mean_of_25=main["mean_of_25"],
        specific_yield=main["specific_yield"], performance_ratio=main["performance_ratio"], faces=found.faces,
        losses=steps, spread=found.spread, hottest_cell_c=found.hottest.cell_c, dc_kw=power, ac_limit_kw=limit,
        figures=(*main.values(), *other_figures(found)), notes=notes(found, steps), inverters=ac.inverters,
        module=found.module, skylines=skylines(house, found.faces))


def month_sums(hours) -> np.ndarray:
    """Twelve sums of 8,760 hours, read-only."""
    months = np.add.reduceat(hours, MONTH_STARTS)
    months.setflags(write=False)
    return months


def _face_hours(house: House, face: RoofFace, share: FaceShare, year: TypicalYear, dirt, sky: str,
                albedo: float) -> FaceHours:
    site = (year.latitude, year.longitude, year.utc_offset_h, year.elevation_m)
    geometry = face_geometry(*site, face.tilt_deg, face.facing_deg)
    light = plane_light(geometry, sun_path(*site), year.ghi_w_m2, year.dni_w_m2, year.dhi_w_m2, sky=sky, albedo=albedo)
    shaded = shaded_light(light, geometry, shade_factors(house, face, site), face.shade_percent,
                          house.array.conversion != "module-level")
    plane = shaded.plane_w_m2
    # Cells are as hot as in full light: shade covers part of the face or of the hour, and the rest stays hot.
    cell = cell_temperature_c(plane, year.air_c, year.wind_m_s, house.array.module_noct_c, face.mounting)
    heat = heat_factor(cell, house.array.power_coefficient_percent_per_c)
    snow = _snow(house, face, plane, year)
    left = (1.0 - dirt) * (1.0 - snow) * (kept(house.losses, AFTER_HEAT) / 1000.0)
    dc = shaded.held_w_m2 * heat * np.repeat(left, MONTH_HOURS) * share.dc_kw
    return FaceHours(shaded, cell, heat, snow, dc)


def _snow(house: House, face: RoofFace, plane, year: TypicalYear) -> np.ndarray:
    if house.losses.snowfall is None:
        return snow_months(house, face, None, None)
    return snow_months(house, face, month_sums(plane) / 1000.0, month_sums(year.air_c) / MONTH_HOURS)


def _year_energy(faces, shares, dirt, ac: AcHours, hours_kwh) -> YearEnergy:
    def total(values) -> float:
        return sum(share.dc_kw * float(v.sum()) / 1000.0 for share, v in zip(shares, values, strict=True))

    def by_month(values):
        return sum(share.dc_kw * month_sums(v) / 1000.0 for share, v in zip(shares, values, strict=True))

    def snowed(values):
        return sum(share.dc_kw * month_sums(v) * (1.0 - face.snow) / 1000.0
                   for share, face, v in zip(shares, faces, values, strict=True))

    glass = by_month(face.light.held_w_m2 for face in faces)
    after_snow = snowed(face.light.held_w_m2 for face in faces)
    snow = 1.0 - np.divide(after_snow, glass, out=np.ones(12), where=glass > 0)
    after_heat = snowed(face.light.held_w_m2 * face.heat for face in faces)
    return YearEnergy(
        sun=total(face.light.plane_w_m2 for face in faces),
        after_horizon=total(face.light.past_horizon_w_m2 for face in faces),
        after_obstacles=total(face.light.past_obstacles_w_m2 for face in faces),
        after_shade=total(face.light.lit_w_m2 for face in faces),
        after_reflection=float(by_month(face.light.behind_glass_w_m2 for face in faces).sum()),
        after_string=float(glass.sum()), after_dirt=float((glass * (1.0 - dirt)).sum()),
        after_snow=float((after_snow * (1.0 - dirt)).sum()), after_heat=float((after_heat * (1.0 - dirt)).sum()),
        dirt_percent=tuple(100.0 * dirt), snow_percent=tuple(100.0 * snow),
        after_conversion=float(ac.unlimited_kw.sum()), after_limit=float(ac.limited_kw.sum()),
        at_meter=float(hours_kwh.sum()))


def _face_production(face: RoofFace, share: FaceShare, hours: FaceHours, ac_kw, cut_kwh: float,
                     in_service: float) -> FaceProduction:
    months = month_sums(ac_kw * in_service)
    return FaceProduction(
        name=face.name, azimuth_deg=face.facing_deg, slope_deg=face.tilt_deg, module_count=share.module_count,
        dc_kw=share.dc_kw, plane_of_array_kwh_m2=float(hours.light.plane_w_m2.sum()) / 1000.0, month_kwh=months,
        year_kwh=float(months.sum()), cut_off_kwh=cut_kwh)


def _hottest(house: House, faces, shares, year: TypicalYear):
    """The hour and face with the hottest cells, of those faces that carry modules."""
    peaks = [(float(face.cell_c.max()), -i, int(face.cell_c.argmax())) for i, face in enumerate(faces)
             if shares[i].dc_kw > 0]
    cell_c, minus_i, hour = max(peaks)
    return HottestHour(house.roof[-minus_i], cell_c, float(faces[-minus_i].light.plane_w_m2[hour]),
                       float(year.air_c[hour]), float(year.wind_m_s[hour]), hour)
