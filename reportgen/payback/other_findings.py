"""Certificates, tax exemptions and a company's own credit, each as a finding with its sentence."""

from __future__ import annotations

from reportgen.payback.certificates import SOLD, TAX, by_the_fraction, whole_certificates
from reportgen.payback.incentive_case import IncentiveCase, answer, day_unknown, finished_in_words
from reportgen.payback.incentive_law import Law, LawRow
from reportgen.payback.property_tax import without_exemption
from reportgen.payback.result import IncentiveFinding


def certificates(case: IncentiveCase, law: Law) -> IncentiveFinding:
    """Money for each whole MWh where the house file says that certificates are sold; else what would settle it."""
    row = law.on(case.house.finish_day)
    money = case.house.money
    if row is None:
        return answer(case, law, row, "certificates", case.nothing, day_unknown(case.house, law.rows))
    if case.owner == "company":
        return answer(case, law, row, "certificates", case.nothing,
                      f"The company that owns the array gets them, unless the contract says otherwise. {SOLD}")
    if any(own.is_certificates for own in case.house.incentives):
        return answer(case, law, row, "certificates", case.nothing, "Counted as the house file writes it, not from the table.")
    if money.certificates_kept:
        return answer(case, law, row, "certificates", case.nothing,
                      "You keep the certificates: nothing is paid for them, and you may call your own power solar.")
    by_year, text = _sold(case, row)
    if money.certificates_kept is None:
        worth = float(sum(by_year))
        most = f"Up to {case.money(worth, 0)}, not counted" if worth else "Not counted"
        text = f"{most}: whether you sell the certificates is not said. {text} {SOLD}"
        return answer(case, law, row, "certificates", case.nothing, text, worth)
    return answer(case, law, row, "certificates", by_year, f"{text} {TAX} {SOLD}{finished_in_words(case.house)}")


def _sold(case: IncentiveCase, row: LawRow) -> tuple[tuple[float, ...], str]:
    """What selling brings by year, and how; nothing where rate or output is not known."""
    own_rate = case.house.money.certificate_price_per_mwh
    if row.amount_per_mwh is None:
        return case.nothing, f"{row.caution} Write it in the house file under incentives; until then nothing is counted."
    rate = own_rate if own_rate is not None else row.amount_per_mwh if row.settled else None
    if rate is None:
        return case.nothing, f"{row.caution} Write it as money.certificate_price_per_mwh; until then nothing is counted."
    if case.output_kwh is None:
        return case.nothing, f"{case.money(rate, 2)} for each whole MWh of {row.years} years; the output by year is not known here."
    by_year, text = per_mwh(case, rate, row.years, 1)
    from_whom = "by the house file" if own_rate is not None else "by the table"
    caution = f" {row.caution}" if row.caution and own_rate is None else ""
    return by_year, f"{text.replace(' for each', f' ({from_whom}) for each', 1)}{caution}"


def per_mwh(case: IncentiveCase, rate: float, years: int, first_year: int) -> tuple[tuple[float, ...], str]:
    """Whole certificates of `years` years from `first_year` on, at `rate` each, within the years counted."""
    kwh = case.output_kwh[first_year - 1:case.years]
    made = whole_certificates(kwh, years)
    paid = tuple(rate * n for n in made)
    by_year = ((0.0,) * (first_year - 1) + paid + (0.0,) * case.years)[:case.years]
    counted = "" if len(made) == years else f", {len(made)} of them within the years counted"
    return by_year, (
        f"{case.money(rate, 2)} for each whole MWh of {years} years{counted}: {sum(made)} certificates, {case.money(sum(paid), 0)} "
        f"in all, {case.money(sum(paid[:1]), 0)} in the first year. By the fraction it would be "
        f"{case.money(by_the_fraction(kwh, years, rate), 0)}; what is left of a MWh counts in the next year.")


def leased_credit(case: IncentiveCase, law: Law) -> IncentiveFinding:
    """A credit of the company's: said, never booked by the household."""
    row = law.on(case.house.finish_day)
    ends = [r for r in law.rows if r.gives]
    late = next((r.caution for r in law.rows if not r.gives), "")
    if row is None:
        text = f"Not known: the day of switching on is not given. It must be switched on by {ends[-1].finished_to}. {late}"
    elif row.gives:
        text = f"The company may claim it: switched on by {row.finished_to}. {row.caution}"
    else:
        text = f"Nothing for arrays switched on after {ends[-1].finished_to}. {late}"
    return answer(case, law, row, "credit", case.nothing,
                  f"{text} The household never books it; it can only show as a lower price: ask for the price with and without.")


def tax_exemption(case: IncentiveCase, law: Law) -> IncentiveFinding | None:
    """What an exemption spares, or what is due without one; None where the house file says nothing of that tax."""
    money, row = case.house.money, law.last
    if row.key == "sales_tax_exemption":
        if money.sales_tax_percent is None and money.sales_tax_exempt is None:
            return None
        return answer(case, law, row, "tax exemption", case.nothing, _sales_tax(case))
    if money.property_tax_exempt is None and (money.property_tax_percent is None or money.property_tax_added_value is None):
        return None
    return answer(case, law, row, "tax exemption", case.nothing, _property_tax(case))


def _sales_tax(case: IncentiveCase) -> str:
    money, rate = case.house.money, case.house.money.sales_tax_percent
    if money.sales_tax_exempt:
        worth = "" if rate is None else f", worth {case.money(case.price * rate / 100.0)} ({rate:g} % of {case.money(case.price)})"
        return f"Exempt, as the house file says{worth}. An offer made without that tax holds this already, so nothing is added."
    if rate is None:
        return "Not exempt, as the house file says; the price is taken with all taxes in it."
    inside = case.price - case.price / (1.0 + rate / 100.0)
    return (f"No exemption is said: the price is taken with all taxes in it, {case.money(inside)} of it sales tax at {rate:g} %.")


def _property_tax(case: IncentiveCase) -> str:
    money = case.house.money
    a_year = without_exemption(case.house)
    known = a_year is not None
    how = f"{case.money(a_year)} a year ({money.property_tax_percent:g} % of {case.money(money.property_tax_added_value)})" if known else ""
    if money.property_tax_exempt:
        worth = f": it spares {how}, {case.money(a_year * case.years)} in {case.years} years" if known else ""
        return f"Exempt, as the house file says{worth}. A cost that does not arise, so nothing is added."
    if not known:
        return "Not exempt, as the house file says; what is due is not known: ask the assessor."
    counted = ("counted as a cost of every year" if case.house.paying.property_tax_per_year is None else
               "but the cost counted is what the house file writes as paying.property_tax_per_year")
    return f"No exemption is said: about {how} would be due, {counted}."
