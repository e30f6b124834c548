"""What must also hold and only the site shows, sorted by what it belongs to: every way, the way in the cash, the others."""

from __future__ import annotations

from collections.abc import Container
from dataclasses import dataclass

from reportgen.interconnection.result import DOES_NOT_FIT, Connection


@dataclass(frozen=True)
class Conditions:
    """Each condition once: what other ways share with the first two groups is not repeated under them."""

    every_way: tuple[str, ...]
    chosen: tuple[str, ...]
    others: tuple[tuple[str, tuple[str, ...]], ...]     # names of the ways that share these, and the conditions


def conditions_of(connection: Connection, told_elsewhere: Container[str] = ()) -> Conditions:
    """Ways that do not fit by arithmetic ask for nothing. told_elsewhere: conditions that stand under another heading."""
    chosen = connection.chosen
    open_ways = [way for way in connection.ways if way.verdict != DOES_NOT_FIT]
    of_ways = {text for way in (*connection.ways, *((chosen,) if chosen else ())) for text in way.conditions}
    rules = [check for check in connection.checks if check.conditions]
    of_rules = _once(text for check in rules for text in check.conditions if text not in of_ways)
    everywhere = _once((*(text for text in of_rules if all(text in check.conditions for check in rules)),
                        *(text for check in (*connection.circuit_checks, *connection.conductors) for text in check.conditions)))
    everywhere += tuple(text for text in (open_ways[0].conditions if len(open_ways) > 1 else ())
                        if all(text in way.conditions for way in open_ways) and text not in everywhere)
    everywhere = tuple(text for text in everywhere if text not in told_elsewhere)

    def own(way) -> tuple[str, ...]:
        return tuple(text for text in _once(way.conditions) if text not in everywhere and text not in told_elsewhere)

    mine = own(chosen) if chosen is not None else ()
    others = [way for way in open_ways if chosen is None or way.key != chosen.key]
    shared: dict[str, list[str]] = {}
    for text in _once(text for way in others for text in own(way) if text not in mine):
        shared.setdefault("; ".join(way.name for way in others if text in way.conditions), []).append(text)
    for text in (text for text in of_rules if text not in everywhere and text not in told_elsewhere):
        names = _once(f"{check.name}, {check.where}" for check in rules if text in check.conditions)
        shared.setdefault("; ".join(names), []).append(text)
    return Conditions(everywhere, mine, tuple((names, tuple(texts)) for names, texts in shared.items()))


def _once(texts) -> tuple[str, ...]:
    return tuple(dict.fromkeys(texts))
