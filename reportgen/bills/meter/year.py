"""Twelve months of readings laid onto 8,760 hours of local standard time.

Hours follow standard time, so days of 23 and 25 hours on the household's clock need no care here: every hour of the
record is there once. The year is a ring: where the twelve months begin in June, June to December come from the year
before. 29 February is left out.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta

import numpy as np

from reportgen.bills.meter.errors import MeterFileError
from reportgen.climate.typical_year import HOURS

LEAST_DAYS = 335             # eleven months; fewer can't stand for a year (common practice, no source)
MOST_FILLED, MOST_IN_A_ROW = 6, 3
LONGEST_S = 3600             # readings are an hour or shorter
MOST_YEARS = 30
WHOLE_HOUR = 0.999           # covered share that counts as a whole hour: clocks are set right by seconds
NEIGHBOUR_DAYS = 7
_EPOCH = date(1970, 1, 1)


@dataclass(frozen=True, eq=False)
class MeterYear:
    """Hour k covers the time from k to k + 1 hours after 1 January 00:00, local standard time. Arrays are read-only."""

    import_kwh: np.ndarray          # 8,760
    export_kwh: np.ndarray | None   # 8,760, positive
    year: int                       # the calendar year most of the hours come from
    dates: tuple[date, ...]         # 365: the true day behind each day of the year (the middle of the day counts)
    filled_hours: int               # hours, whole or in part, that the file does not hold and neighbours stand for
    notes: tuple[str, ...]          # which twelve months were taken, what was left out, what was filled


def year_of_hours(start_utc, seconds, import_kwh, export_kwh, utc_offset_h: float, year: int | None) -> MeterYear:
    """See MeterReadings.hours. Each reading is shared among the hours it lasts through; sums are kept."""
    long = np.asarray(seconds) > LONGEST_S
    if long.any():
        raise MeterFileError(f"{int(long.sum()):,} of the {len(long):,} readings in the meter file last longer than "
                             f"an hour (up to {np.max(seconds) / 3600:,.4g} hours); readings of an hour or shorter "
                             "are needed. Download hourly data, or write the twelve months' kWh under "
                             "use.monthly_kwh.")
    start = np.asarray(start_utc) + round(utc_offset_h * 3600)
    first = int(start[0] // 3600)
    count = int((start[-1] + seconds[-1] - 1) // 3600) - first + 1
    if count > MOST_YEARS * 8784:
        raise MeterFileError(f"the meter file spans {count / 8766:,.0f} years; at most {MOST_YEARS} are read. "
                             "Download one or two years.")
    spread = _Spread(start, np.asarray(seconds), first, count)
    covered = spread.over(np.asarray(seconds, dtype=float)) / 3600.0
    taken = spread.over(import_kwh)
    sent = None if export_kwh is None else spread.over(export_kwh)
    hour = first + np.arange(count)
    slot, is_leap_day, years = _slots(hour)
    chosen = _window(hour, is_leap_day, years, covered, year)
    return _laid_out(hour, slot, chosen, covered, taken, sent, is_leap_day, year)


class _Spread:
    """Shares a quantity per reading among the hours it touches."""

    def __init__(self, start, seconds, first: int, count: int):
        self.count = count
        self.pieces = []
        done = np.zeros(len(start))
        at = start.copy()
        end = start + seconds
        while (left := end > at).any():
            hour = at // 3600
            until = np.minimum(end, (hour + 1) * 3600)
            share = np.where(left, (until - at) / seconds, 0.0)
            last = left & (until >= end)
            share = np.where(last, 1.0 - done, share)   # the last piece takes the rest, so that shares sum to 1
            done = done + share
            self.pieces.append((np.clip(hour - first, 0, count - 1), share))
            at = np.where(left, until, at)

    def over(self, values) -> np.ndarray:
        total = np.zeros(self.count)
        for hour, share in self.pieces:
            total += np.bincount(hour, share * values, minlength=self.count)
        return total


def _slots(hour):
    """Of hours since 1970: the hour of the year of 365 days, whether it lies on 29 February, the year."""
    days = np.arange(hour[0] // 24, hour[-1] // 24 + 1)
    day = days.astype("datetime64[D]")
    years = day.astype("datetime64[Y]").astype(int) + 1970
    of_year = (day - day.astype("datetime64[Y]")).astype(int)
    leap = (years % 4 == 0) & ((years % 100 != 0) | (years % 400 == 0))
    leap_day = leap & (of_year == 59)
    of_year = of_year - (leap & (of_year > 59))
    at = hour // 24 - days[0]
    return of_year[at] * 24 + hour % 24, leap_day[at], years[at]


def _window(hour, is_leap_day, years, covered, year: int | None):
    """Indexes of the hours to take, at most 8,760, in order of time, without 29 February."""
    usable = np.flatnonzero(~is_leap_day)
    if year is None:
        whole = usable[covered[usable] > 0]
        usable = usable[usable <= (whole[-1] if len(whole) else -1)]
        return usable[-HOURS:]
    inside = usable[years[usable] == year]
    if not (covered[inside] > 0).any():
        raise MeterFileError(f"the meter file runs from {_day(hour[0])} to {_day(hour[-1])}; nothing of the year "
                             f"{year} that the house file asks for is in it. Take the file of that year, or leave "
                             "year out.")
    return inside


def _laid_out(hour, slot, chosen, covered, taken, sent, is_leap_day, year) -> MeterYear:
    share = np.zeros(HOURS)
    share[slot[chosen]] = np.where(covered[chosen] >= WHOLE_HOUR, 1.0, covered[chosen])
    inside = np.zeros(HOURS, dtype=bool)
    inside[slot[chosen]] = True
    span = f"{_day(hour[chosen[0]])} to {_day(hour[chosen[-1]])}"
    days_with = int((share.reshape(365, 24).max(axis=1) > 0).sum())
    if days_with < LEAST_DAYS:
        raise MeterFileError(f"the meter file holds readings on {days_with} of the 365 days {span}; at least "
                             f"{LEAST_DAYS} (eleven months) are needed to speak of a year. Download twelve whole "
                             f"months{'' if year is None else ', or leave year out'}.")
    holes = inside & (share < 1.0)
    _few(holes, hour, slot, chosen)
    ends = ~inside
    laid = [_filled(np.bincount(slot[chosen], series[chosen], minlength=HOURS), share, inside)
            for series in (taken, sent) if series is not None]
    dates = _dates(hour, slot, chosen)
    own = max({d.year for d in dates}, key=[d.year for d in dates].count)
    notes = [f"Taken: {span} (standard time), of the readings in the file."]
    if len({d.year for d in dates}) > 1:
        others = sum(d.year != own for d in dates)
        notes.append(f"These months lie in two calendar years; {others} of the days are not of {own}, so their "
                     f"weekdays differ from those of {own}.")
    dropped = is_leap_day & (np.arange(len(hour)) > chosen[0]) & (np.arange(len(hour)) < chosen[-1])
    if dropped.any():
        notes.append(f"29 February is left out, with {taken[dropped].sum():,.3f} kWh taken from the grid.")
    if holes.any():
        notes.append(f"{_hours(int(holes.sum()))} missing in the file; the same hour of the days around stands in.")
    if ends.any():
        notes.append(f"The file is {_hours(int(ends.sum()))} short of a year ({ends.sum() / 24:.1f} days); the same "
                     "hours of the same weekday in the nearest weeks stand in. That part is assumed, not measured.")
    for series in laid:
        series.setflags(write=False)
    return MeterYear(laid[0], laid[1] if sent is not None else None, own, dates, int((share < 1.0).sum()), tuple(notes))


def _few(holes, hour, slot, chosen) -> None:
    """At most 6 hours in all and 3 in a row are bridged; more is refused with the dates."""
    missing = chosen[holes[slot[chosen]]]
    if not len(missing):
        return
    runs = np.split(missing, np.flatnonzero(np.diff(hour[missing]) > 1) + 1)
    longest = max(len(run) for run in runs)
    if len(missing) > MOST_FILLED or longest > MOST_IN_A_ROW:
        days = list(dict.fromkeys(_day(hour[k]) for k in missing))
        named = ", ".join(days[:5]) + (f" and {len(days) - 5} more days" if len(days) > 5 else "")
        raise MeterFileError(f"{_hours(len(missing))} missing in the meter file, up to {longest} in a row: {named}. "
                             f"At most {MOST_FILLED} hours, {MOST_IN_A_ROW} in a row, are bridged. Download these "
                             "days again, or take another twelve months (year).")


def _filled(total, share, inside) -> np.ndarray:
    """What is missing inside comes from the same hour of the days around; beyond the file's ends, of the weeks around."""
    result = np.array(total, dtype=float)
    for k in np.flatnonzero(share < 1.0):
        steps = [24 * d for d in range(1, NEIGHBOUR_DAYS + 1)] if inside[k] else [168 * w for w in range(1, 27)]
        for step in steps:
            near = [total[j] for j in ((k - step) % HOURS, (k + step) % HOURS) if share[j] >= 1.0]
            if near:
                result[k] += (1.0 - share[k]) * float(np.mean(near))
                break
    return result


def _dates(hour, slot, chosen) -> tuple[date, ...]:
    """The true day of each of the 365; days that are not in the file follow the day before them."""
    known: dict[int, date] = {}
    for k in chosen[slot[chosen] % 24 == 12]:
        known[int(slot[k]) // 24] = _EPOCH + timedelta(days=int(hour[k]) // 24)
    model = date(2023, 1, 1)
    result = []
    for day in range(365):
        if day not in known:
            nearest = min(known, key=lambda d: min((d - day) % 365, (day - d) % 365))
            month_day = model + timedelta(days=day)
            known[day] = date(known[nearest].year, month_day.month, month_day.day)
        result.append(known[day])
    return tuple(result)


def _day(hour) -> str:
    return (_EPOCH + timedelta(days=int(hour) // 24)).isoformat()


def _hours(count: int) -> str:
    return "1 hour is" if count == 1 else f"{count:,} hours are"
