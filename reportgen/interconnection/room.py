"""Room for a breaker: where no two neighbouring spaces are free, a way on the busbar first needs some."""

from __future__ import annotations

from dataclasses import replace

from reportgen.describe.models import House
from reportgen.interconnection.result import Way

ON_THE_BUSBAR = ("sum_rule", "rule_120", "all_breakers", "centre_fed", "move_breaker", "smaller_main", "power_control",
                 "smaller_inverter")
MAKE_ROOM = "make room for a two-pole breaker"
NO_ROOM = ("No two neighbouring spaces are free. Room is made by breakers that were made for half a space, where this panel is "
           "listed for them, or by moving circuits to another panel; an electrician says which.")


def no_room(house: House) -> bool:
    """Whether the panel that takes the array was found full."""
    return house.electrical.chain[0].free_two_pole_spaces == 0 or "no room for a breaker" in (house.electrical.seen or ())


def with_room(house: House, ways: tuple[Way, ...]) -> tuple[Way, ...]:
    """The ways with what the house's spaces and lugs ask of them besides the sums."""
    return tuple(_on_wires(house, _on_full_busbar(house, way)) for way in ways)


def _on_full_busbar(house: House, way: Way) -> Way:
    if way.key not in ON_THE_BUSBAR or not no_room(house) or house.electrical.chain[0].array_on_feed_through:
        return way
    change = MAKE_ROOM if way.change in ("", "nothing") else f"{way.change}; {MAKE_ROOM}"
    return replace(way, change=change, changes_nothing=False, conditions=tuple(dict.fromkeys((NO_ROOM, *way.conditions))))


def _on_wires(house: House, way: Way) -> Way:
    """Joining on feed-through wires is a change where the array is not planned there."""
    if way.key != "feed_through" or house.electrical.chain[0].array_on_feed_through or not way.changes_nothing:
        return way
    return replace(way, change="join the wires from the feed-through lugs instead", changes_nothing=False)
