"""Offers in hand, taken apart: each set on this report's own output, bills and law. Speaks of the paper, never of a firm."""

from __future__ import annotations

from collections.abc import Callable

from reportgen.bills.plans import HousePlans
from reportgen.describe.models import House
from reportgen.describe.offers import Offer
from reportgen.interconnection.result import Way
from reportgen.payback.cases import NO_EXTRA, case_bills, three_cases
from reportgen.payback.offers_cash import OfferCash, offer_cash
from reportgen.payback.offers_checks import (
    check_ageing,
    check_growth,
    check_output,
    check_price,
    check_saving,
    check_size,
)
from reportgen.payback.offers_facts import OfferFacts, Variants, offer_figures, output_of
from reportgen.payback.offers_missing import not_on_paper
from reportgen.payback.offers_result import OfferFound
from reportgen.payback.offers_terms import check_contract, check_credit, check_loan, check_rest
from reportgen.payback.offers_variants import inverter_by_household, lifted_by_company, paid_in_cash, with_room
from reportgen.payback.way_cash import LIFTING, NEW_INVERTER
from reportgen.production.result import Production
from reportgen.sizing import most_modules
from reportgen.what_if import WhatIf

RANGE_IS = "the house's three cases: output and growth of prices{} move together; the paper's price and terms stay"


def take_apart(house: House, production: Production, plans: HousePlans, assumed_paths: frozenset[str] = frozenset(),
               way: Way | None = None, rule: WhatIf | None = None, plans_if: HousePlans | None = None) -> tuple[OfferFound, ...]:
    """Each offer of the house, in the file's order.

    plans: use and sun as counted for the bills. assumed_paths, way: as for `pay_back`, so that an offer like the house's
    own array has its worth. rule, plans_if: the export rule that may come instead, and use and sun counted under it.
    """
    if not house.offers:
        return ()
    extra = way.price if way is not None and way.price is not None else NO_EXTRA
    cases = three_cases(house, production, plans, assumed_paths, extra)
    before = case_bills(house, plans, cases[1])

    def cash(offer, counted=plans, lump_is_paid=False):
        return offer_cash(house, production, counted, cases, offer, before, way is not None and way.price is not None, lump_is_paid)

    most = most_modules(house)

    def facts(offer, key):
        mine, fitted, in_cash, lifted = cash(offer), with_room(offer, most), paid_in_cash(offer), lifted_by_company(offer)
        variants = Variants(
            None if rule is None or plans_if is None else (rule.texts[1], cash(offer, plans_if)),
            None if fitted is None else cash(fitted), None if in_cash is None else cash(in_cash),
            None if lifted is None or LIFTING not in mine.other_costs else cash(lifted),
            cash(offer, lump_is_paid=True) if mine.loan is not None and mine.loan.later_from is not None else None,
            _with_inverter(cash, offer, mine))
        return OfferFacts(house, offer, key, cases, mine, output_of(key, offer, production, mine.ratio, most), variants)
    range_is = RANGE_IS.format(" and what is used at once" if plans.hours_matter else "")
    return tuple(_found(range_is, facts(offer, f"offers.{n}")) for n, offer in enumerate(house.offers, start=1))


def _with_inverter(cash: Callable[[Offer], OfferCash], offer: Offer, mine: OfferCash) -> OfferCash | None:
    """None where it is in the cash as offered already, or none is counted for this house at all."""
    other = inverter_by_household(offer)
    found = None if other is None else cash(other)
    return None if found is None or found.other_costs.get(NEW_INVERTER) == mine.other_costs.get(NEW_INVERTER) else found


def _found(range_is: str, facts: OfferFacts) -> OfferFound:
    offer, key, cash = facts.offer, facts.key, facts.cash
    figures = offer_figures(facts, range_is)
    findings = (*check_size(facts), *check_price(facts, figures), *check_output(facts), *check_ageing(facts), *check_growth(facts),
                *check_saving(facts), *check_credit(facts), *check_loan(facts), *check_contract(facts), *check_rest(facts))
    missing = not_on_paper(offer)
    questions = dict.fromkeys((*(f.question for f in findings if f.question), *(need.ask for need in missing)))
    company = offer.kind in ("lease", "power purchase")
    return OfferFound(key, offer.seller, offer.kind, "the company" if company else "the household", offer.dc_kw, **vars(figures),
                      named_fee_percent=offer.loan.fee_percent if offer.loan is not None else None,
                      lump_sum_month=offer.loan.lump_sum_month if offer.loan is not None else None,
                      findings=findings, missing=tuple(need.missing for need in missing),
                      other_costs=cash.other_costs, under_warranty=cash.under_warranty,
                      company_pays=cash.terms.company_pays, questions=tuple(questions), figures=figures.all(),
                      worth_by_year=tuple(cash.ways[1].discounted(facts.house.money.discount_percent / 100.0).tolist()))
