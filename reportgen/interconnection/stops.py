"""What must be looked at before any sum counts, and wires that do not pass: what both do to the ways to connect.

A way keeps its arithmetic, but nobody may read it as "nothing has to change" while a stop stands.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

from reportgen.describe.models import House
from reportgen.interconnection.conductors import ThinWires
from reportgen.interconnection.findings import breaker_too_small
from reportgen.interconnection.result import DOES_NOT_FIT, FITS, PriceRange, Seen, Way
from reportgen.interconnection.way_busbar import NOT_KNOWN
from reportgen.interconnection.wording import listed

UTILITY_LOOKS = "worn service drop"      # the wires before it are the utility's
AHEAD_OF_THE_MAIN = "supply_side"        # one of the remedies where a generator or a battery feeds the busbar


@dataclass(frozen=True)
class Stop:
    """`sentence` opens the verdict; the rest is what the ways say."""

    sentence: str
    what: str                # "the generator", "the scorching and the battery"
    who: str                 # "an electrician", "the utility"
    on_busbar_alone: bool    # a generator or a battery: a connection ahead of the main breaker goes round it


def stop_of(house: House, seen: tuple[Seen, ...]) -> Stop | None:
    """The stop that stands, or None. A busbar rated below its main breaker is the verdict itself and is not named here."""
    kinds = {source.kind for source in house.electrical.all_sources}
    sights = [sight.what for sight in seen if sight.stops]
    named = [("the generator", "the generator, and how it and the array are kept apart,")] * ("generator" in kinds)
    named += [("the battery", "the battery, and how it, the array and the grid work together,")] * ("battery" in kinds)
    named += [(f"the breaker of {s.name}",) * 2 for s in house.electrical.all_sources if breaker_too_small(s)]
    named += [(f"the {sight}",) * 2 for sight in sights]
    if not named:
        return None
    only_utility = len(named) == 1 and UTILITY_LOOKS in sights
    who = "the utility" if only_utility else "an electrician and the utility" if UTILITY_LOOKS in sights else "an electrician"
    long = " and ".join(part.rstrip(",") for _, part in named) + ("," if named[-1][1].endswith(",") else "")
    return Stop(f"Stop first: {long} must be looked at by {who} before anything else.", listed([short for short, _ in named]), who,
                not sights)


def unpriced(way: Way) -> PriceRange | None:
    """The way's price, without the nothing that stood for "the offer as it is"."""
    return None if way.changes_nothing and way.price is not None and way.price.high == 0 else way.price


def with_stop(way: Way, stop: Stop | None) -> Way:
    """The way with the stop before whatever else it changes; its verdict and its sums stay."""
    if stop is None:
        return way
    conditions = tuple(dict.fromkeys((stop.sentence, *way.conditions)))
    if way.key == AHEAD_OF_THE_MAIN and stop.on_busbar_alone:
        return replace(way, conditions=conditions)
    finds = "find" if " and " in stop.who else "finds"
    first = f"whatever {stop.who} {finds} necessary first for {stop.what}"
    price = unpriced(way)
    if price is not None:
        first += " (no price covers that)"
    change = way.change if way.verdict == DOES_NOT_FIT else first if way.changes_nothing or way.change == NOT_KNOWN else f"{first}; then {way.change}"
    return replace(way, change=change, changes_nothing=False, conditions=conditions, price=price)


def with_other_wires(way: Way, thin: ThinWires | None) -> Way:
    """The way with the wires that pass among what it changes; a smaller inverter may do with those that are named."""
    if thin is None or way.key == "smaller_inverter" or way.verdict == DOES_NOT_FIT or way.change == NOT_KNOWN:
        return way
    change = thin.remedy if way.changes_nothing else f"{way.change}; and {thin.remedy}"
    return replace(way, change=change, changes_nothing=False, price=unpriced(way))


def thin_sentence(sentence: str, verdict: str, thin: ThinWires) -> str:
    """The verdict's sentence with the wires that fail; where the busbars pass, their sums stay in the table."""
    named = f"the {thin.where} named in the house file"
    if verdict != FITS:
        return f"{sentence} Besides, {named} do not pass: {thin.sentence}"
    size = sentence.split(")", 1)[0] + ")" if ")" in sentence else "The new inverters"
    fits, do = ("fits", "does") if sentence.startswith("A ") else ("fit", "do")
    return f"{size} {fits} the busbars by arithmetic, but {do} not go with {named}: {thin.sentence}"
