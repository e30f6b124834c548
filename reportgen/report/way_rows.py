"""What the tables say of a way to connect, the same in the report and on the electrician's sheet. Words only; computes nothing.

A stop stands before every sum: beside one no way is free of changes and none is free of cost.
"""

from __future__ import annotations

from dataclasses import dataclass

from reportgen.figures import Figure, show, span
from reportgen.interconnection.result import CANNOT_SAY, DOES_NOT_FIT, FITS, Connection, Way

STOP_FIRST = "the stop comes first"
NOTHING, NOT_KNOWN, NOT_PRICED, SEE_REASON = "nothing", "not known", "not priced", "—"
OVER = ("A", "kA", "kW", "kWh")     # units in which too large a number, not too small a one, is what fails
RULES_ON_PLACE = ("rule_120", "centre_fed")


@dataclass(frozen=True)
class WayRow:
    way: Way
    is_chosen: bool
    verdict: str
    left: str          # "5 A left", "60 A too much"
    change: str
    cost: str


def way_rows(connection: Connection, currency: str) -> tuple[WayRow, ...]:
    """One row a way, in the order of the ways."""
    stop = bool(connection.findings)
    key = connection.chosen.key if connection.chosen is not None else ""
    return tuple(WayRow(way, way.key == key, f"{way.verdict}; {STOP_FIRST}" if stop and way.verdict == FITS else way.verdict,
                        way_left(way), _change(way, stop), _cost(way, stop, currency)) for way in connection.ways)


def left_words(margin: Figure | None, verdict: str = FITS, by_place: bool = False) -> str:
    """What is left of a limit, or by how much it is passed. A sum that passes never hides a verdict that does not."""
    if margin is None or margin.value is None:
        return NOT_KNOWN
    digits = 2 if margin.unit == "%" else None       # as the sums of voltage write them
    if margin.value < 0:
        return f"{show(-margin.value, margin.unit, digits)} {'too much' if margin.unit in OVER else 'missing'}"
    left = f"{show(margin.value, margin.unit, digits)} left"
    if verdict == FITS:
        return left
    if verdict == CANNOT_SAY:
        return f"{left} by the sum alone"
    return f"{left} by the sum alone; {'the breaker’s place fails' if by_place else 'something else fails'}"


def way_left(way: Way) -> str:
    return left_words(way.margin, way.verdict, way.key in RULES_ON_PLACE)


def _change(way: Way, stop: bool) -> str:
    if way.verdict == DOES_NOT_FIT and way.change == NOTHING:
        return SEE_REASON
    if not way.changes_nothing:
        return way.change
    if stop:
        return "what the stop asks for"
    return way.change if way.verdict == FITS else "nothing, if it turns out to fit"


def _cost(way: Way, stop: bool, currency: str) -> str:
    if way.price is not None and not way.changes_nothing:
        return span(way.price.low, way.price.high, currency)
    if way.changes_nothing and way.verdict != DOES_NOT_FIT:
        return NOT_KNOWN if stop or way.verdict == CANNOT_SAY else "none by these sums"
    return NOT_PRICED
