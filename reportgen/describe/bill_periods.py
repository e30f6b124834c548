"""Bills with read dates, laid over one year of 365 days: the latest twelve months of them.

Day 0 is 1 January. 29 February has no place of its own: its use lies on the other days of its bill.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta
from itertools import pairwise

DAYS_NEEDED = 335       # about eleven months; common practice, no source
LONGEST_GAP_DAYS = 3
ONE_DAY = timedelta(days=1)


@dataclass(frozen=True)
class BillPeriod:
    days: tuple[int, ...]      # days of the year, 0 to 364, in the order of the calendar
    kwh: float
    is_filled: bool = False    # no bill covers these days: they carry the mean day of the bills beside them


@dataclass(frozen=True)
class YearOfBills:
    periods: tuple[BillPeriod, ...]   # each day of the year lies in exactly one
    first_day: date
    last_day: date
    notes: tuple[str, ...]

    @property
    def kwh(self) -> float:
        return sum(period.kwh for period in self.periods)


def year_of_bills(bills) -> YearOfBills:
    """The latest twelve months of `bills` (each with begins, ends, its last day included, and kwh), in any order.

    Raises ValueError with a sentence that names the bill: an overlap, a gap of more than 3 days, under 335 days.
    """
    bills = sorted(bills, key=lambda bill: bill.begins)
    last = bills[-1].ends
    first = _year_before(last + ONE_DAY)
    used = [bill for bill in bills if bill.ends >= first]
    for before, bill in pairwise(bills):
        _check_neighbours(before, bill, bill in used and before in used)
    covered = sum((bill.ends - max(bill.begins, first)).days + 1 for bill in used)
    if covered < DAYS_NEEDED:
        raise ValueError(f"the bills cover {covered} days of the year that ends on {last}; at least {DAYS_NEEDED} days are "
                         f"expected, so add the bills before {_name(used[0])}")
    periods, filled, notes = [], 0, []
    for number, bill in enumerate(used):
        begins = max(bill.begins, first)
        if bill.begins < first:
            notes.append(f"Of {_name(bill)} the last {(bill.ends - begins).days + 1} days are taken, with their share of its "
                         "kWh: more than twelve months are never counted.")
        gap_from = first if number == 0 else used[number - 1].ends + ONE_DAY
        if begins > gap_from:
            days = _ring(gap_from, begins - ONE_DAY)
            if days:
                periods.append(BillPeriod(days, len(days) * (_per_day(used[number - 1]) + _per_day(bill)) / 2, True))
                filled += len(days)
        kwh = bill.kwh * ((bill.ends - begins).days + 1) / _length(bill)
        periods.append(BillPeriod(_ring(begins, bill.ends), kwh))
    if filled:
        notes.append(f"No bill covers {filled} {'day' if filled == 1 else 'days'} of the year: "
                     f"{'it carries' if filled == 1 else 'they carry'} the mean day of the bills before and after.")
    return YearOfBills(tuple(periods), first, last, tuple(notes))


def _check_neighbours(before, bill, both_used: bool) -> None:
    between = (bill.begins - before.ends).days - 1
    if between < 0:
        raise ValueError(f"{_name(bill)} overlaps the one before, which ends on {before.ends}; the day of the reading belongs "
                         "to one of the two, since a bill's last day is included")
    if between > LONGEST_GAP_DAYS and both_used:
        raise ValueError(f"{between} days are missing before {_name(bill)}: the one before ends on {before.ends}; "
                         f"add the bill between them, at most {LONGEST_GAP_DAYS} days may be missing")


def _name(bill) -> str:
    return f"the bill that begins on {bill.begins}"


def _length(bill) -> int:
    return (bill.ends - bill.begins).days + 1


def _per_day(bill) -> float:
    return bill.kwh / _length(bill)


def _year_before(day: date) -> date:
    if (day.month, day.day) == (2, 29):
        return date(day.year - 1, 3, 1)
    return day.replace(year=day.year - 1)


def _ring(first: date, last: date) -> tuple[int, ...]:
    days = (first + timedelta(days=n) for n in range((last - first).days + 1))
    return tuple(day_of_year(day) for day in days if (day.month, day.day) != (2, 29))


def day_of_year(day: date) -> int:
    """0 for 1 January, 364 for 31 December; 29 February counts as the 28th."""
    if (day.month, day.day) == (2, 29):
        day = day - ONE_DAY
    return (date(2023, day.month, day.day) - date(2023, 1, 1)).days
