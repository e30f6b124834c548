"""What would have to be true: the one number that alone brings the owner's target about, all else as in the middle case."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from reportgen.bills.plans import CountedPlan, HousePlans, ageing, price_factors
from reportgen.bills.year_charges import Plan
from reportgen.bills.years import PriceFactors
from reportgen.describe.models import House
from reportgen.describe.tariff import LastingExportRule
from reportgen.figures import Figure, show, show_number
from reportgen.payback.cases import (
    CaseInputs,
    CashColumns,
    at_price,
    case_bills,
    cash_columns,
    standing,
)
from reportgen.payback.choices_result import Need, Needs
from reportgen.payback.present_value import paid_back_in
from reportgen.payback.solve import crossing
from reportgen.sizing import dc_kw

GROWTH_WITHIN = (-10.0, 15.0)     # [% a year] the growths that a house file may hold
MOST_TIMES = 5.0                  # prices are tried from nothing to this many times today's
METHOD = "solved by Brent's method on the same cash by year; all else as in the middle case"


def needs(house: House, plans: HousePlans, middle: CaseInputs) -> Needs:
    """Each of price per watt, price of a kWh, its growth and the export price that alone would do."""
    return _Needs(house, plans, middle).all()


class _Needs:
    def __init__(self, house: House, plans: HousePlans, middle: CaseInputs):
        self.house, self.plans, self.case, self.code = house, plans, middle, house.money.currency
        self.years = house.paying.target_years
        self.bills = case_bills(house, plans, middle)
        self.columns = cash_columns(house, middle, self.bills)
        self.prices = price_factors(house, middle.growth_percent)
        self.watts = 1000.0 * dc_kw(house)

    def all(self) -> Needs:
        back = paid_back_in(np.cumsum(self.columns.flows))
        is_met = back is not None and back <= self.years
        within = f"within {self.years} year{'' if self.years == 1 else 's'}"
        headline = (f"In the middle case it is paid back {within}. It stays so as long as one of these, all else as it is, holds:" if is_met
                    else f"To be paid back {within}, one of these would have to be true, all else as it is:")
        return Needs(self.years, is_met, headline, (self._price(within), self._energy(within), self._growth(within), self._export(within)))

    def _short(self, columns: CashColumns) -> float:
        """Least sum of net cash from the target year on: at or above zero, it is paid back in time and stays so."""
        return float(np.cumsum(columns.flows)[self.years:].min())

    def _price(self, within: str) -> Need:
        def curve(per_watt: float) -> float:
            return self._short(at_price(self.house, replace(self.case, price=per_watt * self.watts), self.columns))
        today, unit = self.case.price / self.watts, f"{self.code}/W"
        found = crossing(curve, 0.0, MOST_TIMES * today)
        return self._need("need_price_per_w", "Price per watt that would do", found, unit, show(today, unit), within,
                          f"a price of at most {show(found, unit)}", (curve(0.0), "no price above zero"),
                          "upkeep, new inverters and the price to connect as they are")

    def _energy(self, within: str) -> Need:
        """Energy, demand and taxes per kWh move together; what is sent out does too only where kWh are set against kWh."""
        today, unit = self._energy_price(), f"{self.code}/kWh"
        if today <= 0:
            return self._need("need_price_per_kwh", "Price of a kWh that would do", None, unit, "", within, "", (-1.0, "no price of a kWh"), "")

        def curve(per_kwh: float) -> float:
            prices = PriceFactors(self.prices.fixed, per_kwh / today * self.prices.energy, self.prices.export)
            return self._short(replace(self.columns, before=self.bills.before.bills(prices).total, after=self.bills.after.bills(prices).total))
        most = MOST_TIMES * today
        found = crossing(curve, 0.0, most)
        return self._need("need_price_per_kwh", "Price of a kWh from the grid that would do", found, unit, show(today, unit), within,
                          f"power from the grid at {show(found, unit)} or more today", (curve(most), f"no price of a kWh up to {show(most, unit)}"),
                          "all prices per kWh and per kW of today's bill times the same number; what is sent out as it is")

    def _growth(self, within: str) -> Need:
        def curve(growth: float) -> float:
            return self._short(cash_columns(self.house, replace(self.case, growth_percent=growth), self.bills))
        low, high = GROWTH_WITHIN
        found = crossing(curve, low, high)
        return self._need("need_growth", "Growth of the electricity price that would do", found, "%", f"{self.case.growth_percent:g} % a year",
                          within, f"electricity growing by {show(found, '%', 1)} a year or more", (
                              curve(high), f"no growth of the electricity price up to {high:g} % a year"), "")

    def _export(self, within: str) -> Need:
        unit, plan = f"{self.code}/kWh", self.plans.chosen
        flat = _at_one_a_kwh(plan)
        after = flat.years(self.case.output_share * ageing(self.house) * standing(self.house), self.case.used_at_once_shift)

        def curve(per_kwh: float) -> float:
            prices = PriceFactors(self.prices.fixed, self.prices.energy, per_kwh * self.prices.export)
            return self._short(replace(self.columns, after=after.bills(prices).total))
        most = MOST_TIMES * max(self._energy_price(), 0.01)
        found = crossing(curve, 0.0, most)
        rule = plan.rule
        today = "" if rule.price_per_kwh is None else show(rule.price_per_kwh, unit)
        return self._need("need_export_price", "Price of a kWh sent out that would do", found, unit, today, within,
                          f"{show(found, unit)} or more for each kWh sent out", (curve(most), f"no price for what is sent out up to {show(most, unit)}"),
                          "one price at all hours, paying as far as the bill lets it" + ("" if rule.rule in ("net billing", "buy-all sell-all") else
                                                      "; net billing by the hour instead of the rule now in force"))

    def _energy_price(self) -> float:
        """What a kWh costs today on average, all lines per kWh in it [currency/kWh]."""
        ones = PriceFactors.growing(len(self.prices.energy), 0.0, 0.0, 0.0)
        kwh = float(self.plans.today.netting.years(np.zeros(len(self.prices.energy))).used[0].sum())
        return float(self.bills.before.bills(ones).parts.get("energy", np.zeros(1))[0]) / kwh if kwh > 0 else 0.0

    def _need(self, key: str, label: str, found: float | None, unit: str, today: str, within: str, said: str,
              end: tuple[float, str], how: str) -> Need:
        """end: the curve at its most favourable end, and how to say that not even that is enough."""
        now = f" (now {today})" if today else ""
        if found is not None:
            sentence = f"{said[0].upper()}{said[1:]}{now}."
        elif end[0] > 0:
            sentence = f"{label.removesuffix(' that would do')}: paid back {within} whatever it is, within what was tried{now}."
        else:
            sentence = f"{end[1][0].upper()}{end[1][1:]} brings it back {within}{now}."
        formula = (f"least sum of net cash from year {self.years} on = 0 at {show_number(found, 4)} {unit}; {how}" if found is not None
                   else f"no crossing of zero; {how}").removesuffix("; ")
        return Need(Figure(f"payback.{key}", label, found, unit, formula=formula, sources=(METHOD,)), today, sentence)


def _at_one_a_kwh(plan: CountedPlan) -> CountedPlan:
    """The plan with each kWh sent out paid 1 at all hours, so that the growth of that price can carry any price."""
    rule = plan.rule
    kept = {key: getattr(rule, key) for key in ("netting", "resets", "reset_month", "leftover", "credit_pays")}
    if rule.rule not in ("net billing", "buy-all sell-all"):
        kept = {"netting": rule.netting}
    name = rule.rule if rule.rule == "buy-all sell-all" else "net billing"
    tariff = plan.tariff.model_copy(update={"export_rule": LastingExportRule(rule=name, price_per_kwh=1.0, **kept)})
    return replace(plan, plan=Plan.of(tariff, plan.plan.calendar))
