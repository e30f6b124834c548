"""A plan's printed bills at today's prices: first year, settled year, and the same under another rule or other hours."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np

from reportgen.bills.bank import Bank, Growth, keeps_kwh
from reportgen.bills.bill import bill_flows, settled_year
from reportgen.bills.flows import PeriodFlows, year_flows
from reportgen.bills.plans import CountedPlan
from reportgen.bills.result import YearBill
from reportgen.describe.fields import MONTHS
from reportgen.describe.tariff import ExportRule, Tariff

ONE_TO_ONE = ExportRule(rule="one-to-one")
Years = tuple[YearBill, YearBill, Growth]


@dataclass(frozen=True, eq=False)
class PrintedBills:
    counted: CountedPlan
    use_hours: np.ndarray        # 8,760
    sun_hours: np.ndarray        # 8,760

    def _flows(self, sun: np.ndarray) -> tuple[PeriodFlows, ...]:
        return year_flows(self.counted.tariff, self.counted.plan.calendar, self.use_hours, sun)

    @cached_property
    def without(self) -> tuple[PeriodFlows, ...]:
        return self._flows(np.zeros_like(self.sun_hours))

    @cached_property
    def flows(self) -> tuple[PeriodFlows, ...]:
        return self._flows(self.sun_hours)

    @cached_property
    def past(self) -> Bank:
        """What the array's first month finds: an empty bank, and two years of demand for a ratchet to look back on."""
        bank = bill_flows(self.counted.tariff, self.without)[1]
        return bill_flows(self.counted.tariff, self.without, bank=bank)[1].peaks_alone()

    def without_sun(self) -> YearBill:
        """A settled year."""
        return settled_year(self.counted.tariff, self.without, rule=self.counted.rule)[1]

    def with_sun(self, flows: tuple[PeriodFlows, ...] | None = None, rule: ExportRule | None = None) -> Years:
        """(First year, settled year, growth of the bank)."""
        counted = self.counted
        return settled_year(counted.tariff, flows or self.flows, counted.array_kw, self.past,
                            rule or counted.rule)

    def moved(self, share: float) -> tuple[PeriodFlows, ...]:
        """With `share` of the sun's output used at once beyond what the hours say."""
        return tuple(period.with_more_used_at_once(share) for period in self.flows)

    def under_one_to_one(self) -> YearBill:
        """A settled year if each kWh sent out cancelled one taken, now or later."""
        return self.with_sun(rule=ONE_TO_ONE)[1]

    def by_reset_month(self) -> dict[str, YearBill]:
        """The settled year for each month in which a yearly bank of kWh could be emptied; empty under any other rule."""
        rule = self.counted.rule
        if not keeps_kwh(rule) or rule.resets != "yearly":
            return {}
        return {month: self.with_sun(rule=rule.model_copy(update={"reset_month": month}))[1] for month in MONTHS}

    def least(self) -> YearBill:
        """The bill of a year in which an array covers every sunny hour and what it sends out cancels all other kWh, by the
        lines that no credit can pay: what stays due whatever the sun does."""
        counted = self.counted
        night = np.where(self.sun_hours > 0, 0.0, self.use_hours)
        flows = year_flows(counted.tariff, counted.plan.calendar, night, np.zeros_like(night))
        cancelled = tuple(_all_cancelled(period) for period in flows)
        return settled_year(_unpayable(counted.tariff, counted.rule), cancelled, counted.array_kw, rule=ONE_TO_ONE)[1]


def _all_cancelled(period: PeriodFlows) -> PeriodFlows:
    return replace(period, sent=period.taken)


def _unpayable(tariff: Tariff, rule: ExportRule) -> Tariff:
    """The tariff without the charges that credit in money may pay."""
    if keeps_kwh(rule) or rule.rule == "none" or rule.credit_pays == "energy":
        return tariff
    gone = {"demand": [], "array": [], "energy": [charge.model_copy(update={"counts": "net"}) for charge in tariff.energy]}
    return tariff.model_copy(update=gone | ({"fixed": [], "taxes": []} if rule.credit_pays == "everything" else {}))
