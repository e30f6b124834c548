"""The first page's answer: yes, not as it stands, or not now, by stated thresholds on Figures.

Rules are tried from the top; the first that holds decides. The same table stands in DEVELOPERS.md, one test a row.
"""

from __future__ import annotations

from reportgen.assessment import NOT_AS_IT_STANDS, NOT_NOW, YES, Answer
from reportgen.describe.models import House
from reportgen.figures import show, span, years_span
from reportgen.interconnection.result import CANNOT_SAY, DOES_NOT_FIT, Connection
from reportgen.payback.result import Payback
from reportgen.production.result import Production

# Thresholds: common practice, no source. Modules last some 25 years; lifting them for a new roof costs a few thousand.
ROOF_YEARS_LEFT_MIN = 10
PERFORMANCE_RATIO_MIN_PERCENT = 60   # an unshaded roof gives 75 to 88 % (measured arrays)


def answer(house: House, production: Production, connection: Connection, payback: Payback) -> Answer:
    """Decide, with the numbers that decided and what else could be done."""
    value = payback.net_present_value
    money = _money_sentence(payback)
    sun = f"The roof gives {production.year.span_text()} a year, {production.year.text()} in the middle."
    left = house.building.roof_years_left

    if left is not None and left < ROOF_YEARS_LEFT_MIN:
        return Answer(NOT_NOW, "Not now: the roof comes first.", (
            f"The covering has {left:g} years left by the roofer's word; modules stay up for about 25.",
            "Taking them down and up again for a new roof costs thousands and is in none of these sums.", sun, money),
            ("Renew the roof first, and have the attachments set while it is open.",
             "Or ask for an offer that names the price of lifting and refitting the array.",
             "Ask again when the roof is done: prices and rules will have moved."), "roof_first")
    if connection.findings:
        return Answer(NOT_AS_IT_STANDS, "Not as it stands: an electrician looks at the panel first.", (
            *connection.findings, sun, money),
            ("Have a licensed electrician read the panel's label and its parts before anyone signs for solar.",
             "If the panel is replaced anyway, choose one with room for a solar breaker."), "panel_first")
    if value.high is not None and value.high < 0:
        return Answer(NOT_NOW, "Not now: on these prices the array would not earn its cost back.", (
            money, (f"Even with sun, prices and cost all on its side it ends {show(-value.high, value.unit)} short in "
                    "today's money."), sun),
            ("Saving first is worth more here: insulation, draughts, hot water, old appliances.",
             "A lower price would change this; so would dearer electricity. What could change the answer shows by how much.",
             "A share in a community array elsewhere may do better than this roof.",
             "Fewer modules, on the sunniest face alone, may pay where the whole array does not."), "no_return")
    if production.performance_ratio.value < PERFORMANCE_RATIO_MIN_PERCENT:
        return Answer(NOT_NOW, "Not now: too much of the sun is lost on this roof.", (
            (f"Of the sun that falls on these faces {production.performance_ratio.text()} would reach the meter; an open "
             "roof keeps 75 to 88 %."), sun, money),
            ("Ask whether the shade can go: a tree due for pruning, a mast, a disused chimney.",
             "Fewer modules on the clearest face may still pay.",
             "A share in a community array elsewhere needs no roof."), "little_sun")
    if connection.verdict == DOES_NOT_FIT:
        return Answer(NOT_AS_IT_STANDS, "Not as it stands: this inverter does not fit the panel.", (
            connection.sentence, sun, money), _ways_round(house, connection), "does_not_fit")
    if value.value < 0:
        return Answer(NOT_AS_IT_STANDS, "Not as it stands: it pays only if things turn out well.", (
            money, sun, connection.sentence),
            ("A lower price or a smaller array may turn this: ask for a second and a third offer.",
             "Saving first costs less for each kWh not bought.",
             "Waiting is an answer too: nothing is lost but the years between."), "depends")
    if connection.judged and connection.verdict == CANNOT_SAY:
        return Answer(NOT_AS_IT_STANDS, "Not yet: sun and money speak for it, but whether it connects is not known.", (
            connection.sentence, sun, money),
            (("Take a clear photo of the panel's label and of all breakers, and ask the building office for the "
              "edition of the electrical code in force."), "Then run this report again."), "connection_unknown")
    sure = value.low is not None and value.low >= 0
    headline = "Yes: this roof is worth it on the facts given." if sure else (
        "Yes, more likely than not: it can also end in a loss.")
    return Answer(YES, headline, (sun, money, connection.sentence), (), "yes" if sure else "yes_likely")


def _money_sentence(payback: Payback) -> str:
    value, back = payback.net_present_value, payback.simple_payback
    years = years_span(back.low, back.high, payback.horizon_years)
    paid = f"It is {years.replace('not within', 'not paid back within')}." if years.startswith("not") else (
        f"It is paid back in {years}." if not years.startswith("from") else f"Paid back: {years}.")
    return (f"It costs {payback.price.text()} and over {payback.horizon_years} years is worth "
            f"{span(value.low, value.high, value.unit)} in today's money, {value.text()} in the middle. {paid}")


def _ways_round(house: House, connection: Connection) -> tuple[str, ...]:
    ways = []
    largest = connection.largest_inverter_kw.value
    if largest is not None and largest >= 0.5:
        ways.append(f"Fewer modules: an inverter of at most {connection.largest_inverter_kw.text()} "
                    f"({connection.largest_inverter.text()}) fits this panel by arithmetic.")
    ways += ["A smaller main breaker, where an electrician's load calculation allows one.",
             "A connection ahead of the main breaker, where the utility allows one.",
             "A new panel with a larger busbar; ask for its price before signing for solar."]
    return tuple(ways)

