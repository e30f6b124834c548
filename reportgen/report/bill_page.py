"""What the part on the bill shows beside the bill itself: its parts, its tariffs in words, and how much the hours matter."""

from __future__ import annotations

from dataclasses import dataclass, replace

from reportgen.assessment import Assessment
from reportgen.bills.bank import keeps_kwh
from reportgen.bills.plans import HousePlans
from reportgen.figures import Figure, show, span
from reportgen.report.bill_parts import PartsTable, bill_parts, kind_text, parts_tables
from reportgen.report.tariff_words import WordedTariff, tariff_words


@dataclass(frozen=True)
class BillPage:
    tables: tuple[PartsTable, PartsTable]            # before and after
    tariffs: tuple[tuple[str, WordedTariff], ...]    # a heading and the tariff: today's, and the one that comes with the array
    bank_in: str                                     # "kWh", "money", or "" where nothing is ever left in it
    demand_sides: tuple[str, ...]                    # which of "before" and "after" charge for demand
    reset_month: str                                 # when a bank of kWh is emptied each year; "" otherwise
    is_plain_one_to_one: bool                        # one-to-one, a bank of kWh that is never emptied, shared by all windows
    sells_all: bool
    hours: str                                       # how much it matters that hours are modelled
    best_reset: Figure | None
    reset_is_best: bool                              # to the cent
    against_one_to_one: Figure | None
    rule_worth: str                                  # "$567 lower ($538 to $648)", if it were one-to-one
    after_reach: str                                 # "$760 to $870"; "" where the ends print alike
    saving_reach: str
    today_name: str                                  # the plans' names where another one comes with the array
    chosen_name: str
    kind_text = staticmethod(kind_text)              # of a line


def bill_page(assessment: Assessment) -> BillPage:
    bills, figures = assessment.bills, assessment.figures
    counted, months = bills.counted, bills.after.months
    rule = counted.chosen.rule if counted else None
    in_kwh, in_money = any(m.bank_kwh > 0.05 for m in months), any(m.bank_money > 0 for m in months)
    moved = counted is not None and counted.chosen is not counted.today
    worth, best = figures.get("bills.against_one_to_one"), figures.get("bills.best_reset_month")
    return BillPage(
        tables=parts_tables(bills, bill_parts(bills)), tariffs=_tariffs(assessment), bank_in="kWh" if in_kwh else "money" if in_money else "",
        demand_sides=tuple(side for side in ("before", "after") if getattr(bills, side).months[0].demand_kw is not None),
        reset_month=rule.reset_month if rule and keeps_kwh(rule) and rule.resets == "yearly" else "",
        is_plain_one_to_one=rule is not None and keeps_kwh(rule) and rule.resets == "never" and rule.buckets == "pooled",
        sells_all=rule is not None and rule.rule == "buy-all sell-all", hours=hours_text(bills.hours_are_modelled, counted),
        best_reset=best, reset_is_best=best is not None and round(best.low, 2) >= float(bills.after.total), against_one_to_one=worth, rule_worth=_lower_or_higher(worth),
        after_reach=_reach(figures.get("bills.after")), saving_reach=_reach(bills.saving),
        today_name=counted.today.name if moved else "", chosen_name=counted.chosen.name if moved else "")


def _reach(figure: Figure | None) -> str:
    if figure is None or figure.low is None or figure.high is None:
        return ""
    code = figure.unit.partition("/")[0]
    return span(figure.low, figure.high, code) if show(figure.low, code) != show(figure.high, code) else ""


def _lower_or_higher(costs: Figure | None) -> str:
    """What a bill would be without what a rule costs."""
    if costs is None:
        return ""
    code, middle = costs.unit.partition("/")[0], costs.value
    if middle >= 0:
        text, reach = f"{show(middle, code, 0)} lower", _reach(costs)
    else:
        turned = costs if costs.low is None or costs.high is None else replace(costs, low=-costs.high, high=-costs.low)
        text, reach = f"{show(-middle, code, 0)} higher", _reach(turned)
    return f"{text} ({reach})" if reach else text


def hours_text(modelled: bool, counted: HousePlans | None) -> str:
    """How much it matters here that the hours of use are modelled."""
    if counted is None:
        return ""
    if not modelled:
        return "The hours of use are measured, so the range of a model is not needed."
    rule, tariff = counted.chosen.rule, counted.chosen.tariff
    if counted.hours_matter:
        return "The hours are modelled, and here that matters: the range of a settled year’s bill is what it can do."
    if rule.rule == "one-to-one" and counted.chosen.netting.cells == 1 and not tariff.demand:
        return "The hours are modelled; under this tariff that does not move the bill at all, since only each month’s sums count."
    return ("The hours are modelled. How much of the sun is used at once does not move this bill; "
            + ("the highest demand does, and in a real home it is higher than here." if tariff.demand else
               "in which of the tariff’s hours the use lies does, and is not in any range here." if counted.chosen.netting.cells > 1 else
               "use and sun each have a meter of their own."))


def _tariffs(assessment: Assessment) -> tuple[tuple[str, WordedTariff], ...]:
    code, counted = assessment.payback.currency, assessment.bills.counted
    if counted is None:
        return (("", tariff_words(assessment.house.tariff, code)),)
    if counted.chosen is counted.today:
        return (("", tariff_words(counted.today.tariff, code)),)
    return (("Before", tariff_words(counted.today.tariff, code)), ("With the array", tariff_words(counted.chosen.tariff, code)))
