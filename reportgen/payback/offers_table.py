"""Offers side by side, as texts, so that the page computes nothing. What does not apply says so in words."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from reportgen.bills.plans import HORIZON_YEARS
from reportgen.describe.models import House
from reportgen.describe.offers import Offer
from reportgen.figures import Figure, show, show_number, span, years_span
from reportgen.payback.offers_checks import price_table
from reportgen.payback.offers_result import OfferFound, OfferRow, OfferTable
from reportgen.payback.offers_terms import in_years
from reportgen.payback.way_cash import NEW_INVERTER, OWNING, UPKEEP
from reportgen.payback.way_words import by_the_month

NOT_SAID, NONE, NOTHING_BOUGHT, NO_LOAN = "not on the paper", "none", "nothing is bought", "does not apply"
COVERED = "under the paper's warranty"
OTHERWISE = (("worth_with_room", "The same, with the modules that this report finds room for, at the full payments"),
             ("if_in_cash", "The same, if paid in cash at the paper's price"),
             ("if_paid_in", "The same, if the expected sum is paid in"),
             ("with_inverter", "The same, if the household buys the new inverter"),
             ("if_lifted", "The same, if the company pays for lifting it"))


def side_by_side(found: tuple[OfferFound, ...], house: House, if_rule: str = "", held_in_strings: Figure | None = None) -> OfferTable | None:
    """found: what `take_apart` gave for the house's offers. None without offers.

    if_rule: the export rule that may come instead. held_in_strings: the share of the output that shade holds back in strings.
    """
    if not found:
        return None
    pairs = list(zip(found, house.offers, strict=True))
    is_dollars = any(f.price_per_w is not None and f.price_per_w.unit == "USD/W" for f in found)

    def row(label: str, text: Callable[[OfferFound, Offer], str]) -> OfferRow:
        return OfferRow(label, tuple(text(f, o) for f, o in pairs))
    rows = (
        row("Way to pay", lambda f, o: f.kind),
        row("Who owns the array", lambda f, o: f.owner),
        row("Size", lambda f, o: show(f.size_kw, "kW")),
        row("Equipment", lambda f, o: o.equipment or NOT_SAID),
        row("Price in cash", lambda f, o: _money(f.price) if f.price else _no_price(f)),
        row("Price per watt", lambda f, o: _per_watt(f, o) if f.price_per_w else _no_price(f)),
        row("Amount financed", lambda f, o: _money(f.principal) if f.principal else _no_loan(f)),
        row("Added to the cash price before interest", lambda f, o: _markup(f)),
        row("Interest: as stated, and on the cash price", _interest),
        row("Payment a month at first", lambda f, o: _payment(f.first_payment)),
        row("Payment a month if no expected sum is paid in", lambda f, o: _payment(f.later_payment)),
        row("Payment a month at last", lambda f, o: _payment(f.last_payment)),
        row("Yearly rise of the payment", lambda f, o: _rise(o)),
        row("Paid under the offer in all", _total),
        row("First year's output promised", lambda f, o: show(o.promised_kwh, "kWh") if o.promised_kwh else NOT_SAID),
        row("First year's output by this report", lambda f, o: _output(f, o)),
        row("Growth of the electricity price assumed", lambda f, o: NOT_SAID if o.growth_assumed_percent is None else
            f"{o.growth_assumed_percent:g} % a year"),
        row("Tax credit counted on", lambda f, o: _credit(f, o)),
        row("Who gets the certificates", lambda f, o: f"the {o.certificates_to}" if o.certificates_to else NOT_SAID),
        row("Warranties: work, modules, inverter", lambda f, o: _warranties(o)),
        *(row(f"{name}, over {HORIZON_YEARS} years, as counted here", lambda f, o, name=name: _cost(f, o, name))
          for name in OWNING if any(name in f.other_costs for f in found)),
        row(f"What the bills fall by over {HORIZON_YEARS} years, each year's own money", lambda f, o: f.saved.span_text() or f.saved.text()),
        row(f"Whole cost over {HORIZON_YEARS} years, before any credit: each year's own money, and today's",
            lambda f, o: f"{_money(f.whole_cost)}, and {_money(f.whole_cost_today)}"),
        row(f"Worth in today's money over {HORIZON_YEARS} years, by this report", lambda f, o: _range(f.net_present_value)),
        *(row(label, lambda f, o, key=key: _otherwise(f, key))
          for key, label in OTHERWISE if any(getattr(f, key) is not None for f in found)),
        *([row(f"The same, with {if_rule}", lambda f, o: _range(f.if_rule_changes))] if if_rule else []),
        row("Paid back in, by this report", lambda f, o: _years(f)),
    )
    return OfferTable(tuple(f.label for f in found), rows, _notes(is_dollars, house, held_in_strings))


def _notes(is_dollars: bool, house: House, held_in_strings: Figure | None) -> tuple[str, ...]:
    money, year = house.money, np.arange(1, HORIZON_YEARS + 1)
    hundred = float((100.0 * (1 + money.inflation_percent / 100) ** (year - 1) * (1 + money.discount_percent / 100) ** -year).sum())
    strings = "" if held_in_strings is None else (
        f" Held back by shade in strings, and counted for every offer: {held_in_strings.text()} of the output; an inverter or optimizer under "
        "each module gets part of that back.")
    notes = [("Output, bills, growth of prices and law are this report's, the same for every offer; prices and terms are the papers'. "
             "Upkeep, a new inverter and lifting for a new roof are this report's sums too, in each year's own money. Where a company's paper "
             "is silent, upkeep and a new inverter are taken as the company's, as is usual, and lifting for a new roof as the household's. "
             "Insurance, property tax and taking the array down are counted only as far as the house file says. Each "
             f"{show(100, money.currency)} a year of them, growing with other prices, would take {show(hundred, money.currency)} off the worth "
             "of an array that the household owns."),
             ("An array of another size than the house's own is given the same kWh per kW: the same roof faces, the same kind of "
              f"conversion and the same share of inverter.{strings}"),
             by_the_month(money.discount_percent)]
    if is_dollars:
        usual, own = price_table()["usual"]["by_firm"], price_table()["usual"]["own_work"]
        series = "; ".join(f"{show(row['per_w'], 'USD/W')} {row['what']} ({row['source']}"
                           + (f"; {row['conflict']})" if "conflict" in row else ")") for row in price_table()["series"])
        notes.append(f"Price per watt: by a firm {span(usual['low'], usual['high'], 'USD/W')} is usual, with one's own work under "
                     f"{show(own['below'], 'USD/W')} ({usual['source']}). Published: {series}.")
    return tuple(notes)


def _money(figure: Figure) -> str:
    return show(figure.value, figure.unit, 0)


def _total(found: OfferFound, offer: Offer) -> str:
    if found.total_if_paid_in is None:
        return _money(found.total_paid)
    return f"{_money(found.total_paid)}; {_money(found.total_if_paid_in)} if {_money(found.lump_sum)} is paid in"


def _per_watt(found: OfferFound, offer: Offer) -> str:
    extras = sum(adder.price for adder in offer.adders)
    if not extras:
        return found.price_per_w.text()
    bare = show((found.price.value - extras) / (1000.0 * found.size_kw), found.price_per_w.unit)
    return f"{found.price_per_w.text()}; {bare} without what is added ({', '.join(adder.name for adder in offer.adders)})"


def _output(found: OfferFound, offer: Offer) -> str:
    text, room = found.output.span_text() or found.output.text(), found.output_with_room
    if room is None:
        return text
    return (f"{text} if all {offer.module_count} modules had room; {room.span_text() or room.text()} with those that this report finds "
            "room for")


def _cost(found: OfferFound, offer: Offer, name: str) -> str:
    """In each year's own money; the middle case."""
    amount, years = found.other_costs.get(name, (0.0, ()))
    said = f"{show(amount, found.total_paid.unit, 0)}{in_years(years)}" if amount else ""
    if name == NEW_INVERTER and found.under_warranty:
        return f"{said}; {COVERED}" if said else f"none: {COVERED}"
    if not said and found.owner == "the company":
        return _by_company(name, offer) if OWNING[name] in found.company_pays else NONE
    return said or NONE


