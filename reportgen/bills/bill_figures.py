"""The figures of the bill, each with its formula and, where modelled hours may be wrong, its range."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

from reportgen.bills.bank import keeps_kwh
from reportgen.bills.flows import PeriodFlows
from reportgen.bills.plans import HousePlans
from reportgen.bills.printed import PrintedBills
from reportgen.bills.result import YearBill
from reportgen.bills.use import SELF_USE_REACH
from reportgen.describe.models import House
from reportgen.describe.tariff import Tariff
from reportgen.figures import Figure, show

SHAPE_TEXT = ("the hours of use are modelled: the share of the sun used at once moved by 6 points either way, which is "
              "a floor, since a single home is more ragged than the shapes")
ONE_TO_ONE_TEXT = "under one-to-one the hours do not matter: only each month's sums do"
KINDS = {"fixed": "fixed charges", "energy": "charges on every kWh taken", "demand": "demand when no sun shines",
         "array": "charges on the array", "credit": "credit", "minimum": "the minimum", "tax": "taxes"}


@dataclass(frozen=True, eq=False)
class BillFigures:
    house: House
    plans: HousePlans
    chosen: PrintedBills
    before: YearBill
    first: YearBill
    after: YearBill
    by_month: dict[str, YearBill]    # settled year by the month in which the bank is emptied; empty without such a bank

    def all(self) -> tuple[Figure, ...]:
        """The saving, the share used at once and what stays due come first."""
        return (self._saving(), self._self_use(), self._stays_due(), *self._years(), *self._kwh(), *self._against_one_to_one(),
                *self._best_reset_month())

    @property
    def _code(self) -> str:
        return self.house.money.currency

    @property
    def _sources(self) -> tuple[str, ...]:
        return tuple(dict.fromkeys(source for plan in (self.plans.today, self.plans.chosen) for source in tariff_sources(plan.tariff)))

    @property
    def _hours(self) -> tuple[str, ...]:
        return (("hour by hour, measured use" if self.plans.use.is_measured else "hour by hour, modelled use") + " against modelled sun",)

    @cached_property
    def _moved(self) -> list[tuple[PeriodFlows, ...]]:
        """What the meter counts with 6 points more and 6 points less of the sun used at once."""
        return [] if self.plans.use.is_measured else [self.chosen.moved(side * SELF_USE_REACH) for side in (1, -1)]

    @cached_property
    def _reach(self) -> dict[str, list[float]]:
        """By key the values of which the least and the greatest are the range; empty where the hours do not matter."""
        if not self.plans.hours_matter:
            return {}
        ends = [self.chosen.with_sun(flows) for flows in self._moved]
        # The middle is among the ends, so that rounded lines never put it outside.
        return {"first_year_after": [float(y.total) for y in (self.first, *(end[0] for end in ends))],
                "after": [float(y.total) for y in (self.after, *(end[1] for end in ends))],
                "import_kwh": [_taken(flows) for flows in self._moved], "export_kwh": [_sent(flows) for flows in self._moved]}

    def _ends(self, key: str) -> dict:
        found = self._reach
        return {"low": min(found[key]), "high": max(found[key]), "range_is": SHAPE_TEXT} if key in found else {}

    def _saving(self) -> Figure:
        savings = [round(float(self.before.total) - after, 2) for after in self._reach.get("after", [float(self.after.total)])]
        saving = round(float(self.before.total - self.after.total), 2)
        texts = [show(value, self._code, 2) for value in (float(self.before.total), float(self.after.total), saving)]
        why = SHAPE_TEXT if self._reach else "the hours of use are measured" if self.plans.use.is_measured else (
            ONE_TO_ONE_TEXT if self.plans.chosen.rule.rule == "one-to-one" else "what the array makes is counted whole, whatever is used")
        return Figure("bills.saving", "Saved in a settled year, at today's prices", saving, f"{self._code}/year",
                      min(saving, *savings), max(saving, *savings), f"{texts[0]} without − {texts[1]} with the sun = {texts[2]}",
                      self._sources, why)

    def _self_use(self) -> Figure:
        made = float(self.chosen.sun_hours.sum())

        def share(flows: Sequence[PeriodFlows]) -> float | None:
            return None if made <= 0 else min(100.0, max(0.0, 100.0 * (1.0 - _sent(flows) / made)))
        used = made - _sent(self.chosen.flows)
        more, less = (share(flows) for flows in self._moved) if self._moved else (None, None)
        return Figure("bills.self_use", "Share of the sun's output used at once", share(self.chosen.flows), "%", less, more,
                      f"{used:,.0f} kWh used in the hour it is made / {made:,.0f} kWh made" if made > 0 else "",
                      self._hours, SHAPE_TEXT if self._moved else "")

    def _stays_due(self) -> Figure:
        least = self.chosen.least()
        fixed = [float(sum(line.amount for line in month.lines if line.kind == "fixed")) for month in least.months]
        parts = {kind: float(sum(line.amount for month in least.months for line in month.lines if line.kind == kind)) for kind in KINDS}
        total = float(least.total)
        if any(value for kind, value in parts.items() if kind != "fixed") or len(set(fixed)) > 1:
            text = " + ".join(f"{KINDS[kind]} {show(value, self._code, 2)}" for kind, value in parts.items() if value) or show(0.0, self._code, 2)
        else:
            text = f"12 × {show(fixed[0], self._code, 2)}"
        return Figure("bills.stays_due", "Stays due each year, whatever the sun does", total, f"{self._code}/year",
                      formula=f"{text} = {show(total, self._code, 2)}", sources=self._sources)

    def _years(self) -> list[Figure]:
        return [Figure(f"bills.{key}", label, float(year.total), f"{self._code}/year", formula=_sum_text(year, self._code),
                       sources=self._sources, **self._ends(key))
                for key, label, year in (("before", "A year's bill without the sun", self.before),
                                         ("after", "A settled year's bill with the sun", self.after),
                                         ("first_year_after", "The first year's bill with the sun", self.first))]

    def _kwh(self) -> list[Figure]:
        flows = self.chosen.flows
        return [Figure(f"bills.{key}", label, float(kwh), "kWh", formula=f"{text} = {kwh:,.0f} kWh", sources=sources, **self._ends(key))
                for key, label, kwh, text, sources in (
                    ("use_kwh", "Used in a year", self.chosen.use_hours.sum(), "sum of twelve months",
                     (self.plans.use.shape_source if self.plans.use.is_measured else "the house file",)),
                    ("import_kwh", "Taken from the grid in a year", _taken(flows), "use above sun, hour by hour", self._hours),
                    ("export_kwh", "Sent to the grid in a year", _sent(flows), "sun above use, hour by hour", self._hours))]

    def _against_one_to_one(self) -> list[Figure]:
        """What the rule for what is sent out costs against one-to-one with a bank that is never emptied."""
        rule = self.plans.chosen.rule
        if keeps_kwh(rule) and rule.resets == "never" and rule.buckets == "pooled":
            return []
        plain = self.chosen.under_one_to_one()
        texts = [show(value, self._code, 2) for value in (float(self.after.total), float(plain.total),
                                                          float(self.after.total - plain.total))]
        ends = [after - float(plain.total) for after in self._reach.get("after", [])]
        return [Figure("bills.against_one_to_one", "What this rule for what is sent out costs against one-to-one",
                       float(self.after.total - plain.total), f"{self._code}/year", *((min(ends), max(ends)) if ends else (None, None)),
                       f"settled year {texts[0]} − {texts[1]} if each kWh sent out cancelled one taken, now or later = {texts[2]}",
                       self._sources, SHAPE_TEXT if ends else "")]

    def _best_reset_month(self) -> list[Figure]:
        if not self.by_month:
            return []
        best, totals = best_month(self.by_month), [float(year.total) for year in self.by_month.values()]
        return [Figure("bills.best_reset_month", f"A settled year's bill if the bank were emptied at the end of {best}",
                       float(self.by_month[best].total), f"{self._code}/year", min(totals), max(totals),
                       "; ".join(f"{month} {show(total, self._code, 2)}" for month, total in zip(self.by_month, totals, strict=True)),
                       self._sources, "the best and the worst of the twelve months")]


def best_month(by_month: dict[str, YearBill]) -> str:
    return min(by_month, key=lambda month: by_month[month].total)


def tariff_sources(tariff: Tariff) -> tuple[str, ...]:
    where = tariff.source or "prices as written in the house file"
    return (where + (f", read on {tariff.read_on.isoformat()}" if tariff.read_on else ""),)


def _sum_text(year: YearBill, code: str) -> str:
    return " + ".join(show(float(m.total), code, 2) for m in year.months) + f" = {show(float(year.total), code, 2)}"


def _taken(flows: Sequence[PeriodFlows]) -> float:
    return float(sum(period.taken.sum() for period in flows))


def _sent(flows: Sequence[PeriodFlows]) -> float:
    return float(sum(period.sent.sum() for period in flows))
