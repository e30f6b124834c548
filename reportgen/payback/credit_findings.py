"""Credits of the law and of the house file: the share of the price, the tax that limits it, and in words why."""

from __future__ import annotations

from collections.abc import Sequence

from reportgen.describe.own_incentives import OwnIncentive
from reportgen.payback.incentive_case import ADVISER, IncentiveCase, answer, day_unknown, finished_in_words
from reportgen.payback.incentive_law import FEDERAL_CREDIT, Law, LawRow
from reportgen.payback.result import IncentiveFinding


def credit_on_price(case: IncentiveCase, law: Law) -> IncentiveFinding:
    """A share of the price after rebates, or of a lease's payments, taken off a tax."""
    row = law.on(case.house.finish_day)
    by_year, sentence, open_credit = _of_row(case, law, row)
    percent = row.percent if row else 0.0
    claimed = case.house.money.federal_credit_percent if law.last.key == FEDERAL_CREDIT else None
    if claimed is not None and claimed != percent:
        sentence += (f" The house file says {claimed:g} %; the sums use {percent:g} %, which is all that can be taken from the "
                     f"law as seen on {(row or law.last).seen_on}.")
    return answer(case, law, row, "credit", by_year, sentence, open_credit, claimed is not None and claimed > percent)


def _of_row(case: IncentiveCase, law: Law, row: LawRow | None) -> tuple[tuple[float, ...], str, float]:
    """(by year, sentence, what a missing fact leaves out)."""
    if row is None:
        return case.nothing, day_unknown(case.house, law.rows), 0.0
    if not row.gives:
        return case.nothing, _ended(case, law), 0.0
    if case.owner == "company":
        return _of_a_lease(case, row)
    credit = case.basis * row.percent / 100.0
    basis = case.money(case.basis) if case.basis == case.price else f"{case.money(case.basis)}, the price after rebates"
    share = f"{row.percent:g} % of the price" + ("" if case.basis == case.price else f" after rebates ({case.money(case.basis)})")
    if row.cap is not None and credit > row.cap:
        credit, share = row.cap, f"{share}, at most {case.money(row.cap)},"
    if not case.taxes.is_known(row.against):
        return case.nothing, _open(case, credit, f"{row.percent:g} % of {basis}", row.tax_name, row.cap), credit
    by_year = case.taxes.take(row.against, (credit,), row.carry_years)
    text = _used(case, credit, share, row.tax_name, by_year, row.carry_years, row.against)
    return by_year, text + finished_in_words(case.house), 0.0


def _of_a_lease(case: IncentiveCase, row: LawRow) -> tuple[tuple[float, ...], str, float]:
    """Share of the payments as they are made, up to the cap; nothing for short contracts."""
    fewest, most = row.contract_years
    paid = [p for p in case.payments[:most] if p > 0]
    if not case.payments:
        return case.nothing, (f"{row.percent:g} % of the contract's payments may be due, not counted: the payments are not "
                              f"given. {ADVISER}"), 0.0
    if sum(1 for p in case.payments if p > 0) < fewest:
        return case.nothing, f"Nothing: only contracts of {fewest} years or more count.", 0.0
    earned, left = [], float("inf") if row.cap is None else row.cap
    for payment in paid:
        earned.append(min(left, payment * row.percent / 100.0))
        left -= earned[-1]
    credit, share = sum(earned), f"{row.percent:g} % of the payments of the first {len(paid)} years"
    if row.cap is not None and left <= 0:
        share += f", at most {case.money(row.cap)},"
    if not case.taxes.is_known(row.against):
        return case.nothing, _open(case, credit, share, row.tax_name, None), credit
    by_year = case.taxes.take(row.against, earned, row.carry_years)
    return by_year, (f"{share} is {case.money(credit, 0)} as the payments are made; {case.money(sum(by_year), 0)} of it finds "
                     f"{row.tax_name} to be taken off. {ADVISER}{finished_in_words(case.house)}"), 0.0


def _ended(case: IncentiveCase, law: Law) -> str:
    day = case.house.finish_day
    ends = [r.finished_to for r in law.rows if r.gives and r.finished_to and r.finished_to < day]
    if not ends:
        return f"Nothing: the law as seen gives no such credit for a system finished on {day}."
    here = f"the system was finished on {day}" if day < case.house.report_day else f"the finishing day here is {day}"
    return (f"Nothing: this credit ended for systems finished after {max(ends)}, and {here}. "
            "The day of signing or paying does not count.")


def _open(case: IncentiveCase, credit: float, of_what: str, tax_name: str, cap: float | None) -> str:
    most = "" if cap is None else f", at most {case.money(cap)}"
    return (f"Up to {case.money(credit)} ({of_what}{most}), not counted: it depends on the {tax_name} owed, which is not "
            "given. It is never more than that tax: ask a tax adviser.")


def _used(case: IncentiveCase, credit: float, share: str, tax_name: str, by_year: Sequence[float], carry_years: float,
          tax: str) -> str:
    money = case.house.money
    owed = money.federal_tax_owed_per_year if tax.startswith("federal") else money.state_tax_owed_per_year
    first = next((n for n, used in enumerate(by_year, start=1) if used > 0), 0)
    last = max((n for n, used in enumerate(by_year, start=1) if used > 0), default=0)
    text = f"{share} is {case.money(credit, 0)}, taken off the {tax_name} owed"
    if last == 0:
        return text + (". No such tax is owed, so nothing is counted." if not owed else
                       ". Other credits take that tax already, so nothing is counted.") + f" {ADVISER}"
    text += f" ({case.money(owed, 0)} a year before withholding): "
    left = credit - sum(by_year)
    if left <= 0.5:
        text += ("all of it in the first year" if last == 1 else f"all of it in year {last}" if first == last else
                 f"the last of it in year {last}, the rest carried until then")
    else:
        lost = "is left unused" if carry_years > len(by_year) else "is lost" if carry_years == 0 else (
            f"is lost, since it is carried {carry_years:g} years only")
        text += f"{case.money(sum(by_year), 0)} by year {last}; {case.money(left, 0)} {lost}"
    return f"{text}. {ADVISER}"


def own_credit(case: IncentiveCase, own: OwnIncentive) -> tuple[tuple[float, ...], str, float]:
    """A credit that the house file brings: (by year, sentence, what a missing fact leaves out)."""
    code = own.against
    if own.amount is not None:
        credit, share = own.amount, "The credit"
    else:
        credit, share = case.basis * own.percent / 100.0, f"{own.percent:g} % of the price" + (
            "" if case.basis == case.price else f" after rebates ({case.money(case.basis)})")
        if own.cap is not None and credit > own.cap:
            credit, share = own.cap, f"{share}, at most {case.money(own.cap)},"
    if not case.taxes.is_known(code):
        return case.nothing, _open(case, credit, share if own.percent is not None else "as written", code, None), credit
    carry = 0 if own.carry_years is None else float("inf") if own.carry_years == 50 else own.carry_years
    by_year = case.taxes.take(code, (0.0,) * (own.paid_in_year - 1) + (credit,), carry)
    return by_year, _used(case, credit, share, code, by_year, carry, code), 0.0
