"""The bills of many years, for the cash by year: the same rules as `bill`, in the same order, without rounding to cents.

A bill of 2040 has no cents worth keeping; the first year here and the printed one differ by roundings alone. What the
tariff itself rounds, a demand to whole kW, is rounded here too. The heavy part, hours to periods, is done once
(`netting`); prices may then grow as they like on years × 12 numbers.
Fixed prices, charges on the array and the minimum grow together; energy, demand and taxes per kWh together; what is
sent out on its own. Money in a one-to-one bank is worth what a kWh costs, so it grows with energy.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta

import numpy as np

from reportgen.bills.bank import keeps_kwh, resets_after
from reportgen.bills.calendar import BillCalendar
from reportgen.bills.netting import MeterYears, Netting
from reportgen.bills.year_charges import Charge, Plan, RuleYears, charges_of_years
from reportgen.describe.tariff import ExportRule, Tariff
from reportgen.describe.tariff_rules import rule_on

GROWS_WITH = {"fixed": "fixed", "energy": "energy", "demand": "energy", "array": "fixed"}
HALF_A_YEAR = timedelta(days=182)


@dataclass(frozen=True, eq=False)
class PriceFactors:
    """Prices of each year as a share of today's, n values each."""
    fixed: np.ndarray
    energy: np.ndarray
    export: np.ndarray

    @classmethod
    def growing(cls, year_count: int, fixed_percent: float, energy_percent: float, export_percent: float) -> PriceFactors:
        """Year 1 is today's."""
        return cls(*((1.0 + percent / 100.0) ** np.arange(year_count) for percent in (fixed_percent, energy_percent, export_percent)))


@dataclass(frozen=True, eq=False)
class BillYears:
    """n years [currency]."""
    total: np.ndarray
    parts: dict[str, np.ndarray]   # by kind of line, as in result.BillLine; credit is below zero; they add up to total


@dataclass(frozen=True, eq=False)
class PlanYears:
    """n years on one plan, counted and priced at today's prices."""
    plan: Plan
    by_rule: tuple[RuleYears, ...]

    def bills(self, prices: PriceFactors) -> BillYears:
        parts: dict[str, list[np.ndarray]] = {}
        money, begun = 0.0, 0
        for years in self.by_rule:
            end = begun + len(years.earned)
            span = PriceFactors(prices.fixed[begun:end, None], prices.energy[begun:end, None], prices.export[begun:end, None])
            made, money = _Settled(self.plan, years, span, money).parts()
            for kind, amounts in made.items():
                parts.setdefault(kind, []).append(amounts.sum(axis=1))
            begun = end
        whole = {kind: np.concatenate(amounts) for kind, amounts in parts.items()}
        return BillYears(sum(whole.values()), whole)


def rule_of_year(tariff: Tariff, start: date, k: int) -> ExportRule:
    """The export rule of year k, 0 the first: the one that holds in the middle of it. start: first day of year 0."""
    return rule_on(tariff, date(start.year + k, start.month, min(start.day, 28)) + HALF_A_YEAR)


def plan_years(plan: Plan, meter: MeterYears, array_kw: tuple[float, float], start: date) -> PlanYears:
    """A plan's charges for the years that the meter counted. start: first day of the first year; array_kw: (DC, AC)."""
    rules = [rule_of_year(plan.tariff, start, k) for k in range(len(meter.taken))]
    return PlanYears(plan, charges_of_years(plan, meter, rules, array_kw))


def years_of_bills(tariff: Tariff, calendar: BillCalendar, use_of_year, sun_hours: np.ndarray, output_factors: np.ndarray,
                   prices: PriceFactors, array_kw: tuple[float, float], start: date,
                   used_at_once_shift: float = 0.0) -> tuple[BillYears, BillYears]:
    """(Without the sun, with it) on one plan, n years. use_of_year and the rest: as for `Netting` and `plan_years`."""
    plan, netting = Plan.of(tariff, calendar), Netting(tariff, calendar, use_of_year, sun_hours, len(output_factors))
    without = plan_years(plan, netting.years(np.zeros(len(output_factors))), (0.0, 0.0), start)
    return without.bills(prices), plan_years(plan, netting.years(output_factors, used_at_once_shift), array_kw, start).bills(prices)


