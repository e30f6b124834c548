"""Every check of a connection in the order in which an inspector reads them. Chooses and orders; checks nothing."""

from __future__ import annotations

from collections.abc import Container
from dataclasses import dataclass

from reportgen.figures import Figure
from reportgen.interconnection.result import Check, Connection, Way

SHORT = 60   # letters of a caution that is repeated rather than pointed to


@dataclass(frozen=True)
class Line:
    """anchor: key of the Figure of what is left, where its way back leads here; "" where it stands elsewhere."""

    check: Check
    caution: str         # in full where it is met first, then a pointer to there
    anchor: str


@dataclass(frozen=True)
class Group:
    title: str
    lines: tuple[Line, ...]


@dataclass(frozen=True)
class WayRow:
    """A way with how its figures come about: what is left, then the largest array in A, in kW and in modules."""

    way: Way
    cells: tuple[tuple[Figure | None, str], ...]     # with the anchor, as in Line


@dataclass(frozen=True)
class CheckLines:
    groups: tuple[Group, ...]
    ways: tuple[WayRow, ...]
    anchored: frozenset[str]     # keys of the Figures that stand here and need no place of their own


def check_lines(connection: Connection, figures: Container[str]) -> CheckLines:
    """Groups that have a check, each check once: where two ways share one, it stands under the first. Nothing where the
    house is not judged. figures: the keys that the report holds."""
    if not connection.judged:
        return CheckLines((), (), frozenset())
    anchored: set[str] = set()

    def anchor(figure: Figure | None) -> str:
        if figure is None or figure.key not in figures or figure.key in anchored:
            return ""
        anchored.add(figure.key)
        return figure.key

    cautions: dict[str, Check] = {}
    seen: set[Check] = set()
    groups = []
    for title, checks in _groups(connection):
        new = [check for check in checks if check not in seen]
        seen.update(new)
        if new:
            groups.append(Group(title, tuple(Line(check, _caution(check, cautions), anchor(check.margin_a)) for check in new)))
    ways = tuple(WayRow(way, tuple((figure, anchor(figure)) for figure in (
        way.margin, way.largest_a, way.largest_kw, way.largest_modules))) for way in connection.ways if _has_figure(way))
    return CheckLines(tuple(groups), ways, frozenset(anchored))


def _groups(connection: Connection):
    load, utility = connection.load, connection.utility
    yield "The panels as they are", connection.checks
    for way in connection.ways:
        yield f"Way: {way.name}", way.checks
    yield "The new circuit", connection.circuit_checks
    yield "Wires", connection.conductors
    for plan in connection.strings:
        yield f"Strings of {plan.inverter}", plan.checks
    yield "Working space", connection.working_space
    yield "Loads that are planned", load.planned if load else ()
    yield "The utility", utility.checks if utility else ()


def _has_figure(way: Way) -> bool:
    return any(figure is not None and figure.value is not None
               for figure in (way.margin, way.largest_a, way.largest_kw, way.largest_modules))


def _caution(check: Check, told: dict[str, Check]) -> str:
    first = told.setdefault(check.caution, check) if check.caution else check
    if first is check or len(check.caution) <= SHORT:
        return check.caution
    return f"as at “{first.name}{f', {first.where}' if first.where else ''}” above"
