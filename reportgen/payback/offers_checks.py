"""What an offer's paper says about price, size, output, growth and saving, beside what this report finds."""

from __future__ import annotations

import re
from collections.abc import Iterator
from functools import cache
from importlib import resources

import yaml

from reportgen.bills.energy_lines import net_prices
from reportgen.describe.assumptions import row_for
from reportgen.describe.tariff_rules import in_full
from reportgen.figures import show, show_number, span
from reportgen.payback.offers_facts import OfferFacts, OfferFigures
from reportgen.payback.offers_growth import SAME_WITHIN, grown, has_a_rise_too_many, todays, total_of
from reportgen.payback.offers_result import Finding
from reportgen.sizing import most_modules

SAME_SIZE_WITHIN = 0.02
GROWTH = "money.price_growth_percent"


@cache
def price_table() -> dict:
    text = (resources.files("reportgen") / "tables" / "offer_prices.yaml").read_text(encoding="utf-8")
    return yaml.load(text, Loader=getattr(yaml, "CSafeLoader", yaml.SafeLoader))


def check_size(facts: OfferFacts) -> Iterator[Finding]:
    offer, most = facts.offer, most_modules(facts.house)
    if offer.size_kw is not None and offer.module_count is not None and offer.module_w is not None:
        made = offer.module_count * offer.module_w / 1000.0
        if abs(made / offer.size_kw - 1.0) > SAME_SIZE_WITHIN:
            yield Finding("size", f"The paper says {show(offer.size_kw, 'kW')}, but its {offer.module_count} modules "
                          f"of {offer.module_w:g} W "
                          f"make {show(made, 'kW')}. This report reckons with {show(offer.size_kw, 'kW')}.", "differs",
                          "Which of the two is right: the size, or the number and power of the modules?")
    if offer.module_count is not None and most is not None and offer.module_count > most:
        yield Finding("size", f"The paper has {offer.module_count} modules; the roof as this report draws it holds "
                      f"{most}.", "differs",
                      "Where on the roof does each module lie, and which strips stay clear for the fire service? May "
                      f"I see the drawing, and what is the price with {most} modules?")


def check_price(facts: OfferFacts, figures: OfferFigures) -> Iterator[Finding]:
    """Against the usual range, where the money is US dollars; elsewhere none is known to this report.

    Set beside prices elsewhere and no more: the usual range has no source, so that no paper is wrong or right by it.
    """
    per_w = figures.price_per_w
    if per_w is None or facts.code != "USD" or not facts.house.place.in_us:
        return
    usual, own = price_table()["usual"]["by_firm"], price_table()["usual"]["own_work"]
    series = [row["per_w"] for row in price_table()["series"]]
    head = (f"The paper's cash price is {per_w.text()}. Published figures, each in the money of its own year, run from "
            f"{span(min(series), max(series), 'USD/W')}; by a firm, "
            f"{span(usual['low'], usual['high'], 'USD/W')} is usual ({usual['source']}): this one lies ")
    if per_w.value > usual["high"]:
        yield Finding("price", head + "above that usual range.", "beside", "What makes the price per watt higher than usual: roof, "
                      "panel, equipment, fees?")
    elif per_w.value < usual["low"]:
        low = f" Under {show(own['below'], 'USD/W')} is what people pay who do the work themselves." if per_w.value < own["below"] else ""
        yield Finding("price", head + "below that usual range." + low, "beside", "What is not in this price: permit, work on the "
                      "panel, taxes, the meter?")
    else:
        yield Finding("price", head + "inside that usual range.", "beside")


def check_output(facts: OfferFacts) -> Iterator[Finding]:
    promised, found = facts.offer.promised_kwh, facts.output
    if promised is None or found.low is None or found.high is None:
        return
    head = (f"The paper promises {show(promised, 'kWh')} in the first year; this report finds {found.span_text()} for "
            f"{show(facts.offer.dc_kw, 'kW')} on this roof{facts.if_room}. ")
    if promised > found.high:
        yield Finding("output", head + "The promise lies above that range.", "differs",
                      f"On which shade report and weather do {show(promised, 'kWh')} rest, and do you pay where fewer "
                      "come?")
    elif promised < found.low:
        yield Finding("output", head + "The promise lies below that range.", "differs",
                      "Which shade or loss have you seen on this roof that makes your figure lower?")
    else:
        yield Finding("output", head + "The promise lies inside it.", "agrees")