def _by_company(name: str, offer: Offer) -> str:
    is_said = "company_pays" in (offer.lease or offer.power_purchase).model_fields_set or name == UPKEEP and offer.upkeep_by == "company"
    return f"none: the company's, {'by the paper' if is_said else 'as is usual; ask'}"


def _no_loan(found: OfferFound) -> str:
    return NONE if found.owner == "the household" else NO_LOAN


def _no_price(found: OfferFound) -> str:
    return NOT_SAID if found.owner == "the household" else NOTHING_BOUGHT


def _markup(found: OfferFound) -> str:
    if found.principal is None:
        return _no_loan(found)
    if found.markup is None:
        return "can't be told: no cash price on the paper"
    price = found.price.value
    return f"{_money(found.markup)}, {show_number(100 * found.markup.value / price, 0)} % of the cash price" if found.markup.value > 0 else NONE


def _interest(found: OfferFound, offer: Offer) -> str:
    if offer.loan is None:
        return _no_loan(found)
    rate = found.true_rate.value if found.true_rate else None
    return f"{offer.loan.rate_percent:g} %" + (f", and {rate:.2f} %" if rate is not None else ", and not known")


def _payment(figure: Figure | None) -> str:
    return NONE if figure is None else show(figure.value, figure.unit.partition("/")[0], 2)


def _rise(offer: Offer) -> str:
    contract = offer.lease or offer.power_purchase
    return NONE if contract is None or not contract.escalator_percent else f"{contract.escalator_percent:g} %"


def _credit(found: OfferFound, offer: Offer) -> str:
    if not offer.credit_assumed_percent and not offer.credit_assumed:
        return NONE
    said = f"{offer.credit_assumed_percent:g} %" if offer.credit_assumed_percent else show(offer.credit_assumed, found.total_paid.unit, 0)
    differs = any(f.topic == "credit" and f.weight != "agrees" for f in found.findings)
    return said + ("; not counted by this report" if differs else "")


def _warranties(offer: Offer) -> str:
    w = offer.warranties
    return ", ".join("not said" if years is None else f"{years:g} years" for years in (w.workmanship_years, w.module_years, w.inverter_years))


def _otherwise(found: OfferFound, key: str) -> str:
    figure = getattr(found, key)
    if figure is not None:
        return _range(figure)
    return NOTHING_BOUGHT if key == "if_in_cash" and found.owner != "the household" else "as above"


def _range(figure: Figure) -> str:
    return f"{figure.span_text()}, middle {figure.text()}"


def _years(found: OfferFound) -> str:
    if found.simple_payback is None:
        return NOTHING_BOUGHT
    return years_span(found.simple_payback.low, found.simple_payback.high, HORIZON_YEARS)
