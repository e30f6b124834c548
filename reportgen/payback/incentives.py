"""Incentives as dated law: chosen by the day the system is finished, from tables/incentives.yaml. No day, no incentive."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from functools import cache
from importlib import resources

import yaml

from reportgen.describe.models import House
from reportgen.figures import show
from reportgen.payback.result import IncentiveFinding

STALE_AFTER_DAYS = 180


@dataclass(frozen=True)
class LawRow:
    key: str
    name: str
    country: str
    kind: str
    finished_from: date
    finished_to: date | None
    percent: float
    carry_forward: bool
    who: str
    source: str
    seen_on: date


def find_incentives(house: House, price: float, horizon_years: int) -> tuple[IncentiveFinding, ...]:
    """What the law of the finishing day gives for a system of this price [currency], one finding an incentive.

    `amount` is what is counted within the horizon: nothing without a finishing day, and of a credit no more than the
    tax owed allows. Empty outside the countries that the table covers.
    """
    rows_here = tuple(row for row in _law() if row.country == house.place.country)
    return tuple(_find_credit(house, tuple(row for row in rows_here if row.key == key), price, horizon_years)
                 for key in dict.fromkeys(row.key for row in rows_here))


def credit_not_counted(house: House, price: float) -> float:
    """What the law would give but is not counted because the tax owed is not known [currency]."""
    if house.money.federal_tax_owed_per_year is not None or house.finish_day is None:
        return 0.0
    rows = (row for row in _law() if row.country == house.place.country and _covers(row, house.finish_day))
    return sum(price * row.percent / 100.0 for row in rows)


def used_by_year(credit: float, tax_owed_per_year: float, carry_forward: bool, years: int) -> tuple[float, ...]:
    """A credit taken off the tax owed: never more than is owed in a year, the rest carried to the next."""
    used, left = [], credit
    for _ in range(years):
        used.append(min(left, tax_owed_per_year))
        left = left - used[-1] if carry_forward else 0.0
    return tuple(used)


def _find_credit(house: House, rows: tuple[LawRow, ...], price: float, years: int) -> IncentiveFinding:
    owed, code = house.money.federal_tax_owed_per_year, house.money.currency
    row = next((r for r in rows if house.finish_day is not None and _covers(r, house.finish_day)), None)
    percent = row.percent if row else 0.0
    by_year: tuple[float, ...] = (0.0,) * years
    if row is None:
        sentence = _unknown_day(house, rows)
    elif percent == 0:
        sentence = _nothing_given(house, rows)
    elif owed is None:
        sentence = (f"Up to {show(price * percent / 100, code)} ({percent:g} % of {show(price, code)}), not counted: it "
                    "depends on the federal income tax owed, which is not given. It is never more than that tax.")
    else:
        by_year = used_by_year(price * percent / 100.0, owed, row.carry_forward, years)
        sentence = _use_in_words(house, price * percent / 100.0, percent, by_year)
    shown = row or rows[-1]
    is_stale = (house.report_day - shown.seen_on).days > STALE_AFTER_DAYS
    claimed = house.money.federal_credit_percent
    sentence += _claim_in_words(claimed, percent, shown.seen_on)
    if is_stale:
        sentence += f" The law was last looked at on {shown.seen_on}, more than {STALE_AFTER_DAYS} days before this report."
    return IncentiveFinding(shown.key, shown.name, float(sum(by_year)), by_year, sentence, shown.source,
                            shown.seen_on.isoformat(), is_stale, claimed is not None and claimed > percent)


def _nothing_given(house: House, rows: tuple[LawRow, ...]) -> str:
    ends = [r.finished_to for r in rows if r.percent > 0 and r.finished_to and r.finished_to < house.finish_day]
    if not ends:
        return f"Nothing: the law as seen gives no such credit for a system finished on {house.finish_day}."
    return (f"Nothing: this credit ended for systems finished after {max(ends)}, and the finishing day here is "
            f"{house.finish_day}. The day of signing or paying does not count.")


def _claim_in_words(claimed: float | None, percent: float, seen_on: date) -> str:
    if claimed is None or claimed == percent:
        return ""
    return (f" The house file says {claimed:g} %; the sums use {percent:g} %, which is all that can be taken from the "
            f"law as seen on {seen_on}.")


def _unknown_day(house: House, rows: tuple[LawRow, ...]) -> str:
    given = "; ".join(f"{r.percent:g} % for systems finished from {r.finished_from} "
                      + (f"to {r.finished_to}" if r.finished_to else "on") for r in rows)
    if house.finish_day is None:
        return f"Nothing is assumed: the day the system is finished is not given. The law as seen: {given}."
    return f"Nothing is assumed: the table of laws does not cover {house.finish_day}. It covers: {given}."


def _use_in_words(house: House, credit: float, percent: float, by_year: tuple[float, ...]) -> str:
    code, owed = house.money.currency, house.money.federal_tax_owed_per_year
    last = max((n for n, used in enumerate(by_year, start=1) if used > 0), default=0)
    text = f"{percent:g} % of the price is {show(credit, code, 0)}, taken off the federal income tax owed"
    if last == 0:
        return text + ". No such tax is owed, so nothing is counted."
    text += f" ({show(owed, code, 0)} a year before withholding): " + (
        "all of it in the first year" if last == 1 else f"the last of it in year {last}, the rest carried until then")
    left = credit - sum(by_year)
    return text + (f"; {show(left, code, 0)} is left unused." if left > 0.5 else ".") + " It depends on your tax: ask a tax adviser."


def _covers(row: LawRow, day: date) -> bool:
    return row.finished_from <= day and (row.finished_to is None or day <= row.finished_to)


@cache
def _law() -> tuple[LawRow, ...]:
    text = (resources.files("reportgen") / "tables" / "incentives.yaml").read_text(encoding="utf-8")
    return tuple(LawRow(**row) for row in yaml.load(text, Loader=getattr(yaml, "CSafeLoader", yaml.SafeLoader)))
