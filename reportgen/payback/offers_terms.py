"""What an offer's paper says about credits, the loan, the payments and the contract, beside what this report finds."""

from __future__ import annotations

from collections.abc import Iterator

from reportgen.bills.plans import HORIZON_YEARS
from reportgen.figures import show, show_number, span
from reportgen.payback.incentive_law import FEDERAL_CREDIT
from reportgen.payback.incentives import find_incentives
from reportgen.payback.lease import dearer_from_year
from reportgen.payback.loan import with_fee
from reportgen.payback.offers_facts import OfferFacts
from reportgen.payback.offers_result import Finding
from reportgen.payback.result import IncentiveFinding

LEASED_CREDIT = "federal_leased_credit"   # its row in tables/incentives.yaml
COMPANYS = ("lease", "power purchase")
SAME_MONEY = 1.0
LONGER_WARRANTY = "What does a longer warranty on the inverter cost, labour with it?"
SHORT_INVERTER_YEARS = 10     # makers' usual warranty; common practice, no source


def claimed_credit(facts: OfferFacts) -> float | None:
    """The credit that the paper counts on [currency]; None where it counts on none."""
    offer = facts.offer
    if offer.credit_assumed is not None:
        return offer.credit_assumed or None
    if not offer.credit_assumed_percent:
        return None
    base = offer.cash_price if offer.cash_price is not None else facts.loan.principal if facts.loan else None
    return None if base is None else base * offer.credit_assumed_percent / 100.0


def check_credit(facts: OfferFacts) -> Iterator[Finding]:
    """By the law of the finishing day; a leased array earns its household no federal credit."""
    offer, claimed = facts.offer, claimed_credit(facts)
    said = f"{offer.credit_assumed_percent:g} %" if offer.credit_assumed_percent else None
    if claimed is None and said is None:
        law = _companys_credit(facts) if offer.kind in COMPANYS else None
        if law is not None:
            yield Finding("credit", f"The company, as owner, may count on a credit of its own; it is no part of the household's sums. By "
                          f"the law as seen on {law.seen_on}: {law.sentence}", "ask", "Does my payment change, or the contract end, if "
                          "the company's own tax credit does not come?")
        return
    amount = f"{said} ({facts.money(claimed)})" if said and claimed else said or facts.money(claimed)
    head = f"The paper counts on a tax credit of {amount}. "
    if offer.kind in COMPANYS:
        companys = _companys_credit(facts)
        law = f" By the law as seen on {companys.seen_on}: {companys.sentence}" if companys else ""
        yield Finding("credit", f"{head}Where a company owns the array, the household books no federal credit; one "
                      "can only show "
                      f"as a lower price.{law}", "differs", "By how much does the credit that you expect lower my "
                      "payments, and "
                      "who bears it if it is refused?")
        return
    law = _federal_credit(facts)
    if law is None:
        yield Finding("credit", head + "This report knows no such credit for this house's country.", "differs",
                      "By which law is the credit due, and where can I read it?")
        return
    counted = law.amount
    sentence = head + f"By the law as seen on {law.seen_on}: {law.sentence}"
    if counted >= claimed - SAME_MONEY:
        yield Finding("credit", sentence, "agrees")
    else:
        is_open = facts.house.finish_day is None or law.not_counted > 0
        yield Finding("credit", sentence, "ask" if is_open else "differs",
                      "By which law and which finishing day is the credit due, and what is the price without it?")


def _companys_credit(facts: OfferFacts) -> IncentiveFinding | None:
    return next((f for f in find_incentives(facts.cash.house, 0.0, HORIZON_YEARS, owner="company") if f.key == LEASED_CREDIT), None)


def _federal_credit(facts: OfferFacts) -> IncentiveFinding | None:
    """What the law of the finishing day gives for the price in cash, or without one for all that the loan pays."""
    price = facts.cash.terms.owned_price
    return next((f for f in find_incentives(facts.cash.house, price, HORIZON_YEARS) if f.key == FEDERAL_CREDIT), None)


