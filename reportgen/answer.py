"""The first page's answer: yes, not as it stands, or not now, by stated thresholds on Figures.

Rules are tried from the top; the first that holds decides. The same table stands in DEVELOPERS.md, one test a row.
"""

from __future__ import annotations

from dataclasses import replace

from reportgen.assessment import NOT_AS_IT_STANDS, NOT_NOW, YES, Answer, Effect
from reportgen.describe.models import House
from reportgen.figures import Figure, show, span, years_span
from reportgen.interconnection.result import CANNOT_SAY, DOES_NOT_FIT, FITS, Connection, Way
from reportgen.payback.offers_result import OfferFound
from reportgen.payback.result import Payback
from reportgen.production.result import Production

# Thresholds: common practice, no source. Modules last some 25 years; lifting them for a new roof costs a few thousand.
ROOF_YEARS_LEFT_MIN = 10
EXPORT_RULE = "tariff.export"          # key of its Effect
PERFORMANCE_RATIO_MIN_PERCENT = 60   # an unshaded roof gives 75 to 88 % (measured arrays)


def answer(house: House, production: Production, connection: Connection, payback: Payback,
           offers: tuple[OfferFound, ...] = (), effects: tuple[Effect, ...] = ()) -> Answer:
    """Decide, with the numbers that decided and what else could be done. The papers in hand end the reasons."""
    found = _decide(house, production, connection, payback, offers, effects)
    return found if not offers else replace(found, reasons=(*found.reasons, _papers(offers)))


def _decide(house: House, production: Production, connection: Connection, payback: Payback, offers: tuple[OfferFound, ...],
            effects: tuple[Effect, ...]) -> Answer:
    value = payback.net_present_value
    money = _money_sentence(payback, offers)
    sun = f"The roof gives {production.year.span_text()} a year."
    left = house.building.roof_years_left

    if left is not None and left < ROOF_YEARS_LEFT_MIN:
        return Answer(NOT_NOW, "Not now: the roof comes first.", (
            (f"The covering has {left:g} years left by the roofer's word, modules about 25. Taking them down and up again "
             "for a new roof costs thousands."), sun, money),
            ("Renew the roof first, and have the attachments set while it is open.",
             "Or ask for an offer that names the price of lifting and refitting the array."), "roof_first")
    if connection.findings:
        return Answer(NOT_AS_IT_STANDS, "Not as it stands: an electrician looks at the panel first.", (
            *connection.findings, sun, f"{money} Nothing that the electrician may find to be done is in that price."),
            ("Have a licensed electrician read the panel's label and its parts before anyone signs for solar.",
             "If the panel is replaced anyway, choose one with room for a solar breaker."), "panel_first")
    if value.high is not None and value.high < 0:
        return Answer(NOT_NOW, "Not now: on these prices the array would not earn its cost back.", (
            money, (f"Even in the favourable case it ends {show(-value.high, value.unit)} short in "
                    "today's money."), sun),
            (*_enough(payback),
             "Saving first: draughts, hot water, old appliances. Ask an energy coach what a saved kWh costs there.",
             "A share in a community array elsewhere may do better than this roof.",
             "Fewer modules may pay where the whole array does not."), "no_return")
    if production.performance_ratio.value < PERFORMANCE_RATIO_MIN_PERCENT:
        return Answer(NOT_NOW, "Not now: too much of the sun is lost on this roof.", (
            (f"Of the sun that falls on these faces {production.performance_ratio.text()} would reach the meter; an open "
             "roof keeps 75 to 88 %."), sun, money),
            ("Ask whether the shade can go: a tree due for pruning, a mast, a disused chimney.",
             "Fewer modules on the clearest face may still pay.",
             "A share in a community array elsewhere needs no roof."), "little_sun")
    if connection.verdict == DOES_NOT_FIT:
        return Answer(NOT_AS_IT_STANDS, _misfit(house, connection, payback.currency), (
            connection.sentence, sun, money + _fitting_price(connection)),
            _ways_in_short(connection, payback.currency), "does_not_fit")
    if value.value < 0:
        return Answer(NOT_AS_IT_STANDS, "Not as it stands: it pays only if things turn out well.", (
            money, sun, connection.sentence),
            (*_enough(payback),
             "A smaller array may turn this: ask for a second and a third offer.",
             "Saving first: ask an energy coach what a kWh costs that need not be bought.",
             "Waiting is an answer too; prices and rules may move either way."), "depends")
    unknown_edition = not connection.judged and house.place.in_us and house.electrical.edition is None
    if unknown_edition or connection.judged and connection.verdict == CANNOT_SAY:
        return Answer(NOT_AS_IT_STANDS, "Not yet: sun and money speak for it, but whether it connects is not known.", (
            connection.sentence, sun, money),
            (("Take a clear photo of the panel's label and of all breakers, and ask the building office for the "
              "edition of the electrical code in force."), "Then run this report again."), "connection_unknown")
    sure = value.low is not None and value.low >= 0
    rests_on_rule = any(effect.key == EXPORT_RULE and min(effect.net_present_value) < 0 for effect in effects)
    condition = ", while the utility's present rule for what is sent out lasts" if rests_on_rule else ""
    headline = (f"Yes{condition}: this roof is worth it on the facts given." if sure else
                f"Yes in the middle case{condition}; in the unfavourable one it ends in a loss.")
    return Answer(YES, headline, (sun, money, connection.sentence), (), "yes" if sure else "yes_likely")


