"""A year of use as 8,760 hours. Measured where a meter file gives them; else modelled, each bill's kWh kept exactly.

Modelled: a daily shape by the household's clock, and where heating or cooling is electric a share that follows the
house's own weather. Then coming changes, each from its day on.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from reportgen.bills.changes import ChangeHours, change_hours
from reportgen.bills.clock import HouseholdClock, household_clock
from reportgen.bills.errors import UseError
from reportgen.bills.existing_sun import used_at_once_hours
from reportgen.bills.meter_year import MeasuredUse, measured_hours, with_readings
from reportgen.bills.months import MONTH_DAYS
from reportgen.bills.shapes import laid_out, shapes
from reportgen.bills.weather_use import (
    COOLING_ABOVE_C,
    COOLING_KW_PER_C,
    HEAT_LOSS_KW_PER_C,
    HEAT_PUMP_AT_ZERO,
    HEATING_BELOW_C,
    assumed_shares,
    cooling_weights,
    fitted_shares,
    heating_weights,
)
from reportgen.climate.typical_year import MODEL_YEAR, TypicalYear
from reportgen.describe.bill_periods import year_of_bills
from reportgen.describe.models import House

DEFAULT_SHAPE, EUROPEAN = "evening peak", "European household"   # the second knows the seasons of a year's use
TROPICS_DEG = 23.4   # between the tropics there is no summer or winter to speak of
# Six households' hours against another household's shape: the share used at once was up to 0.060 off when the sun's
# output equalled the use and 0.070 when it was half (computed from the samples named in tables/NOTICE.load_shapes.md).
SELF_USE_REACH = 0.06


@dataclass(frozen=True, eq=False)
class HourlyUse:
    """Hour k as in TypicalYear: local standard time. Arrays are read-only."""

    hours_kwh: np.ndarray      # 8,760, today's use, before any coming change
    year: int                  # the calendar year that gives the weekdays
    shape_name: str
    shape_source: str
    is_measured: bool
    notes: tuple[str, ...]     # what was assumed or filled, for the reader
    changes: tuple[ChangeHours, ...] = ()

    @property
    def self_use_reach(self) -> float:
        """How far the share of the sun used at once may lie off because the hours are modelled; 0 where measured."""
        return 0.0 if self.is_measured else SELF_USE_REACH

    def by_year(self, year: int) -> np.ndarray:
        """8,760 hours of use in year 0, 1, 2 ... after the system is finished, with the changes that have begun."""
        extra = [change.hours_kwh for change in self.changes if change.first_year <= year]
        return self.hours_kwh + sum(extra) if extra else self.hours_kwh


def use_hours(house: House, year: TypicalYear, readings=None) -> HourlyUse:
    """Use in each hour of a year of `house` [kWh].

    year: its weather; heating and cooling follow its air, an existing array its sun. readings: what
    `bills.meter_year.read_use` gives for a house with a meter file, unless `with_readings` has put them into the house.
    Each bill's, month's or year's kWh is kept to 1e-6. Raises UseError where the use can't be known.
    """
    house = with_readings(house, readings)
    if isinstance(house.use, MeasuredUse):
        hours, notes = measured_hours(house.use, year.ghi_w_m2)
        calendar_year, name, source, is_measured = house.use.calendar_year, "measured hours", "the house's own meter file", True
    elif house.use.meter_file is not None:
        raise UseError("the house's meter file has not been read.")
    else:
        hours, name, notes = _modelled(house, year)
        calendar_year, source, is_measured = MODEL_YEAR, shapes()[name][1], False
    hours.setflags(write=False)
    changes, said = (), ()
    if house.use.changes:
        clock = household_clock(house.place.time_zone, year.utc_offset_h, calendar_year)
        changes, said = change_hours(house.use.changes, house.finish_day or house.report_day, hours, year.air_c, clock)
    return HourlyUse(hours, calendar_year, name, source, is_measured, (*notes, *said), changes)


def _modelled(house: House, year: TypicalYear) -> tuple[np.ndarray, str, tuple[str, ...]]:
    name = house.use.shape or DEFAULT_SHAPE
    clock = household_clock(house.place.time_zone, year.utc_offset_h, MODEL_YEAR)
    base = laid_out(name, house.place.latitude < 0, clock)
    period_of_day, kwh, notes = _counted(house, name)
    period = period_of_day[clock.day]   # a bill begins at the household's midnight, in summer time too
    if house.use.existing_solar is not None:
        kwh, solar_notes = _with_existing_sun(house, year, period, kwh)
        notes += solar_notes
    weights, weather_notes = _with_weather(house, year, base, period, kwh)
    sums = np.bincount(period, weights, minlength=len(kwh))
    hours = weights * (kwh / sums)[period]
    kept = "the year's" if house.use.annual_kwh is not None else "each month's" if house.use.monthly_kwh is not None else "each bill's"
    first = f"The hours of use are modelled, not measured: {kept} kWh are spread by the daily shape “{name}”."
    return hours, name, (first, *notes, *weather_notes, *_clock_notes(house, clock))


def _counted(house: House, name: str) -> tuple[np.ndarray, np.ndarray, list[str]]:
    """Of each of 365 days the period it belongs to; each period's kWh as counted; sentences."""
    use = house.use
    if use.monthly_kwh is not None:
        return np.repeat(np.arange(12), MONTH_DAYS), np.array(use.monthly_kwh, dtype=float), []
    if use.bills is not None:
        taken = year_of_bills(use.bills)
        period = np.zeros(365, dtype=int)
        for number, each in enumerate(taken.periods):
            period[list(each.days)] = number
        return period, np.array([each.kwh for each in taken.periods]), [
            f"The bills from {taken.first_day} to {taken.last_day} are taken: {len(taken.periods)} periods, {taken.kwh:,.0f} kWh.",
            *taken.notes]
    even = name != EUROPEAN and not _weather_parts(house) and use.existing_solar is None
    seasons = "by the seasons of that shape" if name == EUROPEAN else "evenly over the days of the year"
    follow = " apart from heating and cooling" if _weather_parts(house) else ""
    days = np.array(MONTH_DAYS if even else (365,))
    return np.repeat(np.arange(len(days)), days), use.annual_kwh * days / 365.0, [
        (f"Only the year's use is known ({use.annual_kwh:,.0f} kWh). It is spread {seasons}{follow}, which is assumed; twelve "
         "monthly bills would show the real seasons.")]