def check_loan(facts: OfferFacts) -> Iterator[Finding]:
    loan, money = facts.loan, facts.money
    if loan is None:
        return
    yield from _markup(facts)
    claimed = claimed_credit(facts)
    if loan.later_from is not None and claimed is not None and loan.terms.expected_lump_sum > claimed + SAME_MONEY:
        yield Finding("payment", f"The {money(loan.terms.expected_lump_sum)} that are to be paid in are more than the credit of "
                      f"{money(claimed)} that the paper counts on, and {show_number(100 * loan.terms.expected_lump_sum / loan.principal, 0)} % "
                      "of all that is borrowed.", "differs", "Why is more to be paid in than the credit that you count on?")
    if loan.later_from is not None:
        yield Finding("payment", f"The payment from month {loan.later_from} is {money(loan.later, 2)} instead of "
                      f"{money(loan.payment, 2)}, unless "
                      f"{money(loan.terms.expected_lump_sum)} is paid in by month {loan.later_from - 1}. "
                      f"{_who_pays_in(facts)}", "differs",
                      f"What is the payment from month {loan.later_from} if nothing is paid in? May I have it in "
                      "writing?")
    if loan.terms.months > 12 * HORIZON_YEARS:
        yield Finding("payment", f"The loan runs {loan.terms.months / 12:g} years, longer than the {HORIZON_YEARS} "
                      "years that this report counts for the "
                      f"array. After them {money(loan.agreed.owed_after(12 * HORIZON_YEARS))} would still be "
                      "owed.", "differs",
                      "Is there a loan that ends before the array's life does?")


def _markup(facts: OfferFacts) -> Iterator[Finding]:
    loan, said, money = facts.loan, facts.offer.loan, facts.money
    if loan.markup is None:
        yield Finding("added", "The paper names no cash price, so what the loan adds to it can't be told.", "ask",
                      "What is the price if I pay in cash on the day, for the same array?")
    elif loan.markup <= SAME_MONEY:
        yield Finding("added", "What is financed is the cash price; the loan adds nothing to it before "
                      "interest.", "agrees")
    else:
        share = 100.0 * loan.markup / loan.cash_price
        of_loan = 100.0 * loan.markup / (loan.principal + loan.terms.down_payment)
        rate = "" if loan.true_rate is None else (
            f" On the cash price the payments make {loan.true_rate:.2f} % a year; the paper says "
            f"{said.rate_percent:g} %.")
        yield Finding("added", f"The loan is for {money(loan.markup)} more than the cash price, before any interest: "
                      f"{show_number(share, 0)} % of "
                      f"the cash price, or {show_number(of_loan, 0)} % of what is financed.{rate}", "differs",
                      f"What are the {money(loan.markup)} above the cash price for, and what is the rate without them?")
    if said.fee_percent and said.fee_is_share_of is None and said.principal is None and facts.offer.price_financed is None:
        financed = loan.cash_price - loan.terms.down_payment
        small, large = with_fee(financed, said.fee_percent, "cash price"), with_fee(financed, said.fee_percent, "loan")
        yield Finding("added", f"A fee of {said.fee_percent:g} % makes {money(small)} if it counts from the cash "
                      f"price and {money(large)} if it counts "
                      "from the loan. This report takes the dearer.", "ask", "From which sum does the fee of "
                      f"{said.fee_percent:g} % count?")


def _who_pays_in(facts: OfferFacts) -> str:
    """Whether the law of the finishing day gives what the lender expects."""
    law = _federal_credit(facts)
    if law is None or law.amount <= 0:
        return "This report counts no tax credit that could pay it."
    return f"The tax credit that this report counts comes to {facts.money(law.amount)}, over the years in which the tax is owed."