class _Settled:
    """One rule's years with grown prices: credit, minimum, taxes. Arrays are y × 12, factors y × 1."""

    def __init__(self, plan: Plan, years: RuleYears, prices: PriceFactors, money: float):
        self._plan, self._rule, self._prices, self._years = plan, years.rule, prices, years
        self._charges = [self._grown(charge) for charge in years.charges]
        self._charged = sum(c.amount for c in self._charges)
        self._earned = getattr(prices, years.earned_with) * years.earned
        self._carried_in = 0.0 if keeps_kwh(years.rule) or years.rule.rule == "none" else money
        least = plan.tariff.minimum
        self._least = None if least is None else prices.fixed * least.price * (
            plan.calendar.period_days if least.per == "day" else np.ones(12))

    def _grown(self, charge: Charge) -> Charge:
        factor = getattr(self._prices, GROWS_WITH[charge.kind])
        amount = factor * charge.amount
        return Charge(charge.name, charge.kind, charge.counts, amount,
                      amount if charge.positive is charge.amount else factor * charge.positive)

    def parts(self) -> tuple[dict[str, np.ndarray], float]:
        """By kind of line, y × 12 (credit below zero); and the money left to the next rule's first period."""
        pays_all = self._rule.credit_pays == "everything"
        payable = [c for c in self._charges if _may_pay(c, self._rule.credit_pays)]
        cap = np.maximum(sum((c.amount for c in payable), np.zeros_like(self._charged)), 0.0)
        if not self._carried_in and not self._earned.any():
            used, taxes = np.zeros_like(cap), self._taxes(np.zeros_like(cap))
            taxes_paid, paid_out, money = 0.0, 0.0, 0.0
        else:
            taxes_at_cap = self._taxes(cap) if pays_all else np.zeros_like(cap)
            available, taxes_paid, paid_out, money = self._through_the_months(cap, taxes_at_cap)
            used = np.minimum(available, cap)
            taxes = self._taxes(used)
        kinds = {kind: sum(c.amount for c in self._charges if c.kind == kind) for kind in dict.fromkeys(c.kind for c in self._charges)}
        kwh_paid = self._years.paid_kwh * self._prices.export * (self._rule.leftover_price_per_kwh or 0.0)
        return {**kinds, "credit": -used - taxes_paid - paid_out - kwh_paid, "minimum": self._raised(used), "tax": taxes}, money

    def _through_the_months(self, cap: np.ndarray, taxes_at_cap: np.ndarray) -> tuple[np.ndarray, np.ndarray, np.ndarray, float]:
        """(credit available in each period, taxes paid by it, money paid out at resets, money left at last).

        One period after the other, since each begins with what the last one left; what each can take is known before.
        """
        resets = [resets_after(self._rule, month) for month in range(1, 13)]
        keeps = self._least is not None and self._plan.tariff.minimum.unused_credit == "kept"
        floor, first, most = self._floor() if keeps else (cap, cap, cap)
        pays_out = self._rule.leftover == "paid"
        money, available, by_taxes, paid = self._carried_in, [], [], []
        rows = zip(*(a.ravel().tolist() for a in (self._earned, cap, taxes_at_cap, floor, first, most)), strict=True)
        for k, (earned, can_pay, taxes, least_kept, before, room) in enumerate(rows):
            had = money + earned
            left = had - min(had, can_pay)
            tax_part = min(left, taxes) if left > 0 else 0.0
            held = max(0.0, min(max(min(had, can_pay) - before, 0.0), room) - least_kept) if keeps else 0.0
            money = left - tax_part + held
            out = 0.0
            if resets[k % 12]:
                out, money = (money if pays_out else 0.0), 0.0
            available.append(had)
            by_taxes.append(tax_part)
            paid.append(out)
        shape = cap.shape
        return *(np.array(values).reshape(shape) for values in (available, by_taxes, paid)), money

    def _covered(self) -> list[Charge]:
        return [c for c in self._charges if self._plan.tariff.minimum.covers == "everything" or c.kind == "energy"]

    def _floor(self) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
        """For the credit that the minimum holds back: what of the covered lines lies above the minimum; how much credit
        goes to lines before them; how much they can take."""
        zero = np.zeros_like(self._charged)
        above = np.maximum(sum((c.amount for c in self._covered()), zero) - self._least, 0.0)
        before, room = self._reach_of_credit()
        return above, before, room

    def _reach_of_credit(self) -> tuple[np.ndarray, np.ndarray]:
        """Credit pays lines in the order of the bill: (what goes to lines before the covered ones, what those can take)."""
        zero, pays = np.zeros_like(self._charged), self._rule.credit_pays
        if self._plan.tariff.minimum.covers == "everything" or pays == "energy":
            return zero, np.full_like(zero, np.inf)
        energy = sum((c.positive for c in self._charges if c.kind == "energy"), zero)
        fixed = sum((c.positive for c in self._charges if c.kind == "fixed"), zero) if pays == "everything" else zero
        return fixed, energy

    def _raised(self, used: np.ndarray) -> np.ndarray:
        """What the minimum adds after credit."""
        if self._least is None:
            return np.zeros_like(used)
        before, room = self._reach_of_credit()
        on_covered = np.where(used < 0, used, np.clip(used - before, 0.0, room))
        charged = sum((c.amount for c in self._covered()), np.zeros_like(used))
        return np.maximum(0.0, self._least - (charged - on_covered))

    def _taxes(self, used: np.ndarray) -> np.ndarray:
        tariff = self._plan.tariff
        if not tariff.taxes:
            return np.zeros_like(used)
        amounts: dict[str, np.ndarray] = {}
        paid = self._paid(used)
        for tax in tariff.taxes:
            if tax.per_kwh is not None:
                kwh = self._years.net_kwh if tax.counts == "net" else self._years.delivered_kwh
                amounts[tax.name] = self._prices.energy * tax.per_kwh * kwh
            else:
                base = np.zeros_like(used) if tax.before_credits else used
                minimum = self._raised(np.zeros_like(used)) if tax.before_credits else self._raised(used)
                if tax.lines is None:
                    whole = self._charged + minimum - base
                else:
                    whole = sum((c.amount - (0.0 if tax.before_credits else part) for c, part in zip(self._charges, paid, strict=True)
                                 if c.name in tax.lines), sum((amounts[name] for name in tax.lines if name in amounts), np.zeros_like(used)))
                    if tariff.minimum is not None and tariff.minimum.name in tax.lines:
                        whole = whole + minimum
                amounts[tax.name] = tax.percent / 100.0 * np.maximum(whole, 0.0)
        return sum(amounts.values())

    def _paid(self, used: np.ndarray) -> Sequence[np.ndarray]:
        """What credit pays of each charge, in the order of the bill."""
        to_pay, paid = np.maximum(used, 0.0), []
        for charge in self._charges:
            part = np.minimum(charge.positive, to_pay) if _may_pay(charge, self._rule.credit_pays) else np.zeros_like(used)
            paid.append(part)
            to_pay = to_pay - part
        return paid


def _may_pay(charge: Charge, pays: str) -> bool:
    if pays == "energy":
        return charge.kind == "energy" and charge.counts == "net"
    return pays == "everything" or charge.kind != "fixed"
