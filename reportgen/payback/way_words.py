"""Instalments, cautions and notes of one way to pay, in plain words."""

from __future__ import annotations

import numpy as np

from reportgen.bills.plans import HORIZON_YEARS
from reportgen.describe.models import House
from reportgen.figures import Figure, show
from reportgen.payback.holding import not_counted
from reportgen.payback.home_equity import POINTS_SHOWN
from reportgen.payback.present_value import more_by_the_month
from reportgen.payback.terms import HORIZON_MONTHS
from reportgen.payback.way_figures import Found, why_no_rate
from reportgen.payback.ways_result import Instalment

ASK_TAX = "ask a tax adviser"


def instalments(payments: np.ndarray, add: str = "") -> tuple[Instalment, ...]:
    """Runs of equal payments: 'months 1 to 18'."""
    if not len(payments):
        return ()
    cuts = np.concatenate([[0], np.nonzero(np.abs(np.diff(payments)) > 1e-6)[0] + 1, [len(payments)]])
    made = []
    for start, end in zip(cuts[:-1].tolist(), cuts[1:].tolist(), strict=True):
        label = f"month {end}" if end - start == 1 else f"months {start + 1} to {end}"
        made.append(Instalment(label + add, float(payments[start]), end - start))
    return tuple(made)


def otherwise(found: Found) -> tuple[Instalment, ...]:
    return tuple(one for said, schedule in found.terms[1].otherwise for one in instalments(schedule.payments, f", {said}"))


def cautions(house: House, found: Found, first: Figure, last: Figure, dearer: Figure | None) -> tuple[str, ...]:
    if not found.is_own:
        return _company_cautions(house, found, first, last, dearer)
    if found.kind == "loan":
        return _loan_cautions(house, found)
    if found.kind == "home equity":
        return _line_cautions(house, found)
    if found.kind == "own work":
        return ("Falling from the roof and working on live parts kill. What needs a licence where you live is for those who hold it.",
                "Ask each maker whether its warranty holds for an array put up by its owner.")
    return ()


def _loan_cautions(house: House, found: Found) -> tuple[str, ...]:
    loan, terms, code = found.contract, found.terms[1], house.money.currency
    said = []
    if terms.hidden_fee and terms.hidden_fee > 0.5:
        rate = f"; on the cash price the interest is {terms.true_rate:.2f} %, not {loan.rate_percent:g} %" if terms.true_rate else ""
        said.append(f"{show(terms.hidden_fee, code, 0)} is added to the cash price and sits in the loan{rate}.")
    elif terms.hidden_fee and terms.hidden_fee < -0.5:
        said.append(f"The paper finances {show(-terms.hidden_fee, code, 0)} less than the cash price. Ask what pays the rest.")
    if loan.fee_percent and loan.fee_is_share_of is None:
        milder = dict(terms.otherwise)[f"if the fee of {loan.fee_percent:g} % counts from the cash price"].payments[0]
        said.append(f"Ask what the fee of {loan.fee_percent:g} % counts from: the whole loan ({show(float(terms.payments[0]), code, 2)} "
                    f"a month, as counted here) or the cash price ({show(float(milder), code, 2)} a month).")
    if loan.expected_lump_sum:
        month = loan.lump_sum_month
        said.append(f"Payment from month {month + 1}: {show(float(terms.payments[month]), code, 2)} instead of "
                    f"{show(float(terms.payments[0]), code, 2)}, unless you pay {show(loan.expected_lump_sum, code, 0)} by month "
                    f"{month}. The sums here take it that this money never comes.")
    if loan.months > HORIZON_MONTHS:
        owed = show(terms.owed_after(HORIZON_MONTHS), code, 0)
        said.append(f"The loan runs {loan.months} months, longer than the {HORIZON_YEARS} years of the array counted here; {owed} is "
                    "still owed then, and is counted as paid in the last year.")
    said.append("Ask whether the lender files a claim on the array or the house, and what is due when the house is sold.")
    return tuple(said)


def _line_cautions(house: House, found: Found) -> tuple[str, ...]:
    line, terms, code = found.contract, found.terms[1], house.money.currency
    higher = terms.otherwise[0][1].payments
    first, after = terms.payments[0], terms.payments[min(line.draw_months, len(terms.payments) - 1)]
    said = ["The house is the security: who cannot pay may lose it.",
            (f"The interest varies. {POINTS_SHOWN:g} points more would make the payments {show(float(higher[0]), code, 2)} and later "
             f"{show(float(higher[min(line.draw_months, len(higher) - 1)]), code, 2)} a month, instead of "
             f"{show(float(first), code, 2)} and {show(float(after), code, 2)}."),
            f"Whether the interest lowers your tax: {ASK_TAX}. Nothing is counted for it."]
    if len(terms.payments) > HORIZON_MONTHS:
        said.append(f"The line runs {len(terms.payments)} months; {show(terms.owed_after(HORIZON_MONTHS), code, 0)} is still owed after "
                    f"the {HORIZON_YEARS} years counted, and is counted as paid in the last year.")
    return tuple(said)


