"""Sentences on the bill for the reader: what the rule does, what the hours matter, what is lost or left over."""

from __future__ import annotations

from reportgen.bills.bank import Growth, keeps_kwh
from reportgen.bills.bill_figures import best_month
from reportgen.bills.flows import DEMAND_NOTE, NETTING_NOTE
from reportgen.bills.plans import HousePlans
from reportgen.bills.result import YearBill
from reportgen.describe.tariff import ExportRule
from reportgen.figures import show

PAYS = {"energy": "pays for energy, never for the fixed charge", "all but fixed": "pays for everything but the fixed charge",
        "everything": "may pay the whole bill"}


def bill_notes(code: str, plans: HousePlans, after: YearBill, growth: Growth,
               by_month: dict[str, YearBill]) -> tuple[str, ...]:
    rule, tariff, modelled = plans.chosen.rule, plans.chosen.tariff, not plans.use.is_measured
    notes = list(plans.use.notes)
    if rule.rule == "one-to-one":
        notes.append(_one_to_one(plans, rule, modelled))
        notes += _bank_notes(code, rule, after, growth.kwh, by_month) if keeps_kwh(rule) else []
    elif rule.rule == "net billing":
        notes.append(f"Net billing by the hour: kWh taken are charged, kWh sent out earn their own price. That credit {PAYS[rule.credit_pays]}; "
                     "what is left over is carried on in money. " + _reset_words(rule))
    elif rule.rule == "buy-all sell-all":
        notes.append("All that is used is billed, and all that is made is sold, each through its own meter. So the hours of use do "
                     "not move the saving." if modelled else "All that is used is billed, and all that is made is sold.")
    else:
        notes.append("Nothing is paid for what is sent out: only sun used in the hour it is made saves anything.")
    if growth.money > 0:
        notes.append("Credit is left over at the end of each year and grows; nothing is counted for it.")
    lost = sum((month.lost_money for month in after.months), start=after.total * 0)
    if lost >= 1:
        notes.append(f"Credit of {show(float(lost), code)} is lost in a settled year.")
    notes += _rule_to_come(plans)
    if rule.netting != "hour":
        notes.append(NETTING_NOTE.format(within={"instant": "the instant", "quarter hour": "the quarter hour"}[rule.netting]))
    notes += [DEMAND_NOTE.format(over=charge.over) for charge in tariff.demand if charge.over != "1 hour"]
    if tariff.demand and modelled:
        notes.append("The highest demand comes from modelled hours, which are smoother than a home's real ones: the real demand is "
                     "higher, with the sun and without.")
    if plans.use.changes:
        notes.append("The printed bills are those of the first year with the sun, with the changes of use that have begun by then; "
                     "what comes later raises both bills of its years.")
    notes.append("Billed kWh are rounded to a tenth, each line to the cent, half a cent upwards."
                 + (" Calendar months stand for billing periods." if tariff.read_day is None else ""))
    return tuple(notes)


def _one_to_one(plans: HousePlans, rule: ExportRule, modelled: bool) -> str:
    if keeps_kwh(rule):
        text = "Each kWh sent out cancels one kWh taken, in the same month or later from the bank."
    else:
        text = (f"What is sent out beyond use becomes credit at the price of its hours. That credit {PAYS[rule.credit_pays]}; what is "
                "left over is carried on in money. " + _reset_words(rule)).strip()
    if not modelled:
        return text
    if plans.chosen.hours_matter:
        return text + " Some charges count each kWh taken from the grid, so the modelled hours move the saving."
    if plans.chosen.netting.cells > 1 or plans.chosen.tariff.demand:
        return text + " How much of the sun is used at once does not matter; in which hours of the tariff the use lies does."
    return text + " Only each month's sums matter, so the modelled hours do not move the saving."


def _reset_words(rule: ExportRule) -> str:
    if rule.resets == "never":
        return "Nothing says that it is ever paid out: ask the utility what it does with credit left over."
    when = "each month" if rule.resets == "monthly" else f"at the end of {rule.reset_month}"
    return f"What is left {when} is {'paid out' if rule.leftover == 'paid' else 'lost'}."


def _rule_to_come(plans: HousePlans) -> list[str]:
    own = plans.chosen.tariff.export_rule
    if own.ends is None or plans.chosen.rule is not own:
        return []
    return [(f"The rule for what is sent out holds until {own.ends.isoformat()}; after that the years are counted under "
             f"{own.then.rule}. A year is counted under the rule that holds in its middle.")]


def _bank_notes(code: str, rule: ExportRule, after: YearBill, growth: float, by_month: dict[str, YearBill]) -> list[str]:
    lost = sum(m.lost_kwh for m in after.months)
    if rule.resets == "never":
        text = (f"The bank grows by {growth:,.0f} kWh each year and is never used up: the array gives more than the house uses, and "
                "nothing is counted for the rest.")
        return [text] if growth > 0.05 else []
    if rule.resets == "monthly":
        return [f"The bank is emptied each month: {lost:,.0f} kWh are lost in a settled year."] if lost > 0.05 else []
    notes = []
    if lost > 0.05:
        notes.append(f"The bank is emptied at the end of {rule.reset_month}: {lost:,.0f} kWh are lost in a settled year.")
    best = best_month(by_month)
    gain = float(by_month[rule.reset_month].total - by_month[best].total)
    if gain >= 1:
        notes.append(f"Emptied at the end of {best} instead, a settled year's bill would be lower by {show(gain, code)}. "
                     "Ask whether the month can be chosen.")
    else:
        notes.append("No other month for emptying the bank would make a settled year's bill noticeably lower.")
    return notes