def check_ageing(facts: OfferFacts) -> Iterator[Finding]:
    said, mine = facts.offer.degradation_assumed_percent, facts.house.array.degradation_percent_per_year
    if said is None or mine is None:
        return
    head = f"The paper lets the output fall by {said:g} % a year; this report by {mine:g} %."
    yield Finding("ageing", head, "agrees" if said >= mine else "differs",
                  "" if said >= mine else "Is the smaller yearly loss of output guaranteed, and by whom?")


def check_growth(facts: OfferFacts) -> Iterator[Finding]:
    said = facts.offer.growth_assumed_percent
    mine, row = facts.house.money.price_growth_percent, row_for(GROWTH, facts.house.place.in_us)
    if said is not None:
        head = (f"The paper lets the electricity price grow by {said:g} % a year; this report by {mine:g} %, and it tries "
                f"{row['low']:g} to {row['high']:g} % ({re.split('[:;]', row['source'])[0]}). ")
        ask = f"What is the saving if prices grow by {mine:g} % a year?"
        if said > row["high"]:
            yield Finding("growth", head + "The paper's growth lies above that.", "differs", ask)
        elif said < row["low"]:
            yield Finding("growth", head + "The paper's growth lies below that.", "differs")
        else:
            yield Finding("growth", head + "The paper's growth lies inside that.", "agrees")
    if facts.offer.utility_price_per_kwh is not None:
        yield _todays_price(facts)
    if facts.offer.shown_price_per_kwh is not None:
        yield from _shown_price(facts)


def _todays_price(facts: OfferFacts) -> Finding:
    """The paper's price of a kWh against the tariff's, from the cheapest hour to the bill spread over all kWh."""
    said, unit = facts.offer.utility_price_per_kwh, f"{facts.code}/kWh"
    prices = net_prices(in_full(facts.house.tariff))
    prices = prices[prices > 0]
    spread = float(facts.cash.columns[1].before[0]) / facts.house.use.year_kwh
    low, high = (min(prices.min(), spread), max(prices.max(), spread)) if prices.size else (spread, spread)
    head = (f"The paper takes {show(said, unit)} as today's price of power; this house pays {span(low, high, unit)}, from the cheapest "
            "kWh to the whole bill spread over all kWh. ")
    if low * (1 - SAME_WITHIN) <= said <= high * (1 + SAME_WITHIN):
        return Finding("price of power", head + "The paper's price lies inside that.", "agrees")
    return Finding("price of power", head + f"The paper's price lies {'above' if said > high else 'below'} that.", "differs",
                   f"From which tariff do the {show(said, unit)} come?")


def _shown_price(facts: OfferFacts) -> Iterator[Finding]:
    offer, unit = facts.offer, f"{facts.code}/kWh"
    shown, year, growth, today = (offer.shown_price_per_kwh, offer.shown_price_year, offer.growth_assumed_percent,
                                  offer.utility_price_per_kwh)
    if growth is None:
        yield Finding("growth", f"The paper shows {show(shown, unit)} for year {year} and not the growth behind "
                      "it.", "ask",
                      f"Which growth a year leads to {show(shown, unit)} in year {year}?")
        return
    mine = facts.house.money.price_growth_percent
    if today is not None and has_a_rise_too_many(today, growth, shown, grown(today, growth, year)):
        yield Finding("growth", f"The paper shows {show(shown, unit)} for year {year}: that is {show(today, unit)} "
                      f"with {year} rises of "
                      f"{growth:g} %. Year {year} comes after {year - 1} rises and has "
                      f"{show(grown(today, growth, year), unit)}.", "differs",
                      f"Why does year {year} have {year} rises?")
        start = today
    elif today is not None and abs(shown / grown(today, growth, year) - 1.0) > SAME_WITHIN:
        start = today
        yield Finding("growth", f"The paper shows {show(shown, unit)} for year {year}; its {show(today, unit)} of "
                      f"today, growing by {growth:g} % a "
                      f"year, makes {show(grown(today, growth, year), unit)}.", "differs", "How does the price of "
                      f"year {year} come about?")
    elif today is not None:
        start = today
        yield Finding("growth", f"The paper shows {show(shown, unit)} for year {year}: its {show(today, unit)} of "
                      f"today with {year - 1} rises of "
                      f"{growth:g} %.", "agrees")
    else:
        start = todays(shown, growth, year)
        yield Finding("growth", f"The paper shows {show(shown, unit)} for year {year}: at {growth:g} % a year that "
                      f"means {show(start, unit)} "
                      f"today, since prices rise {year - 1} times until then.", "ask", f"Is {show(start, unit)} the "
                      "price on my bill today?")
    yield Finding("growth", f"At this report's {mine:g} % a year, {show(start, unit)} of today is "
                  f"{show(grown(start, mine, year), unit)} in "
                  f"year {year}.", "agrees" if growth <= mine else "differs")


