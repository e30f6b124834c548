"""What the meter counts in a billing period: taken and sent by season and window, and the highest demand.

Hours are netted one by one. A meter that nets in the instant or by the quarter hour counts more both ways; hours can't
tell how much more, so such a rule is computed by the hour and the reader is told (`NETTING_NOTE`).
Demand is the mean of an hour. The mean of 15 or 30 minutes is higher, and hours can't tell it (`DEMAND_NOTE`).
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from reportgen.bills.calendar import BillCalendar
from reportgen.describe.tariff import ExportRule, Tariff
from reportgen.describe.tariff_days import season_names, window_names

NETTING_NOTE = ("The tariff sets what is made against what is used within {within}; the hours known here can't show "
                "that, so both are netted by the hour. The real meter counts more each way.")
DEMAND_NOTE = ("Demand is the mean of an hour here. The tariff takes the mean of {over}, which is higher where a large "
               "appliance runs for less than an hour.")


@dataclass(frozen=True, eq=False)
class PeriodFlows:
    """One billing period. S seasons and W windows in the order in which the tariff first names them; kWh."""
    month: int                       # 1 to 12, the month in which the period ends
    days: int
    season_days: np.ndarray          # S: days of each season in the period
    taken: np.ndarray                # S × W: from the grid, hour by hour
    sent: np.ndarray                 # S × W: to the grid, hour by hour
    used: np.ndarray                 # S × W
    made: np.ndarray                 # S × W
    sent_by_hour: np.ndarray         # 12 × 24: sent, by month and hour of the household's clock
    made_by_hour: np.ndarray         # 12 × 24
    demand_kw: tuple[float, ...] = ()        # for each demand charge the highest hour taken from the grid
    demand_season: tuple[int, ...] = ()      # and the season of that hour
    use_demand_kw: tuple[float, ...] = ()    # the same of use alone, for a meter that counts use whole
    use_demand_season: tuple[int, ...] = ()

    def with_more_used_at_once(self, share: float) -> PeriodFlows:
        """The same use and sun with `share` of what is made used at once beyond (below, if negative) what the hours
        say, as far as each window leaves room. The highest demand stays as it is."""
        moved = np.clip(share * self.made, self.sent - self.made, np.minimum(self.taken, self.sent))
        left = 1.0 - moved.sum() / self.sent.sum() if self.sent.sum() > 0 else 1.0
        return replace(self, taken=self.taken - moved, sent=self.sent - moved, sent_by_hour=left * self.sent_by_hour)

    def counted(self, rule: ExportRule) -> PeriodFlows:
        """As the meters of the rule count: buy-all sell-all counts use and generation each whole."""
        if rule.rule != "buy-all sell-all":
            return self
        return replace(self, taken=self.used, sent=self.made, sent_by_hour=self.made_by_hour,
                       demand_kw=self.use_demand_kw, demand_season=self.use_demand_season)


def year_flows(tariff: Tariff, calendar: BillCalendar, use_hours: np.ndarray, sun_hours: np.ndarray) -> tuple[PeriodFlows, ...]:
    """Twelve periods, January first, from 8,760 hours of use and of sun [kWh]."""
    use, sun = np.asarray(use_hours, dtype=float), np.asarray(sun_hours, dtype=float)
    net = use - sun
    taken, sent = np.maximum(net, 0.0), np.maximum(-net, 0.0)
    seasons, windows = len(season_names(tariff)), len(window_names(tariff))
    shape = (12, seasons, windows)
    bucket = np.ravel_multi_index((calendar.period, calendar.season, calendar.window), shape)
    clock = np.ravel_multi_index((calendar.period, calendar.month, calendar.clock_hour), (12, 12, 24))
    season_hours = np.bincount(12 * calendar.season + calendar.period, minlength=12 * seasons).reshape(seasons, 12).T
    season_days = np.rint(season_hours / 24.0)   # a day of 23 or 25 hours is a day
    sums = [np.bincount(bucket, hours, 12 * seasons * windows).reshape(shape) for hours in (taken, sent, use, sun)]
    hourly = [np.bincount(clock, hours, 12 * 288).reshape(12, 12, 24) for hours in (sent, sun)]
    highest = [_highest(calendar, hours) for hours in (taken, use)]
    return tuple(PeriodFlows(p + 1, int(calendar.period_days[p]), season_days[p], *(s[p] for s in sums), *(h[p] for h in hourly),
                             *(values for peaks in highest for values in peaks[p])) for p in range(12))


def _highest(calendar: BillCalendar, hours: np.ndarray) -> list[tuple[tuple[float, ...], tuple[int, ...]]]:
    """For each period the highest counted hour of each demand charge, and its season (the last hour's where none counts)."""
    found = []
    for p in range(12):
        peaks, seasons = [], []
        for counts in calendar.demand:
            inside = np.flatnonzero(counts & (calendar.period == p))
            at = inside[np.argmax(hours[inside])] if len(inside) else np.flatnonzero(calendar.period == p)[-1]
            peaks.append(float(hours[at]) if len(inside) else 0.0)
            seasons.append(int(calendar.season[at]))
        found.append((tuple(peaks), tuple(seasons)))
    return found


def period_sums(tariff: Tariff, month: int, days: int, taken: dict[str, float] | float, sent: dict[str, float] | float = 0.0,
                used: dict[str, float] | float | None = None, made: dict[str, float] | float = 0.0,
                demand_kw: tuple[float, ...] = (), season: str | None = None) -> PeriodFlows:
    """A period from sums, as a printed bill gives them: kWh by the window's name, or one number where there is one window.

    used: where missing, what was taken. The whole period lies in `season` (the first where missing).
    """
    seasons, windows = season_names(tariff), window_names(tariff)
    s = seasons.index(season) if season else 0

    def table(kwh) -> np.ndarray:
        by_name = kwh if isinstance(kwh, dict) else {windows[0]: kwh}
        unknown = set(by_name) - set(windows)
        if unknown:
            raise ValueError(f"the tariff has no window {min(unknown)!r}; its windows are {', '.join(windows)}")
        values = np.zeros((len(seasons), len(windows)))
        for name, value in by_name.items():
            values[s, windows.index(name)] = value
        return values
    season_days = np.zeros(len(seasons))
    season_days[s] = days
    hourly = np.zeros((12, 24))
    peaks = (demand_kw, (s,) * len(demand_kw))
    return PeriodFlows(month, days, season_days, table(taken), table(sent), table(taken if used is None else used), table(made),
                       hourly, hourly, *peaks, *peaks)