def _company_cautions(house: House, found: Found, first: Figure, last: Figure, dearer: Figure | None) -> tuple[str, ...]:
    contract, terms, code = found.contract, found.terms[1], house.money.currency
    said = ["You will not own the array." if terms.bought_for is None else
            f"You own the array only after buying it at the end of year {contract.years}."]
    if contract.escalator_percent:
        ends = f"{show(first.value, code + '/year')} in the first year, {show(last.value, code + '/year')} in the last"
        said.append(f"Payments change by {contract.escalator_percent:g} % a year: {ends}." if found.kind == "lease" else
                    f"The price of a kWh changes by {contract.escalator_percent:g} % a year. Payments follow the output too, which falls with "
                    f"age and in a year of work on the roof: {ends}.")
    if dearer is not None and dearer.value is not None:
        growth = house.money.price_growth_percent
        said.append(f"From year {dearer.value:.0f} the payments are more than the bill falls by, with electricity growing "
                    f"{growth:g} % a year.")
    said.append(f"The contract binds for {contract.years} years. Who buys the house must take it over, usually after a check of credit, "
                "or you pay it off or buy the array; some buyers will not. Ask whether a claim is filed with the title.")
    said.append(f"On a sale the paper says: {contract.transfer}." if contract.transfer else "The paper says nothing of a sale of the house.")
    if contract.years > HORIZON_YEARS:
        said.append(f"The contract runs {contract.years} years. Payments after the {HORIZON_YEARS} years counted, "
                    f"{show(terms.still_to_pay(HORIZON_MONTHS), code, 0)} in all, are in what is paid in all, not in the cash by year.")
    minimum = getattr(contract, "minimum_kwh_per_year", 0.0)
    if minimum:
        said.append(f"At least {show(minimum, 'kWh')} a year must be paid for, whatever the array makes.")
    return tuple(said)


def notes(house: House, found: Found, handed_back_worth: float | None, bought_worth: float | None) -> tuple[str, ...]:
    """The worths: of a company's array that goes at the end and of one that is bought then, where both are possible."""
    contract, terms, code = found.contract, found.terms[1], house.money.currency
    said = []
    if found.kind == "own work":
        hours = f"{contract.hours:g} hours of own work are not priced. " if contract.hours is not None else (
            "Hours of own work are neither written nor priced. ")
        rest = f"Somebody else still does: {contract.leaves_out}. " if contract.leaves_out else ""
        said.append((hours + rest + "Compare only with work that holds the same.").strip())
    if found.kind == "loan":
        said.append("A credit or rebate comes to you, not to the lender: the amount financed stays what it is.")
    if found.terms[1].payments.any():
        said.append(by_the_month(house.money.discount_percent))
    if found.kind in ("loan", "home equity"):
        said.append("Paid back means that saved money has covered the payments so far; the debt may still run.")
    if found.kind not in ("cash", "own work", "bulk") and not why_no_rate(found.cash[1].net):
        said.append("The rate of return is on the little that is paid in before money is saved; it can't be held against the rate of a "
                    "purchase in cash.")
    if found.is_own:
        if found.kind != "cash" or house.paying.sale_year is not None:
            said += _sale_note(house)
        return (*said, *not_counted(house))
    by_company = [item for item in type(contract).model_fields["company_pays"].default if item in terms.company_pays]
    by_company += sorted(terms.company_pays - set(by_company))
    whose = ("the contract's usual share, not its words: ask" if "company_pays" not in contract.model_fields_set else
             "as the house file says")
    said.append(f"Counted to the company: {', '.join(by_company) or 'nothing'} ({whose}).")
    said.append(f"Tax credits and certificates go to the company as owner. Selling the certificates means that the house may not be said "
                f"to run on solar power. Whether anything is yours: {ASK_TAX}.")
    if "Tax credit and other incentives" in found.cash[1].lines:
        said.append("What a law gives to the household under such a contract is a line of the cash; it depends on your tax.")
    if terms.contract_years < HORIZON_YEARS:
        if handed_back_worth is None:
            said.append(f"After year {terms.contract_years} the array is taken as gone: no payment and no saving. The paper names no price "
                        "to buy it.")
        else:
            chosen, other = ("bought", "given back") if terms.bought_for is not None else ("given back", "bought")
            worths = {"bought": bought_worth, "given back": handed_back_worth}
            said.append(f"After year {terms.contract_years} the array is counted as {chosen}, worth {show(worths[chosen], code, 0)} in "
                        f"all; {other} it would be {show(worths[other], code, 0)}.")
    said += _sale_note(house)
    if terms.bought_for is not None:
        said += not_counted(house)
    return tuple(said)


def by_the_month(discount_percent: float) -> str:
    """Payments and savings are marked down from different days; how much that is."""
    more = 100.0 * more_by_the_month(discount_percent / 100.0)
    return ("In today's money a payment is marked down from its month, but what the bill falls by from its year's end. By the month it "
            f"would be worth {more:.1f} % more, under every way to pay.")


def _sale_note(house: House) -> list[str]:
    if house.paying.sale_year is None:
        return ["No year of a sale is written; what would be owed then is not worked out."]
    if house.paying.home_value_gain:
        return []
    return [("Nothing is added for the house's price: what a buyer pays more for an array differs too much from place to place, "
             "and nobody wrote a figure.")]