def check_saving(facts: OfferFacts) -> Iterator[Finding]:
    """The paper's saving on the bill, beside this report's; and its sum at its own and at this report's growth."""
    offer, money = facts.offer, facts.money
    if offer.savings_first_year is not None:
        low, _, high = facts.saved_on_the_bill(1)
        yield _beside("saving", f"The paper claims {money(offer.savings_first_year)} saved on the bill in the first "
                      "year; this report "
                      f"finds {span(low, high, facts.code)}{facts.if_room}.", offer.savings_first_year, low, high,
                      "On which bills, rate plan and rule for what is sent out does the first year's saving rest?")
    if offer.savings_total is None:
        return
    years, total = offer.savings_years, offer.savings_total
    low, _, high = facts.saved_on_the_bill(years)
    counted = "" if years <= len(facts.cash.columns[0].before) else f" (counted over {len(facts.cash.columns[0].before)})"
    yield _beside("saving", f"The paper claims {money(total)} saved in {years} years; this report finds "
                  f"{span(low, high, facts.code)}"
                  f"{counted}{facts.if_room}, in each year's own money.", total, low, high, f"May I see the {years} years of the "
                  "saving, year by year?")
    yield from _its_own_sum(facts, years, total)


def _its_own_sum(facts: OfferFacts, years: int, total: float) -> Iterator[Finding]:
    first, growth, mine = facts.offer.savings_first_year, facts.offer.growth_assumed_percent, facts.house.money.price_growth_percent
    if first is None or growth is None:
        return
    expected = total_of(first, growth, years)
    if has_a_rise_too_many(first, growth, total, expected):
        yield Finding("saving", f"The paper's {facts.money(total)} already has a rise of {growth:g} % in the first "
                      "year. With the first year at "
                      f"today's prices its own numbers make {facts.money(expected)}.", "differs", "Why do prices rise "
                      "before the first year?")
    elif total > expected * (1 + SAME_SIZE_WITHIN):
        yield Finding("saving", f"The paper's first year of {facts.money(first)}, growing by {growth:g} % a year, "
                      f"makes {facts.money(expected)} in "
                      f"{years} years and not {facts.money(total)}.", "differs", "What else is in the sum of the "
                      "savings?")
    at_mine = total_of(first, mine, years)
    yield Finding("saving", f"The paper's own first year, growing by this report's {mine:g} % a year, makes "
                  f"{facts.money(at_mine)} in {years} years: "
                  f"{show_number(abs(at_mine / total - 1) * 100, 0)} % {'less' if at_mine < total else 'more'} than "
                  "the paper's sum.",
                  "agrees" if at_mine >= total * (1 - SAME_SIZE_WITHIN) else "differs")


def _beside(topic: str, head: str, said: float, low: float, high: float, ask: str) -> Finding:
    if said > high:
        return Finding(topic, head + " The paper's figure lies above that range.", "differs", ask)
    if said < low:
        return Finding(topic, head + " The paper's figure lies below that range.", "differs", ask)
    return Finding(topic, head + " The paper's figure lies inside it.", "agrees")
