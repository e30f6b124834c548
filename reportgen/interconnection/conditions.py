"""What must also hold and only the site shows, grouped by the way or the check that it belongs to."""

from __future__ import annotations

from reportgen.interconnection.result import FITS, Check, Connection


def grouped_conditions(connection: Connection) -> tuple[tuple[str, tuple[str, ...]], ...]:
    """(heading, conditions) pairs; a condition stands once, under the first heading that it belongs to.

    First the chosen way, or without one the house as it is; then the new circuit and the wires; then each other way that
    fits by arithmetic, under its own name. Nothing of a way that does not fit or cannot be judged stands here.
    """
    chosen = connection.chosen
    groups: list[tuple[str, tuple[str, ...]]] = []
    if chosen is not None:
        groups.append((chosen.name, chosen.conditions))
    else:
        groups += [(_heading(check), check.conditions) for check in connection.checks if check.verdict == FITS]
    groups += [(_heading(check), check.conditions) for check in (*connection.circuit_checks, *connection.conductors)]
    groups += [(f"Only for another way: {way.name}", way.conditions) for way in connection.ways
               if way.verdict == FITS and (chosen is None or way.key != chosen.key)]
    seen = set(connection.load.cautions) if connection.load is not None else set()      # they stand with the load
    found: dict[str, tuple[str, ...]] = {}
    for heading, conditions in groups:
        new = tuple(dict.fromkeys(text for text in conditions if text not in seen))
        seen |= set(new)
        if new:
            found[heading] = (*found.get(heading, ()), *new)
    return tuple(found.items())


def _heading(check: Check) -> str:
    return f"{check.name}, {check.where}" if check.where else check.name
