"""What the checks of one offer look at: the paper, and this report's own numbers for an array of its size."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from reportgen.bills.plans import HORIZON_YEARS
from reportgen.describe.models import House
from reportgen.describe.offers import Offer
from reportgen.figures import Figure, show, show_number
from reportgen.payback.cases import CaseInputs
from reportgen.payback.offers_cash import OfferCash
from reportgen.payback.offers_growth import grown
from reportgen.payback.offers_loan import SOURCE, LoanRead
from reportgen.payback.present_value import paid_back_in
from reportgen.production.result import Production

THE_PAPER = "the paper as the house file gives it"


@dataclass(frozen=True, eq=False)
class Variants:
    """The cash with one thing otherwise; None where that does not apply."""
    if_rule: tuple[str, OfferCash] | None    # the export rule that may come instead, and the cash under it
    with_room: OfferCash | None              # see `offers_variants`, as the next two
    in_cash: OfferCash | None
    lifted: OfferCash | None
    paid_in: OfferCash | None                # the sum that a loan expects early paid in
    with_inverter: OfferCash | None          # the household buys the new inverter that a warranty or a company would pay


@dataclass(frozen=True, eq=False)
class OfferFacts:
    house: House
    offer: Offer
    key: str                     # "offers.1"
    cases: tuple[CaseInputs, ...]
    cash: OfferCash
    outputs: tuple[Figure, Figure | None]   # this report's first year at the offer's size, and with the modules that have room
    variants: Variants

    @property
    def output(self) -> Figure:
        return self.outputs[0]

    @property
    def code(self) -> str:
        return self.house.money.currency

    @property
    def loan(self) -> LoanRead | None:
        return self.cash.loan

    @property
    def if_room(self) -> str:
        """Said behind a number that rests on more modules than the roof holds; "" otherwise."""
        return f" if all its {self.offer.module_count} modules had room" if self.variants.with_room is not None else ""

    @property
    def years_paid(self) -> int:
        return len(self.cash.paid) - 1

    def money(self, amount: float, digits: int | None = 0) -> str:
        return show(amount, self.code, digits)

    def saved_on_the_bill(self, years: int) -> tuple[float, float, float]:
        """This report's saving on the bill over the first `years` years: low, middle, high."""
        sums = [float((c.before - c.after)[:years].sum()) for c in self.cash.columns]
        return min(sums), sums[1], max(sums)


def output_of(key: str, offer: Offer, production: Production, ratio: float, most: int | None) -> tuple[Figure, Figure | None]:
    """(First year at the offer's size, the same with `most` modules where the offer has more than the roof holds)."""
    found = _scaled(f"{key}_output", f"{offer.seller}: first year's output by this report", production, ratio, offer.dc_kw)
    if most is None or offer.module_count is None or offer.module_count <= most:
        return found, None
    share = most / offer.module_count
    return found, _scaled(f"{key}_output_with_room", f"{offer.seller}: first year's output by this report with {most} modules",
                          production, ratio * share, offer.dc_kw * share)


def _scaled(key: str, label: str, production: Production, ratio: float, size_kw: float) -> Figure:
    year = production.year
    if ratio == 1.0:
        formula = f"the house's own array has this size: {show(year.value, 'kWh')}"
    else:
        formula = (f"{show(year.value / (size_kw / ratio), 'kWh/kW')} of the house's own array × {show(size_kw, 'kW')} = "
                   f"{show(year.value * ratio, 'kWh')}; same roof faces, same share of inverter")
    return replace(year, key=key, label=label, value=year.value * ratio,
                   low=_times(year.low, ratio), high=_times(year.high, ratio), formula=formula, sources=(year.label,))


def _times(value: float | None, ratio: float) -> float | None:
    return None if value is None else value * ratio


@dataclass(frozen=True)
class OfferFigures:
    """Every number of an offer that a reader may question; None where it does not apply."""
    price: Figure | None
    price_per_w: Figure | None
    principal: Figure | None
    markup: Figure | None
    true_rate: Figure | None
    first_payment: Figure | None
    later_payment: Figure | None
    last_payment: Figure | None
    lump_sum: Figure | None
    total_if_paid_in: Figure | None
    total_paid: Figure
    saved: Figure
    whole_cost: Figure
    whole_cost_today: Figure
    output: Figure
    output_with_room: Figure | None
    net_present_value: Figure
    worth_with_room: Figure | None
    if_in_cash: Figure | None
    if_lifted: Figure | None
    if_paid_in: Figure | None
    with_inverter: Figure | None
    if_rule_changes: Figure | None
    simple_payback: Figure | None

    def all(self) -> tuple[Figure, ...]:
        return tuple(f for f in vars(self).values() if f is not None)


def offer_figures(facts: OfferFacts, range_is: str) -> OfferFigures:
    price, per_w = _price(facts)
    return OfferFigures(price, per_w, *_loan(facts), *_payments(facts), *_lump_sum(facts), _total(facts), _saved(facts), *_whole_cost(facts), *facts.outputs,
                        *_worth(facts, range_is))


