"""The incentives that a house file brings along: rebates, credits, certificates, each by its own days."""

from __future__ import annotations

from collections.abc import Sequence

from reportgen.describe.models import House
from reportgen.describe.own_incentives import OwnIncentive
from reportgen.payback.certificates import SOLD
from reportgen.payback.credit_findings import own_credit
from reportgen.payback.incentive_case import IncentiveCase, finished_in_words
from reportgen.payback.incentive_law import STALE_AFTER_DAYS, two_years_after
from reportgen.payback.other_findings import per_mwh
from reportgen.payback.result import IncentiveFinding

QUARTERS = 4


def own_of(house: House, owner: str) -> tuple[OwnIncentive, ...]:
    """Those that the household can get with this owner of the array."""
    return tuple(own for own in house.incentives if owner == "household" or own.for_leases)


def rebate_total(house: House, owns: Sequence[OwnIncentive], price: float) -> float:
    """What rebates give in all, never more than the price [currency]."""
    return min(price, sum(_rebate(own, price) for own in owns if own.kind == "rebate" and _holds(house, own)))


def _rebate(own: OwnIncentive, price: float) -> float:
    if own.amount is not None:
        return min(own.amount, price)
    share = price * own.percent / 100.0
    return share if own.cap is None else min(share, own.cap)


def find_own(case: IncentiveCase, own: OwnIncentive, number: int) -> IncentiveFinding:
    """number: its place in the house file, from 1."""
    house = case.house
    before_tax, sentence, open_amount = _amounts(case, own)
    by_year = before_tax
    if own.taxed == "taxed" and own.tax_percent is not None:
        by_year = tuple(a * (1.0 - own.tax_percent / 100.0) for a in before_tax)
        sentence += f" Less {own.tax_percent:g} % income tax, {case.money(sum(by_year), 0)} is left."
    elif any(before_tax) and own.kind != "credit" and own.taxed != "not taxed":
        sentence += " Counted before income tax: ask a tax adviser whether any is due."
    if own.is_certificates:
        sentence += f" {SOLD}"
    if own.given_by is not None:
        sentence += f" Given by: {own.given_by}."
    is_stale = (house.report_day - own.read_on).days > STALE_AFTER_DAYS
    if is_stale:
        sentence += f" It was last read on {own.read_on}, more than {STALE_AFTER_DAYS} days before this report."
    kind = "certificates" if own.is_certificates else own.kind
    return IncentiveFinding(f"own_{number}", own.name, float(sum(by_year)), by_year, sentence, f"{own.source}, as the house file says",
                            own.read_on.isoformat(), is_stale, False, kind, own.finished_to, _if_law_changes(case, own, by_year),
                            "the household", open_amount)


def _amounts(case: IncentiveCase, own: OwnIncentive) -> tuple[tuple[float, ...], str, float]:
    """(By year before tax, sentence, what a missing fact leaves out)."""
    house = case.house
    if house.finish_day is None:
        return case.nothing, "Nothing is assumed: the day the system is finished is not given.", 0.0
    if not _holds(house, own):
        return case.nothing, (f"Nothing: it holds for systems finished {_days(own)}, and the finishing day here is "
                              f"{house.finish_day}."), 0.0
    if own.kind == "credit":
        by_year, text, open_amount = own_credit(case, own)
    else:
        by_year, text, open_amount = *_paid(case, own), 0.0
    return by_year, text + finished_in_words(house), open_amount


def _paid(case: IncentiveCase, own: OwnIncentive) -> tuple[tuple[float, ...], str]:
    first, horizon = own.paid_in_year, case.years
    if own.kind == "certificates per MWh":
        if case.output_kwh is None:
            return case.nothing, f"{case.money(own.amount, 2)} for each whole MWh; the output by year is not known here."
        return per_mwh(case, own.amount, own.years, first)
    if own.kind == "certificates quarterly":
        each, count = QUARTERS * own.amount, min(own.years, max(0, horizon - first + 1))
        by_year = _from_year(each, first, count, horizon)
        return by_year, (f"{case.money(own.amount)} a quarter for {own.years} years from year {first}: "
                         f"{case.money(sum(by_year), 0)} within the {horizon} years counted.")
    amount = _rebate(own, case.price) if own.kind == "rebate" else own.amount
    share = "" if own.percent is None else f" ({own.percent:g} % of {case.money(case.price)}" + (
        f", at most {case.money(own.cap)})" if own.cap is not None else ")")
    text = f"{case.money(amount)}{share}, paid in year {first}."
    if own.kind == "rebate":
        text += " A rebate lowers the price that credits are counted from."
    return _from_year(amount, first, 1, horizon), text


def _from_year(each: float, first: int, count: int, years: int) -> tuple[float, ...]:
    return tuple(each if first <= n < first + count else 0.0 for n in range(1, years + 1))


def _holds(house: House, own: OwnIncentive) -> bool:
    day = house.finish_day
    return (day is not None and (own.finished_from is None or own.finished_from <= day)
            and (own.finished_to is None or day <= own.finished_to))


def _days(own: OwnIncentive) -> str:
    parts = [f"from {own.finished_from}" if own.finished_from else "", f"until {own.finished_to}" if own.finished_to else ""]
    return " ".join(p for p in parts if p)


def _if_law_changes(case: IncentiveCase, own: OwnIncentive, by_year: tuple[float, ...]) -> str:
    today, end = case.house.report_day, own.finished_to
    if end is None or not today <= end <= two_years_after(today):
        return ""
    less = f": {case.money(sum(by_year), 0)} less" if sum(by_year) > 0 else ""
    return f"{own.name}: for systems finished by {end}. Finished later, it gives nothing{less}."
