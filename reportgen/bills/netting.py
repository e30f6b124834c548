"""What the meter counts over many years of an ageing array, without netting every hour of every year anew.

An hour sends out once the array's output, as a share f of its hours today, is above use / sun. With the hours of each
period, season and window sorted by that ratio, what is sent is a difference of running sums for any f: exact, and the
same numbers as `flows.year_flows` gives hour by hour. The highest demand needs only those hours that no other hour beats
in both use and sun.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from reportgen.bills.calendar import BillCalendar
from reportgen.climate.typical_year import HOURS
from reportgen.describe.tariff import Tariff
from reportgen.describe.tariff_days import season_names, window_names


@dataclass(frozen=True, eq=False)
class MeterYears:
    """n years of 12 periods; S seasons and W windows as in `flows.PeriodFlows`, C cells = S × W; kWh."""
    taken: np.ndarray            # n × 12 × C
    sent: np.ndarray             # n × 12 × C
    used: np.ndarray             # n × 12 × C
    made: np.ndarray             # n × 12 × C
    sent_worth: np.ndarray       # tables × n × 12: what is sent at each table of prices by month and hour [currency]
    made_worth: np.ndarray       # tables × n × 12
    demand_kw: np.ndarray        # n × 12 × demand charges: highest hour taken
    demand_season: np.ndarray    # the season of that hour
    use_demand_kw: np.ndarray    # the same of use alone
    use_demand_season: np.ndarray
    past_demand_kw: np.ndarray   # 24 × demand charges: two years of today's use before the first, for a ratchet

    def times(self, factor: float) -> MeterYears:
        """Every kWh and kW times `factor`: what the meter counts of a house with both its use and its sun so many times as large."""
        return MeterYears(factor * self.taken, factor * self.sent, factor * self.used, factor * self.made, factor * self.sent_worth,
                          factor * self.made_worth, factor * self.demand_kw, self.demand_season, factor * self.use_demand_kw,
                          self.use_demand_season, factor * self.past_demand_kw)


def tables_of(tariff: Tariff) -> tuple[list[list[float]], ...]:
    """The tables of prices by month and hour of the tariff's export rule and of the one that follows it."""
    rules = [tariff.export_rule, tariff.export_rule.then]
    return tuple(rule.prices_by_month_and_hour for rule in rules if rule is not None and rule.prices_by_month_and_hour is not None)