def _figure(facts: OfferFacts, name: str, label: str, value: float | None, unit: str, formula: str, sources=(THE_PAPER,),
            ends=(None, None), range_is: str = "") -> Figure:
    return Figure(f"{facts.key}_{name}", f"{facts.offer.seller}: {label}", value, unit, *ends, formula, tuple(sources), range_is)


def _price(facts: OfferFacts) -> tuple[Figure | None, Figure | None]:
    offer, size = facts.offer, facts.offer.dc_kw
    price = offer.cash_price
    if price is None:
        return None, None
    parts = "".join(f" + {facts.money(adder.price)} ({adder.name})" for adder in offer.adders)
    plain = facts.money(price - sum(adder.price for adder in offer.adders))
    formula = f"{plain}{parts} = {facts.money(price)}" if parts else f"{plain}, as on the paper"
    return (_figure(facts, "price", "price in cash", price, facts.code, formula),
            _figure(facts, "price_per_w", "price per watt", price / (1000.0 * size), f"{facts.code}/W",
                    f"{facts.money(price)} / {show_number(1000 * size, 0)} W = "
                    f"{show(price / (1000 * size), facts.code + '/W')}"))


def _loan(facts: OfferFacts) -> tuple[Figure | None, Figure | None, Figure | None]:
    loan, money = facts.loan, facts.money
    if loan is None:
        return None, None, None
    down = f" beside {money(loan.terms.down_payment)} paid at once" if loan.terms.down_payment else ""
    principal = _figure(facts, "principal", "amount financed", loan.principal, facts.code, f"{money(loan.principal)}{down}, by the paper")
    if loan.markup is None:
        return principal, None, None
    markup = _figure(facts, "markup", "added to the cash price before any interest", loan.markup, facts.code,
                     f"{money(loan.principal + loan.terms.down_payment)} − {money(loan.cash_price)} = "
                     f"{money(loan.markup)}", (THE_PAPER, SOURCE))
    rate = loan.true_rate
    formula = ("no yearly rate makes the payments worth the cash price" if rate is None else
               f"the rate at which {loan.terms.months} payments are worth "
               f"{money(loan.cash_price - loan.terms.down_payment)}: {rate:.2f} % a year; "
               f"the paper says {facts.offer.loan.rate_percent:g} %")
    return principal, markup, _figure(facts, "true_rate", "rate on the cash price", rate, "%", formula,
                                      (THE_PAPER, "actuarial method of 12 CFR 1026, Appendix J"))


def _payments(facts: OfferFacts) -> tuple[Figure | None, Figure | None, Figure | None]:
    offer, loan, unit = facts.offer, facts.loan, f"{facts.code}/month"
    if offer.kind == "cash":
        return None, None, None
    if loan is not None:
        terms = f"{facts.money(loan.principal)} at {offer.loan.rate_percent:g} % a year over {loan.terms.months} months"
        first = _figure(facts, "first_payment", "payment a month", loan.payment, unit, _level_in_words(facts, terms))
        later = None if loan.later_from is None else _figure(
            facts, "later_payment", f"payment a month from month {loan.later_from}, nothing paid in", loan.later, unit,
            f"what is owed after month {loan.later_from - 1}, paid off by month {loan.terms.months}: "
            f"{facts.money(loan.later, 2)}")
        last = loan.payment if loan.later is None else loan.later
        return first, later, _figure(facts, "last_payment", "payment a month in the last year", last, unit,
                                     f"{terms}: {facts.money(last, 2)}; the very last one takes what the cents have left")
    contract, paid, years = offer.lease or offer.power_purchase, facts.cash.paid, facts.years_paid
    last = paid[-1] / 12.0
    if offer.lease is not None:
        start = f"{facts.money(contract.per_month, 2)}"
        formula = f"{start} × (1 + {contract.escalator_percent:g} %)^{years - 1} = {facts.money(last, 2)}"
    else:
        start = f"{show(contract.price_per_kwh, facts.code + '/kWh')} × this report's kWh of the first year / 12"
        at_last = grown(contract.price_per_kwh, contract.escalator_percent, years)
        formula = (f"{show(at_last, facts.code + '/kWh')} in year {years} × this report's kWh of that year / 12, "
                   f"the array's ageing in it = {facts.money(last, 2)}")
    return (_figure(facts, "first_payment", "payment a month in the first year", paid[1] / 12.0, unit, start), None,
            _figure(facts, "last_payment", f"payment a month in year {years}", last, unit, formula))


def _level_in_words(facts: OfferFacts, terms: str) -> str:
    loan, said = facts.loan, facts.offer.loan
    if loan.later_from is None:
        return f"{terms}: {facts.money(loan.payment, 2)}"
    return (f"{terms}, set as if {facts.money(said.expected_lump_sum)} were paid in by month {loan.later_from - 1}: "
            f"{facts.money(loan.payment, 2)}")


