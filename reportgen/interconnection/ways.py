"""All ways to connect an array to a house, each with its sums; the one that enters the cash; what is not checked."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import replace

from reportgen.describe.models import House
from reportgen.interconnection.code_tables import cite, editions
from reportgen.interconnection.result import FITS, PriceRange, ServiceLoad, Way
from reportgen.interconnection.source_circuit import SourceCircuit
from reportgen.interconnection.way_busbar import as_it_is, larger_panel, moved_breaker, smaller_inverter
from reportgen.interconnection.way_parts import Question
from reportgen.interconnection.way_power_control import power_control
from reportgen.interconnection.way_smaller_main import smaller_main
from reportgen.interconnection.way_supply_side import supply_side
from reportgen.sizing import most_modules

NOTHING_TO_PAY = PriceRange(0.0, 0.0, "nothing changes by the busbar sums; what wires, spaces and grounds still need is not priced")


def ways_to_connect(house: House, circuit: SourceCircuit, load: ServiceLoad | None,
                    assumed: Collection[str] = ()) -> tuple[Way, ...]:
    """Every way, in the order of the work it makes; a way with nothing to change is left out where it changes nothing.

    A larger panel and a smaller inverter stand in the list only where the array does not fit as the house is. `house`:
    `complete`d, with inverter totals; an edition that is not tabulated has no ways. `assumed`: paths that were filled in
    rather than said.
    """
    if house.electrical.edition not in editions():
        return ()
    question = Question(house, circuit, load, assumed, most_modules(house) if house.array.module_w is not None else None)
    ways = as_it_is(question)
    fits = any(way.verdict == FITS for way in ways)
    return (*ways, *moved_breaker(question), *(() if fits else smaller_inverter(question)), *smaller_main(question),
            power_control(question), supply_side(question), *(() if fits else (larger_panel(question),)))


def chosen_way(house: House, ways: Sequence[Way]) -> Way | None:
    """The way that enters the cash; None where none fits by arithmetic, or the house's own choice does not.

    Without a choice: the way that changes nothing, else the cheapest that has a price. A smaller inverter is another
    array, so it is never chosen unasked.
    """
    fitting = [way for way in ways if way.verdict == FITS]
    if house.electrical.way is not None:
        mine = [_priced(way) for way in fitting if way.price_way == house.electrical.way]
        return mine[0] if mine else None
    unchanged = next((way for way in fitting if way.changes_nothing), None)
    if unchanged is not None:
        return _priced(unchanged)
    priced = [way for way in fitting if way.price is not None and way.key != "smaller_inverter"]
    return min(priced, key=lambda way: way.price.middle) if priced else None


def _priced(way: Way) -> Way:
    return replace(way, price=NOTHING_TO_PAY) if way.changes_nothing and way.price is None else way


def not_checked(edition: int | None, inverters: int = 1) -> tuple[str, ...]:
    """What no sum here covers, each with who looks at it. `inverters`: how many there are."""
    if edition is None:
        return ()
    ratings = (f"The rule for busbars of several ratings ({cite('multiple_ampacity', edition)}): it needs a study under an engineer's "
               "supervision.")
    space = (f"The space that panels need for themselves above and below ({cite('dedicated_space', edition)}), and whether everything finds "
             "room on the wall: the electrician measures.")
    own = ("The wires, equipment grounds and lengths of each single inverter's own circuit: the electrician sizes them.",)
    return (
        "Whether breakers, lugs and panels are listed to go together: the electrician reads it from their labels.",
        "The state of terminals, busbars and wires behind the covers: only an electrician opens them.",
        "Grounding electrodes and bonding of the service: the electrician and the inspector.",
        "What the place has changed in the Code: ask the building office.",
        ratings,
        space,
        *(own if inverters > 1 else ()),
    )