class Netting:
    """One plan's calendar laid over a house's use and sun; `years` counts them for any outputs."""

    def __init__(self, tariff: Tariff, calendar: BillCalendar, use_of_year: Callable[[int], np.ndarray], sun_hours: np.ndarray,
                 year_count: int):
        """tariff: in full form. use_of_year: 8,760 hours of use in year 0, 1, ... [kWh]; sun_hours: 8,760, today's [kWh]."""
        self.calendar, self.cells = calendar, len(season_names(tariff)) * len(window_names(tariff))
        self._windows, self._tables = len(window_names(tariff)), tables_of(tariff)
        self._sun = np.asarray(sun_hours, dtype=float)
        self._spans = _alike_years([use_of_year(k) for k in range(year_count)])
        self._hours = [_SortedHours(self, use) for use, _ in self._spans]

    def years(self, output_factors: np.ndarray, used_at_once_shift: float = 0.0) -> MeterYears:
        """output_factors: output of each year as a share of the sun's hours. used_at_once_shift: share of what is made that
        is used at once beyond (below, if negative) what the hours say, as far as each window leaves room."""
        parts = [hours.count(np.asarray(output_factors)[years], used_at_once_shift)
                 for hours, (_, years) in zip(self._hours, self._spans, strict=True)]
        taken, sent, used, made, *demand = (np.concatenate(arrays) for arrays in zip(*(p[:8] for p in parts), strict=True))
        worth = [np.concatenate(arrays, axis=1) for arrays in zip(*(p[8:] for p in parts), strict=True)]
        return MeterYears(taken, sent, used, made, *worth, *demand, np.tile(self._hours[0].use_peaks[0], (2, 1)))

    @cached_property
    def bucket(self) -> np.ndarray:
        c = self.calendar
        return (c.period.astype(np.int64) * (self.cells // self._windows) + c.season) * self._windows + c.window

    @cached_property
    def prices_of_hours(self) -> list[np.ndarray]:
        return [np.array(table)[self.calendar.month, self.calendar.clock_hour] for table in self._tables]

    @property
    def sun(self) -> np.ndarray:
        return self._sun


def _alike_years(uses: Sequence[np.ndarray]) -> list[tuple[np.ndarray, slice]]:
    """Runs of years with the same hours of use: (hours, years)."""
    runs, begun = [], 0
    for k in range(1, len(uses) + 1):
        if k == len(uses) or not (uses[k] is uses[begun] or np.array_equal(uses[k], uses[begun])):
            runs.append((np.asarray(uses[begun], dtype=float), slice(begun, k)))
            begun = k
    return runs


class _SortedHours:
    """The hours of one year of use, sorted within each period, season and window by the output at which they send out."""

    def __init__(self, netting: Netting, use: np.ndarray):
        self._use, self._sun, self._calendar, self._cells = use, netting.sun, netting.calendar, netting.cells
        groups = 12 * netting.cells
        bucket = netting.bucket
        # Sun that is nothing beside the use never sends out; dividing by it could overflow.
        ratio = np.divide(use, self._sun, out=np.full(HOURS, np.inf), where=(self._sun > 0) & (use <= 1e12 * self._sun))
        by_ratio = np.argsort(ratio, kind="stable")
        self._ratios = ratio[by_ratio]
        rank = np.empty(HOURS, dtype=np.int64)
        rank[by_ratio] = np.arange(HOURS)
        # Buckets and ranks are whole numbers, so one sorted key answers for every bucket and output at once.
        order = by_ratio[np.argsort(bucket[by_ratio], kind="stable")]
        self._key = bucket[order] * (HOURS + 1) + rank[order]
        self._bases = np.arange(groups) * (HOURS + 1)
        self._starts = np.searchsorted(self._key, self._bases)
        weights = [np.ones(HOURS), *netting.prices_of_hours]
        self._running = [[_running_sum((weight * hours)[order]) for hours in (self._sun, use)] for weight in weights]
        self._used, self._made = (np.bincount(bucket, hours, groups) for hours in (use, self._sun))
        self._made_worth = [np.bincount(self._calendar.period, weight * self._sun, 12) for weight in weights[1:]]
        self._fronts = [[_front(use, self._sun, np.flatnonzero(counts & (self._calendar.period == p))) for p in range(12)]
                        for counts in self._calendar.demand]

    def count(self, factors: np.ndarray, shift: float) -> tuple[np.ndarray, ...]:
        shape, f = (len(factors), 12, self._cells), factors[:, None]
        below = np.searchsorted(self._ratios, factors)
        ends = np.searchsorted(self._key, self._bases[None, :] + below[:, None])

        def sent_at(sun: np.ndarray, use: np.ndarray) -> np.ndarray:
            return (f * (sun[ends] - sun[self._starts]) - (use[ends] - use[self._starts])).reshape(shape)
        sent, *priced = (sent_at(*pair) for pair in self._running)
        sent = np.maximum(sent, 0.0)
        used, made = np.broadcast_to(self._used.reshape(12, -1), shape), (f * self._made).reshape(shape)
        taken = np.maximum(used - made + sent, 0.0)
        worth = np.array([table.sum(axis=2) for table in priced]).reshape(-1, *shape[:2])
        if shift:
            moved = np.clip(shift * made, sent - made, np.minimum(taken, sent))
            all_sent = sent.sum(axis=2)
            worth = worth * (1.0 - np.divide(moved.sum(axis=2), all_sent, out=np.zeros(shape[:2]), where=all_sent > 0))
            taken, sent = taken - moved, sent - moved
        made_worth = np.array([f * table for table in self._made_worth]).reshape(-1, *shape[:2])
        peaks = self._demand(factors)
        use_peaks = [np.broadcast_to(values, peaks[0].shape) for values in self.use_peaks]
        return taken, sent, used, made, *peaks, *use_peaks, worth, made_worth

    def _demand(self, factors: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        """(kW, season) of the highest hour taken, years × 12 × charges."""
        shape = (len(factors), 12, len(self._fronts))
        kw, season = np.zeros(shape), np.zeros(shape, dtype=int)
        for d, periods in enumerate(self._fronts):
            for p, (front, first) in enumerate(periods):
                if not len(front):
                    season[:, p, d] = self._calendar.season[np.flatnonzero(self._calendar.period == p)[-1]]
                    continue
                values = self._use[front][None, :] - factors[:, None] * self._sun[front][None, :]
                at = np.argmax(values, axis=1)
                highest = values[np.arange(len(factors)), at]
                kw[:, p, d] = np.maximum(highest, 0.0)
                season[:, p, d] = np.where(highest > 0, self._calendar.season[front[at]], self._calendar.season[first])
        return kw, season

    @cached_property
    def use_peaks(self) -> tuple[np.ndarray, np.ndarray]:
        """(kW, season) of the highest hour of use, 12 × charges."""
        kw, season = np.zeros((12, len(self._fronts))), np.zeros((12, len(self._fronts)), dtype=int)
        for d, counts in enumerate(self._calendar.demand):
            for p in range(12):
                inside = np.flatnonzero(counts & (self._calendar.period == p))
                at = inside[np.argmax(self._use[inside])] if len(inside) else np.flatnonzero(self._calendar.period == p)[-1]
                kw[p, d], season[p, d] = self._use[at] if len(inside) else 0.0, self._calendar.season[at]
        return kw, season


def _running_sum(values: np.ndarray) -> np.ndarray:
    return np.concatenate([[0.0], np.cumsum(values)])


def _front(use: np.ndarray, sun: np.ndarray, hours: np.ndarray) -> tuple[np.ndarray, int]:
    """The hours that may be the highest at some output (none has more use and no more sun), and the first hour."""
    if not len(hours):
        return hours, 0
    sorted_hours = hours[np.lexsort((sun[hours], -use[hours]))]
    least = np.minimum.accumulate(sun[sorted_hours])
    keep = np.concatenate([[True], sun[sorted_hours][1:] < least[:-1]])
    return sorted_hours[keep], int(hours[0])
