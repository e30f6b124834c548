"""The service load from a measured highest demand, and when the section bars it."""

from __future__ import annotations

from reportgen.describe.models import House
from reportgen.figures import show
from reportgen.interconnection.code_tables import cite, factor
from reportgen.interconnection.load_general import amps_words, figures_of, va
from reportgen.interconnection.result import LoadMethod

NAME = "Measured demand"
BARRED_OUTRIGHT = (2017, 2020)
"""Editions in which an array on the service bars this method whatever was measured; later only the 30-day recording."""
ASK_YEAR = "Ask the utility for a year of demand by quarter hours."
ASK_PLAIN = ("Ask the utility for a year of demand by quarter hours; or an electrician records 30 days by quarter "
             "hours while the house is lived in, with the larger of heating and cooling in it. Record before the array runs: "
             "with an array on the service {} no longer lets {} count.")
ASK_CALCULATION = "Use the calculation by floor area and appliances instead."
ASK_BEFORE = ("Ask the utility for a year of demand by quarter hours from before the array, or use the calculation by "
              "floor area and appliances.")


def measured_method(house: House) -> LoadMethod:
    """NEC 220.87, step by step. Needs an edition that is tabulated and a `demand`."""
    electrical, demand = house.electrical, house.electrical.demand
    clause = cite("load_measured", electrical.edition)
    why_not, ask = _why_not(house)
    if demand.measured_peak_kw is None:
        return LoadMethod("measured", NAME, clause, False, why_not, None, None, (), (), ask)
    if why_not:     # a barred measurement gives no load: a number beside a refusal would still be used
        return LoadMethod("measured", NAME, clause, False, why_not, None, None, (), _barred_cautions(house), ask)
    share = factor("load_measured")
    load_va = share * 1000.0 * demand.measured_peak_kw
    words = f"{share:g} × {show(demand.measured_peak_kw, 'kW', 2)} × 1000 = {va(load_va)}"
    highest = (f"Highest demand over {demand.measured_days} days, as the mean of {demand.measured_over}: "
               f"{show(demand.measured_peak_kw, 'kW', 2)}.")
    steps = (highest, f"{share:g} times that counts: {words}.",
             f"In amperes: {amps_words(load_va, electrical.service_v)}.")
    figures = figures_of("measured", "measured demand", load_va, words, electrical.service_v, clause)
    return LoadMethod("measured", NAME, clause, True, "", *figures, steps, _cautions(house))


def has_array(house: House) -> bool:
    """Whether an array already feeds in behind the meter."""
    return any(source.kind == "solar" for source in house.electrical.all_sources)


def has_battery(house: House) -> bool:
    """Whether a battery may shave the peaks."""
    return any(source.kind == "battery" for source in house.electrical.all_sources)


def is_year(days: int) -> bool:
    """Whether the measurement covers the year that the section asks for."""
    return days >= factor("load_measured_year_days")


def _why_not(house: House) -> tuple[str, str]:
    """Why the section doesn't hold here, and what to find out; both empty where it does."""
    demand, edition = house.electrical.demand, house.electrical.edition
    clause, days = cite("load_measured", edition), demand.measured_days
    shaved = has_array(house) or has_battery(house)
    if edition in BARRED_OUTRIGHT and (has_array(house) or demand.measured_with_solar):
        why = f"The house already has an array, and {clause} does not let a measured demand be used then."
        return why, ASK_CALCULATION
    if edition in BARRED_OUTRIGHT and has_battery(house):
        why = f"The house has a battery. It may shave the peaks, and {clause} bars a measured demand then."
        return why, ASK_CALCULATION
    if demand.measured_peak_kw is None:
        return "No measured demand is written.", ASK_YEAR if shaved else _ask_plain(edition)
    if demand.measured_with_solar:
        why = ("It was measured while an array fed in behind the meter. The meter then shows the demand less what the "
               "array gave, so it can't be used.")
        return why, ASK_BEFORE
    if is_year(days):
        return "", ""
    if shaved:
        why = (f"It covers {days} days. Less than a year is allowed only as an exception, and {clause} bars that where "
               "the house has an array or anything that shaves peaks, such as a battery.")
        return why, ASK_YEAR
    least = factor("load_measured_least_days")
    if days < least:
        return f"It covers {days} days; a year is asked for, or at the least {least:g} days.", _ask_plain(edition)
    if demand.measured_over != "15 minutes":
        why = (f"It covers {days} days. Less than a year is allowed only where it was recorded by 15 minutes; here it "
               f"was {demand.measured_over}.")
        return why, _ask_plain(edition)
    return "", ""


def _ask_plain(edition: int) -> str:
    barred = "a measured demand" if edition in BARRED_OUTRIGHT else "a recording of 30 days"
    return ASK_PLAIN.format(cite("load_measured", edition), barred)


def _cautions(house: House) -> tuple[str, ...]:
    demand, edition = house.electrical.demand, house.electrical.edition
    clause, found = cite("load_measured", edition), []
    if demand.measured_over == "1 hour":
        found.append("The demand was measured by the hour. An hour's mean understates a 15-minute peak, so the load "
                     "may be higher.")
    if not is_year(demand.measured_days):
        found.append("The recording covers less than a year. It counts only if the house was lived in meanwhile, and "
                     f"the larger of heating and cooling and other loads of a season are in it or added ({clause}).")
    if has_array(house):
        found.append(f"The house has an array today. {clause} leaves a year of demand usable; it must be from before "
                     "the array, not from the net meter. Say to the inspector which year it is.")
    else:
        barred = "this method" if edition in BARRED_OUTRIGHT else "the 30-day recording"
        found.append(f"Once the new array runs, {clause} bars {barred} for this service. Ask the inspector whether a "
                     "demand measured before it still counts when the array is built.")
    if has_battery(house):
        found.append("The house has a battery, which may have shaved the peaks. The inspector decides whether the year "
                     "counts.")
    found.append("Kilowatts are taken as kilovolt-amperes; motors draw somewhat more.")
    found.append("Loads that were added after the measurement must be added to it at their nameplates.")
    return tuple(found)


def _barred_cautions(house: House) -> tuple[str, ...]:
    edition = house.electrical.edition
    if edition == 2017 and has_array(house):
        return ("The bar was read in the text of the edition of 2020; for 2017 it is taken to be the same.",)
    if edition > max(BARRED_OUTRIGHT) and has_array(house):
        doubt = (f"That the bar stands in the exception alone ({cite('load_measured', edition)}) was read in one "
                 "public source only.")
        return (doubt,)
    return ()
