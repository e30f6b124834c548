"""A house's own meter file as its year of use: read beside the weather, before the pure chain begins."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta
from pathlib import Path

import numpy as np

from reportgen.bills.errors import UseError
from reportgen.bills.existing_sun import used_at_once_hours
from reportgen.bills.meter.year import MeterYear
from reportgen.bills.months import MONTH_DAYS, month_sums
from reportgen.climate.site import utc_offset_of
from reportgen.describe.models import House
from reportgen.describe.use import Use

METER = "meter"               # folder in the batch
EXPORT_OF_NO_ARRAY = 0.005    # share of the kWh taken that a meter may show as sent out where nothing makes power; no source


class MeasuredUse(Use):
    """A use whose meter file has been read. Never written in a file: `with_readings` makes it."""

    import_kwh: tuple[float, ...] = ()              # 8,760
    export_kwh: tuple[float, ...] | None = None     # 8,760, positive
    calendar_year: int = 0
    measured_notes: tuple[str, ...] = ()
    factor: float = 1.0

    @property
    def year_kwh(self) -> float:
        solar = self.existing_solar
        added = 0.0 if solar is None else solar.year_generated_kwh - sum(self.export_kwh or ())
        return self.factor * (sum(self.import_kwh) + added)

    def scaled(self, factor: float) -> MeasuredUse:
        return self.model_copy(update={"factor": self.factor * factor})


def read_use(house: House, folder: Path) -> MeterYear | None:
    """The year of readings of a house with a meter file; None for any other house.

    folder: the batch folder, in whose meter/ the file lies. Raises MeterFileError with a sentence for the reader.
    """
    if house.use.meter_file is None:
        return None
    from reportgen.bills.meter.read import read_meter_file
    place, asked = house.place, house.use.meter_file
    readings = read_meter_file(Path(folder) / METER / asked.file, asked, place.time_zone)
    offset = utc_offset_of(place.latitude, place.longitude, place.time_zone)
    year = readings.hours(offset, asked.year)
    return replace(year, notes=(*readings.found, *year.notes))


def with_readings(house: House, readings: MeterYear | None) -> House:
    """The house with its readings in it, so that its `use` knows the year's kWh and can be scaled.

    Raises UseError where an array sent power out and the house file does not say what it made, or the other way round.
    """
    if readings is None or house.use.meter_file is None or isinstance(house.use, MeasuredUse):
        return house
    sent, taken = readings.export_kwh, float(readings.import_kwh.sum())
    notes = []
    if house.use.existing_solar is not None and sent is None:
        raise UseError("what the house uses can't be known: an array was there, but the meter file does not hold what was sent out. "
                       "Ask the utility for the readings of both directions.")
    if house.use.existing_solar is None and sent is not None and sent.sum() > 0:
        if sent.sum() > EXPORT_OF_NO_ARRAY * taken:
            raise UseError(f"the meter file holds {sent.sum():,.0f} kWh sent out, so an array was there: what the house uses can't be "
                           "known without that array's own kWh. Write use.existing_solar with generated_monthly_kwh.")
        notes.append(f"The meter shows {sent.sum():,.1f} kWh sent out, though no array is named; they are left aside.")
    if taken <= 0 and house.use.existing_solar is None:
        raise UseError("the meter file holds no use at all: every reading is zero.")
    import_kwh, moved = _weekdays_kept(readings.import_kwh, readings)
    export_kwh = None if sent is None else _weekdays_kept(sent, readings)[0]
    if moved:
        notes.append(f"So that working days stay working days, the days of another year than {readings.year} were moved by up to "
                     "three days within their month; each month's kWh stay as measured.")
    # Strict validation of 8,760 numbers twice over would cost time and find nothing: the readings were checked when read.
    use = MeasuredUse.model_construct(
        **{key: getattr(house.use, key) for key in Use.model_fields}, import_kwh=tuple(import_kwh.tolist()),
        export_kwh=None if export_kwh is None else tuple(export_kwh.tolist()), calendar_year=readings.year,
        measured_notes=(*readings.notes, *notes))
    return house.model_copy(update={"use": use})


def measured_hours(use: MeasuredUse, sun_w_m2: np.ndarray) -> tuple[np.ndarray, tuple[str, ...]]:
    """8,760 hours of use [kWh] and what to say of them. Raises UseError where more was sent out than made."""
    hours = np.array(use.import_kwh)
    notes = ["The hours of use are measured by the house's own meter.", *use.measured_notes]
    if use.existing_solar is not None:
        added = used_at_once_hours(use.existing_solar, sun_w_m2, month_sums(np.array(use.export_kwh)))
        hours = hours + added
        notes.append(f"Use is what was taken and what the existing array made less what was sent out: {added.sum():,.0f} kWh of its "
                     "sun used at once are added, spread by the sun of the place, which is assumed. The bill without the sun is "
                     "the bill without any array.")
    return use.factor * hours, tuple(notes)


def _weekdays_kept(hours: np.ndarray, readings: MeterYear) -> tuple[np.ndarray, bool]:
    """Days that were measured in another year than the calendar's, moved within their month to the same weekday.

    Three days at most; a day pushed over the end of its month, or of its part of it, comes back at the other end.
    """
    by_day = np.array(hours, dtype=float).reshape(365, 24)
    moved, start = False, 0
    for month, length in enumerate(MONTH_DAYS, start=1):
        days = range(start, start + length)
        for year in sorted({readings.dates[day].year for day in days} - {readings.year}):
            part = [day for day in days if readings.dates[day].year == year]
            first = readings.dates[part[0]]
            there = date(readings.year, month, 1) + timedelta(days=part[0] - start)
            shift = (first.weekday() - there.weekday() + 3) % 7 - 3   # what was measured belongs `shift` days later
            if shift and len(part) > 3:
                by_day[part] = np.roll(by_day[part], shift, axis=0)
                moved = True
        start += length
    return by_day.reshape(-1), moved
