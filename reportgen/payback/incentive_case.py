"""One question about incentives: the house, the price, who owns the array; and what every answer to it has in common."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from reportgen.describe.models import House
from reportgen.figures import show
from reportgen.payback.credits import TaxesOwed
from reportgen.payback.incentive_law import STALE_AFTER_DAYS, Law, LawRow, two_years_after
from reportgen.payback.result import IncentiveFinding

ADVISER = "It depends on your tax: ask a tax adviser."


@dataclass(frozen=True)
class IncentiveCase:
    house: House
    price: float                        # of the system [currency]
    rebates: float                      # taken off it before a credit's share is counted
    years: int
    output_kwh: Sequence[float] | None  # by year, year 1 first
    owner: str                          # household, company
    payments: Sequence[float]           # of a lease or power purchase, by year
    taxes: TaxesOwed

    @property
    def basis(self) -> float:
        return max(0.0, self.price - self.rebates)

    @property
    def nothing(self) -> tuple[float, ...]:
        return (0.0,) * self.years

    def money(self, value: float, digits: int | None = None) -> str:
        return show(value, self.house.money.currency, digits)


def answer(case: IncentiveCase, law: Law, row: LawRow | None, kind: str, by_year: tuple[float, ...], sentence: str,
           not_counted: float = 0.0, is_warning: bool = False) -> IncentiveFinding:
    """The finding for one law: what was found, and what holds for every row alike."""
    shown = row or law.last
    is_stale = (case.house.report_day - shown.seen_on).days > STALE_AFTER_DAYS
    if is_stale:
        sentence += f" The law was last looked at on {shown.seen_on}, more than {STALE_AFTER_DAYS} days before this report."
    worth = max(float(sum(by_year)), not_counted)
    return IncentiveFinding(shown.key, shown.name, float(sum(by_year)), by_year, sentence, shown.source,
                            shown.seen_on.isoformat(), is_stale, is_warning, kind, until(law, row),
                            if_law_changes(case, law, row, worth), shown.who, not_counted)


def until(law: Law, row: LawRow | None) -> date | None:
    """The last finishing day of the row that holds, or of the last one that gave anything; None: no end is known."""
    if row is not None and row.gives:
        return row.finished_to
    given = [r for r in law.rows if r.gives]
    return None if not given or given[-1].finished_to is None else given[-1].finished_to


def if_law_changes(case: IncentiveCase, law: Law, row: LawRow | None, worth: float) -> str:
    """One line where an end lies within two years of the report's day, or where a bill waits; else nothing."""
    today = case.house.report_day
    ending = next((r for r in ((row,) if row is not None and row.gives else law.rows)
                   if r.gives and r.finished_to is not None and today <= r.finished_to <= two_years_after(today)), None)
    if ending is not None:
        after = next((r for r in law.rows if r.finished_from > ending.finished_to), None)
        then = "what it gives is unsettled" if after is not None and after.gives else "it gives nothing"
        less = f": {case.money(worth, 0)} less" if worth > 0 and row is ending and then == "it gives nothing" else ""
        return f"{ending.name}: for systems finished by {ending.finished_to}. Finished later, {then}{less}."
    return " ".join(r.caution for r in law.pending) if row is None or not row.gives else ""


def given_in_words(rows: Sequence[LawRow]) -> str:
    return "; ".join(_share(r) + f" for systems finished from {r.finished_from} "
                     + (f"to {r.finished_to}" if r.finished_to else "on") for r in rows)


def _share(row: LawRow) -> str:
    if row.percent is not None:
        return f"{row.percent:g} %"
    if not row.settled or row.amount_per_mwh is None:
        return "something"
    return f"{row.amount_per_mwh:g} per MWh for {row.years} years"


def day_unknown(house: House, rows: Sequence[LawRow]) -> str:
    given = given_in_words(rows)
    if house.finish_day is None:
        return f"Nothing is assumed: the day the system is finished is not given. The law as seen: {given}."
    return f"Nothing is assumed: the table of laws does not cover {house.finish_day}. It covers: {given}."


def finished_in_words(house: House) -> str:
    """' The system was finished on ..., before this report.'; '' where the day lies soon."""
    if house.finish_day < house.report_day:
        return f" The system was finished on {house.finish_day}, before this report."
    if house.finish_day > two_years_after(house.report_day):
        return f" {house.finish_day} lies more than two years after this report: the law may be another by then."
    return ""
