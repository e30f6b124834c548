"""Breakers that are already there and feed power in: what each counts for on the busbar."""

from __future__ import annotations

from collections.abc import Iterable

from reportgen.describe.electrical import SourceBreaker
from reportgen.figures import Figure
from reportgen.interconnection.code_tables import factor
from reportgen.interconnection.result import BusbarSource
from reportgen.interconnection.wording import amps

# A monitoring device takes power and gives none. A generator is held apart from the grid by its transfer switch or
# interlock, so it never adds to the main breaker's current; it brings a stop note instead (`findings.py`).
NOT_COUNTED = ("monitoring", "generator")


def existing_sources(breakers: Iterable[SourceBreaker]) -> tuple[tuple[BusbarSource, ...], tuple[Figure, ...]]:
    """Each breaker as a source on the busbar, and the output current of those that count as a Figure [A]."""
    sources, figures = [], []
    for number, breaker in enumerate(breakers, 1):
        counts = breaker.kind not in NOT_COUNTED
        output_a = 0.0
        if counts:
            figure = _output(number, breaker)
            output_a = figure.value
            figures.append(figure)
        sources.append(BusbarSource(breaker.name, breaker.breaker_a, output_a, breaker.position or "not known", False, counts))
    return tuple(sources), tuple(figures)


def _output(number: int, breaker: SourceBreaker) -> Figure:
    key, label = f"interconnection.existing_source_{number}_a", f"Output current of {breaker.name}"
    if breaker.output_a is not None:
        return Figure(key, label, breaker.output_a, "A", formula=f"{amps(breaker.output_a)}, read from the data sheet",
                      sources=("data sheet of the source",))
    share = factor("assumed_output")
    output_a = share * breaker.breaker_a
    return Figure(key, label, output_a, "A",
                  formula=f"{share:g} × {amps(breaker.breaker_a)} = {amps(output_a)}, assumed: no data sheet at hand",
                  sources=("common practice, no source",))


def source_conditions(breakers: Iterable[SourceBreaker]) -> tuple[str, ...]:
    """What the existing sources add to a rule that needs the far end of the busbar."""
    counted = [b for b in breakers if b.kind not in NOT_COUNTED]
    if not counted:
        return ()
    names = ", ".join(b.name for b in counted)
    asks = (f"Another source is already on this busbar ({names}). Its breaker must not sit beside the main breaker "
            "either. The rule speaks of one main supply and one other source: ask the inspector whether two may share "
            "the far end, or have them joined ahead of the panel.")
    assumed = ", ".join(b.name for b in counted if b.output_a is None)
    if not assumed:
        return (asks,)
    return asks, (f"The output of {assumed} was assumed as {factor('assumed_output'):g} of its breaker; read it from "
                  "the data sheet.")