def _with_existing_sun(house: House, year: TypicalYear, period: np.ndarray, kwh: np.ndarray) -> tuple[np.ndarray, list[str]]:
    solar = house.use.existing_solar
    if solar.counts == "whole use":
        return kwh, []
    added = used_at_once_hours(solar, year.ghi_w_m2)
    found = kwh + np.bincount(period, added, minlength=len(kwh))
    for number in np.flatnonzero(found < 0):
        raise UseError(f"what was counted in period {number + 1} of the year ({kwh[number]:,.0f} kWh) and what the existing array made "
                       f"then leave {found[number]:,.0f} kWh of use, which can't be. Write generated_monthly_kwh from that array's "
                       "inverter or meter.")
    sent = "" if solar.counts == "net" else f" less {solar.year_exported_kwh:,.0f} kWh sent out"
    modelled = "" if solar.generated_monthly_kwh is not None else ", spread over the year by the sun of the place, which is assumed"
    return found, [(f"Use is what was counted ({kwh.sum():,.0f} kWh) and what the existing array made ({solar.year_generated_kwh:,.0f} "
                    f"kWh{modelled}){sent} = {found.sum():,.0f} kWh. The bill without the sun is the bill without any array.")]


def _weather_parts(house: House) -> list[str]:
    return [part for part, present in (("heating", house.use.heating in ("electric", "heat pump")), ("cooling", house.use.cooling))
            if present]


def _with_weather(house: House, year: TypicalYear, base: np.ndarray, period: np.ndarray, kwh: np.ndarray):
    """Weights of the hours: the base shape, and heating and cooling by the air. A sentence on how much follows the weather."""
    parts = _weather_parts(house)
    if not parts:
        return base, ()
    weather = {"heating": lambda: heating_weights(year.air_c, house.use.heating), "cooling": lambda: cooling_weights(year.air_c)}
    arrays = [base, *(weather[part]() for part in parts)]
    sums = np.column_stack([np.bincount(period, array, minlength=len(kwh)) for array in arrays])
    if len(kwh) > len(arrays):
        factors, how = fitted_shares(kwh, sums), "the bills themselves decide how much (least squares)"
    else:
        rates = {"heating": HEAT_LOSS_KW_PER_C, "cooling": COOLING_KW_PER_C}
        factors = assumed_shares(float(kwh.sum()), float(sums[:, 0].sum()), sums[:, 1:].sum(axis=0),
                                 np.array([rates[part] for part in parts]))
        how = "how much is assumed (common practice, no source)"
    weights = sum(factor * array for factor, array in zip(factors, arrays, strict=True))
    # A bill in which nothing would be used by these factors keeps its kWh by the base shape alone.
    empty = np.bincount(period, weights, minlength=len(kwh)) <= 0
    weights = np.where(empty[period], base, weights)
    texts = {"heating": f"below {HEATING_BELOW_C:.0f} °C", "cooling": f"above {COOLING_ABOVE_C:.0f} °C"}
    said = " and ".join(f"{factor * total:,.0f} kWh for {part} ({texts[part]})"
                        for part, factor, total in zip(parts, factors[1:], sums[:, 1:].sum(axis=0), strict=True))
    pump = (f" A heat pump is taken to give {HEAT_PUMP_AT_ZERO:g} kWh of heat for one at 0 °C, less when colder."
            if house.use.heating == "heat pump" else "")
    return weights, ((f"Hour by hour about {said} follow the usual year's weather at this place; {how}. These degrees are common "
                      f"practice, no source.{pump}"),)


def _clock_notes(house: House, clock: HouseholdClock) -> tuple[str, ...]:
    notes = [clock.note] if clock.note else []
    if house.place.latitude < -TROPICS_DEG:
        notes.append("The shape comes from the northern half of the world; its seasons are taken half a year later here.")
    return tuple(notes)