def check_contract(facts: OfferFacts) -> Iterator[Finding]:
    """A lease or a power purchase: the first price beside the last, all payments, and what the bill falls by meanwhile."""
    offer, money, paid = facts.offer, facts.money, facts.cash.paid
    contract, years = offer.lease or offer.power_purchase, facts.years_paid
    if contract is None:
        return
    yield Finding("ownership", f"The household will not own the array; the company does, for {years} years.", "ask",
                  "What does it cost to end the contract early?")
    rises = f", rising by {contract.escalator_percent:g} % a year," if contract.escalator_percent else ""
    if offer.lease is not None:
        first, last = money(contract.per_month, 2) + " a month", money(paid[-1] / 12, 2)
    else:
        unit, at_last = f"{facts.code}/kWh", contract.price_per_kwh * (1 + contract.escalator_percent / 100) ** (years - 1)
        first, last = show(contract.price_per_kwh, unit), show(at_last, unit)
    yield Finding("payment", f"The paper's {first} in the first year{rises} is {last} in year {years}. All payments "
                  f"of {years} years come to "
                  f"{money(float(paid.sum()))}.", "differs" if contract.escalator_percent > 0 else "agrees",
                  "Is there the same contract without a yearly rise?" if contract.escalator_percent > 0 else "")
    if "company_pays" not in contract.model_fields_set:
        yield Finding("upkeep", "Who pays for a new inverter, and for lifting the array for a new roof, the paper does not say. The first is "
                      "taken as the company's, the second as the household's.", "ask", "Who pays for a new inverter, and who for lifting and refitting the array when the roof is renewed?")
    within = min(years, HORIZON_YEARS)
    middle = facts.cash.columns[1]
    saved = (middle.before - middle.after)[:within]
    dearer = dearer_from_year(paid[1:within + 1], saved)
    over = float(saved.sum() - paid[:within + 1].sum())
    when = ("In no year are the payments more than the bill falls by." if dearer is None else
            "The payments are more than the bill falls by from the first year on." if dearer == 1 else
            f"In the middle, from year {dearer} on, the payments are more than the bill falls by.")
    low, _, high = facts.saved_on_the_bill(within)
    rest = sum(amount for amount, _ in facts.cash.other_costs.values())
    yield Finding("payment", f"By this report the bill falls by {span(low, high, facts.code)} in {within} years, against payments of "
                  f"{money(float(paid[:within + 1].sum()))}, in each year's own money. {when}", "agrees" if over >= rest else "differs")


def in_years(years: tuple[int, ...]) -> str:
    """" in year 15"; nothing where a cost comes in more than two years."""
    return "" if len(years) > 2 or years == (0,) else f" in year{'s' if len(years) > 1 else ''} {' and '.join(map(str, years))}"


def check_rest(facts: OfferFacts) -> Iterator[Finding]:
    """Certificates, and warranties against the contract's length."""
    offer = facts.offer
    if offer.certificates_to is not None and offer.certificates_to != "household":
        time = f" for {offer.certificates_years} years" if offer.certificates_years else ""
        yield Finding("certificates", f"The certificates go to the {offer.certificates_to}{time}. The household may "
                      "then no longer call its power solar, "
                      "and this report counts no money from certificates for it.", "ask", "What do I get for the "
                      "certificates, and may I keep them?")
    owned, inverter = offer.kind in ("cash", "loan"), offer.warranties.inverter_years
    if facts.cash.under_warranty:
        yield Finding("warranty", f"The paper's warranty on the inverter runs {inverter:g} years, so the new one{in_years(facts.cash.under_warranty)} "
                      "that this report would count costs nothing here.", "ask", "Does the warranty on the inverter pay for "
                      "labour and travel too, and who stands behind it if the seller is gone?")
    if owned and inverter is not None and offer.loan is not None and inverter * 12 < offer.loan.months:
        yield Finding("warranty", f"The inverter's warranty ends after {inverter:g} years, the loan after "
                      f"{offer.loan.months / 12:g}. "
                      "A new inverter may have to be bought while the loan still runs.", "differs", LONGER_WARRANTY)
    elif owned and inverter is not None and inverter < SHORT_INVERTER_YEARS:
        yield Finding("warranty", f"The inverter's warranty ends after {inverter:g} years; {SHORT_INVERTER_YEARS} and "
                      "more are usual "
                      "(common practice, no source).", "differs", LONGER_WARRANTY)