def _papers(offers: tuple[OfferFound, ...]) -> str:
    """Where each paper in hand ends against doing nothing."""
    rule = " and under the present rule for what is sent out" if any(one.if_rule_changes is not None for one in offers) else ""
    return f"The papers you hold, each at its own price{rule}: {'; '.join(f'{one.label} {_ends(one.net_present_value)}' for one in offers)}."


def _ends(value: Figure) -> str:
    low, high = (value.value if end is None else end for end in (value.low, value.high))
    if low >= 0:
        return "ends ahead of doing nothing"
    if high < 0:
        return "ends behind doing nothing"
    return f"ends {'ahead of' if value.value >= 0 else 'behind'} doing nothing in the middle case, {'behind in the unfavourable' if value.value >= 0 else 'ahead in the favourable'} one"


def _whose_price(price: float | None, offers: tuple[OfferFound, ...]) -> str:
    """The paper that names this report's price for cash."""
    same = [one.label for one in offers if one.kind == "cash" and price is not None and one.price is not None and one.price.value == price]
    return f", the price of {same[0]}," if len(same) == 1 else ""


def _money_sentence(payback: Payback, offers: tuple[OfferFound, ...]) -> str:
    value, back = payback.net_present_value, payback.simple_payback
    years = years_span(back.low, back.high, payback.horizon_years)
    paid = f"It would be {years.replace('not within', 'not paid back within')}." if years.startswith("not") else (
        f"It would be paid back in {years}." if not years.startswith("from") else f"Paid back: {years}.")
    rate = payback.internal_rate
    earns = f" The money would earn {rate.span_text()} a year." if rate.span_text() else ""
    return (f"It costs {payback.price.text()}{_whose_price(payback.price.value, offers)} and over {payback.horizon_years} years would be worth "
            f"{span(value.low, value.high, value.unit)} in today's money.{earns} {paid}")


def _misfit(house: House, connection: Connection, currency: str) -> str:
    """The headline says what does not fit and, where a change is in the price, that the price counts on it."""
    several = _several_inverters(house)
    what = "the inverters" if several else "this inverter"
    where = "the plan of the new circuit" if any(w.verdict == FITS and w.changes_nothing for w in connection.ways) else "the panel"
    way = connection.chosen
    if way is None or way.price is None or way.changes_nothing:
        return f"Not as it stands: {what} {'do' if several else 'does'} not fit {where}."
    return (f"Not as it stands: {what} {'fit' if several else 'fits'} {where} only with a change for "
            f"{span(way.price.low, way.price.high, currency)}.")


def _several_inverters(house: House) -> bool:
    array = house.array
    return array.conversion == "module-level" or sum(unit.count for unit in array.inverters or ()) > 1


def _fitting_price(connection: Connection) -> str:
    way = connection.chosen
    if way is None or way.price is None:
        return " What it costs to make it fit is not in the price."
    return " The change is in that price."


def _ways_in_short(connection: Connection, currency: str) -> tuple[str, ...]:
    """The other ways by which the sums work out; the one in the cash is told with the price. Without any: an electrician."""
    fitting = [way for way in connection.ways if way.verdict == FITS and not way.changes_nothing]
    if not fitting:
        return (("No way that was tried fits by arithmetic on the facts given; “Connecting it” shows each. "
                 "Have a licensed electrician look."),)
    mine = connection.chosen.key if connection.chosen is not None else ""
    others = sorted((way for way in fitting if way.key != mine), key=lambda way: way.price is None)
    return tuple(_in_short(way, currency) for way in others) or ("The other ways that were tried stand under “Connecting it”.",)


def _in_short(way: Way, currency: str) -> str:
    cost = span(way.price.low, way.price.high, currency) if way.price is not None else "not priced"
    change = f"{way.change[0].upper()}{way.change[1:]}"
    if way.key == "smaller_inverter":
        size = f", at most {way.largest_kw.text()}" if way.largest_kw is not None and "kW" not in change else ""
        return f"{change}{size}, in two free spaces of the panel as it is: by the sums it fits, {cost}."
    return f"{change}: by the sums it fits, {cost}."


def _enough(payback: Payback) -> tuple[str, ...]:
    price = payback.break_even_price
    if price.value is None:
        return ("No price above zero would make it pay on these facts.",)
    return (f"At a price of {price.text()} it would just pay in the middle case, all else as it is.",)