def _total(facts: OfferFacts) -> Figure:
    paid, years = facts.cash.paid, facts.years_paid
    if facts.offer.kind == "cash":
        formula = f"{facts.money(paid[0])}, once"
    else:
        at_once = f"{facts.money(paid[0])} at once and " if paid[0] else ""
        formula = f"{at_once}all payments of {years} years = {facts.money(float(paid.sum()))}"
    return _figure(facts, "total_paid", "paid under the offer in all", float(paid.sum()), facts.code, formula)


def _lump_sum(facts: OfferFacts) -> tuple[Figure | None, Figure | None]:
    loan = facts.loan
    if loan is None or loan.later_from is None:
        return None, None
    month, total = loan.later_from - 1, loan.if_paid_in.total
    return (_figure(facts, "lump_sum", f"expected to be paid in by month {month}", loan.terms.expected_lump_sum, facts.code,
                    f"{facts.money(loan.terms.expected_lump_sum)} by month {month}, as on the paper"),
            _figure(facts, "total_if_paid_in", "paid under the offer in all if that sum is paid in", total, facts.code,
                    f"that sum and all monthly payments = {facts.money(total)}"))


def _saved(facts: OfferFacts) -> Figure:
    low, middle, high = facts.saved_on_the_bill(HORIZON_YEARS)
    return _figure(facts, "saved", f"what the bills fall by over {HORIZON_YEARS} years, each year's own money", middle, facts.code,
                   f"all bills without the array − all bills with it = {facts.money(middle)}", ("this report's output and bills",), (low, high),
                   "the house's three cases")


def _whole_cost(facts: OfferFacts) -> tuple[Figure, Figure]:
    d = facts.house.money.discount_percent
    costs = ", ".join(f"{name[0].lower()}{name[1:]} {facts.money(amount)}" for name, (amount, _) in facts.cash.other_costs.items())
    what = f"all that is paid under the offer within {HORIZON_YEARS} years" + (f", and {costs}" if costs else "")
    nominal, today = facts.cash.whole_cost(0.0), facts.cash.whole_cost(d / 100.0)
    sources = (THE_PAPER, "this report's sums for what the paper leaves to the household; the middle case, before any credit")
    return (_figure(facts, "whole_cost", f"whole cost over {HORIZON_YEARS} years, each year's own money", nominal, facts.code,
                    f"{what} = {facts.money(nominal)}", sources),
            _figure(facts, "whole_cost_today", f"whole cost over {HORIZON_YEARS} years in today's money", today, facts.code,
                    f"the same, each part / (1 + {d:g} %)^years = {facts.money(today)}", sources))


def _worth(facts: OfferFacts, range_is: str) -> tuple[Figure | None, ...]:
    """The worth as offered, with one thing otherwise, and the years of payback."""
    d = facts.house.money.discount_percent
    values, horizon = [way.worth(d / 100.0) for way in facts.cash.ways], HORIZON_YEARS
    sources = ("this report's output, bills and law; the paper's price and terms",)
    value = _figure(facts, "net_present_value", f"worth in today's money over {horizon} years", values[1], facts.code,
                    f"sum over years n = 0 to {horizon} of net cash / (1 + {d:g} %)^n = {facts.money(values[1])}"
                    + ("" if facts.offer.kind == "cash" else "; monthly payments marked down by the month"), sources,
                    (min(values), max(values)), range_is)

    def other(name: str, what: str, cash: OfferCash | None, how: str) -> Figure | None:
        if cash is None:
            return None
        worths = [way.worth(d / 100.0) for way in cash.ways]
        return _figure(facts, name, f"worth in today's money {what}", worths[1], facts.code, f"as the worth above, {how}", sources,
                       (min(worths), max(worths)), range_is)
    variants, offer = facts.variants, facts.offer
    rule, under = variants.if_rule or ("", None)
    others = (
        other("worth_with_room", "with the modules that have room", variants.with_room,
              "with no more modules than this report finds room for, and all payments as they stand"),
        other("if_in_cash", "if paid in cash at the paper's price", variants.in_cash, "the paper's cash price paid at once"),
        other("if_lifted", "if the company lifts it for a new roof", variants.lifted, "that lifting paid by the company"),
        other("if_paid_in", "if the expected sum is paid in", variants.paid_in, "that sum paid by its month, and the lower payments after it"),
        other("with_inverter", "if the household buys the new inverter", variants.with_inverter, "the new inverter bought, labour with it"),
        other("if_rule_changes", f"if the rule becomes: {rule}", under, "with this rule for what is sent out from the first year"))
    if offer.kind in ("lease", "power purchase"):
        return value, *others, None
    years = [paid_back_in(np.cumsum(way.net)) for way in facts.cash.ways]
    back = [None if y is None else float(y) for y in (years[2], years[1], years[0])]
    return value, *others, _figure(facts, "simple_payback", "paid back in", back[1], "years",
                          "first year from which the sum of net cash is never negative "
                          "again", sources, (back[0], back[2]), range_is)
