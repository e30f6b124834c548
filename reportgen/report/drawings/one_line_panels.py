"""The panels of a one-line diagram: what enters each busbar, what hangs on it, and its main. What a change brings is drawn as new."""

from __future__ import annotations

from functools import partial

from reportgen.assessment import Assessment
from reportgen.interconnection.result import BusbarSource, PanelFound
from reportgen.report.charts.canvas import Canvas
from reportgen.report.charts.ratings import rated
from reportgen.report.drawings import one_line_words as say
from reportgen.report.drawings import symbols
from reportgen.report.drawings.one_line_sheet import (
    BESIDE,
    BUSBAR,
    BYPASS,
    NEW,
    NEW_BUSBAR,
    SPINE,
    STROKES,
    THERE,
    WORDS_ROOM,
    Row,
    Wire,
    hung,
    new_at,
    there_at,
    words,
)
from reportgen.report.palette import INK

_SYMBOL = symbols.SIZE / 2


def panel_rows(assessment: Assessment, panels: list[PanelFound], today: list[PanelFound], k: int, bypassed: bool, written,
                most: int) -> list[Row]:
    """One panel from its name down to its main. bypassed: the array's wire runs past it. written: its sources in the file."""
    panel = panels[k]
    is_service = k == len(panels) - 1 and not assessment.house.electrical.emergency_disconnect_outdoors
    is_new = say.has_new_busbar(panel, today[k])
    bus, feed = NEW_BUSBAR if is_new else BUSBAR, NEW if k == 0 else THERE
    enters = [] if bypassed and k == 0 else [s for s in panel.sources if s.is_new]
    beside = bool(enters) and all(s.position == "beside the main" for s in enters)    # then the wire runs past the busbar first
    aside = (Wire(BYPASS, NEW),) if bypassed else (Wire(BESIDE, feed),) if beside else ()
    past = (Wire(BYPASS, NEW),) if bypassed else ()
    above = (*past, Wire(SPINE, feed)) if enters else past
    name = words(say.panel_words(panel, WORDS_ROOM, today[k]))
    if beside:
        rows = [Row(name, above, aside, partial(_step_aside, feed), k, bold=True, new=is_new, least=14)]
    else:
        rows = [Row(name, above, above, panel=k, bold=True, new=is_new, least=14)]
        rows += _entry_rows(assessment, enters, today[k], k, bus, beside)
    hanging = _hanging_rows(assessment, panels, k, aside, bus, written, most, starts=not enters or beside, alone=bypassed)
    rows += [*hanging, *(_entry_rows(assessment, enters, today[k], k, bus, beside) if beside else ())]
    if panel.main == "split bus":
        across = (*past, Wire(SPINE, bus, _SYMBOL))
        rows.append(Row(words(f"breaker ahead of the lower busbar: {rated(panel.lower_breaker_a)}"), across, across,
                        partial(there_at, symbols.breaker, SPINE), k))
        return [*rows, Row(words(say.main_words(panel, is_service)), (*past, Wire(SPINE, bus)), (*past, Wire(SPINE, THERE)),
                           partial(hung, end=symbols.load_arrow), k)]
    new_main = say.has_new_main(panel, today[k])
    symbol = partial(there_at, symbols.lugs if panel.main == "lugs" else symbols.breaker, SPINE)
    if new_main:
        symbol = partial(new_at, symbols.breaker, SPINE)
    rows.append(Row(words(say.main_words(panel, is_service, today[k])), (*past, Wire(SPINE, bus, _SYMBOL)), (*past, Wire(SPINE, THERE, _SYMBOL)),
                    symbol, k, bold=new_main, new=new_main))
    return rows


def _hanging_rows(assessment: Assessment, panels: list[PanelFound], k: int, aside, bus: str, written, most: int, *, starts: bool,
                  alone: bool) -> list[Row]:
    """What hangs on the busbar: sources that are there already, then the loads. starts: the busbar begins with the first."""
    panel, spine, rows = panels[k], (*aside, Wire(SPINE, bus)), []
    kinds = {(s.name, s.breaker_a): s.kind for s in written or ()}
    there = [s for s in panel.sources if not s.is_new and (not written and k == 0 or (s.name, s.breaker_a) in kinds)]
    for source in there[:most]:
        kind = kinds.get((source.name, source.breaker_a), "solar")
        art = partial(hung, end=partial(symbols.source, kind=kind), reach=symbols.REACH.get(kind, symbols.CIRCLE))
        rows.append(Row(words(*say.source_words(source, WORDS_ROOM)), aside if starts else spine, spine, art, k))
        starts = False
    if len(there) > most:
        rest = ", ".join(f"{rated(s.breaker_a)}" for s in there[most:])
        rows.append(Row(words(f"{len(there) - most} more there, not drawn: breakers {rest}"), spine, spine, panel=k))
    feeds = [p.name for p in assessment.connection.panels if alone and len(panels) == 1 and p.name != panel.name]
    also = f"and the feeder towards {', '.join(feeds)}" if feeds else ""
    return [*rows, Row(words(say.loads_words(panel), also), aside if starts else spine, spine,
                       partial(hung, end=symbols.load_arrow), k)]


def _entry_rows(assessment: Assessment, enters: list[BusbarSource], today: PanelFound, k: int, bus: str, beside: bool) -> list[Row]:
    return [_entry_row(assessment, source, today, k, bus, beside, first=number == 0) for number, source in enumerate(enters)]


def _entry_row(assessment: Assessment, source: BusbarSource, today: PanelFound, k: int, bus: str, beside: bool, first: bool) -> Row:
    """The breaker that brings the array into this panel, its own in the first, the feeder's in the others. beside: it sits next to
    the main, so its wire comes down past the busbar."""
    place, x, kind = say.PLACES[source.position], BESIDE if beside else SPINE, NEW if k == 0 else THERE
    above, below = (Wire(x, kind, _SYMBOL),), (Wire(SPINE, bus, 0.0 if beside else _SYMBOL),)
    if beside:
        above = (*above, Wire(SPINE, bus))
    before = next((s for s in today.sources if s.is_new), source)
    moved = ", moved there" if before.position != source.position else ""

    down = 14.0 if k == 0 else _SYMBOL + 2      # from the breaker's middle to where its wire meets the busbar

    def art(canvas, y):
        (new_at if k == 0 else there_at)(symbols.breaker, x, canvas, y)
        if beside:
            canvas.line(((x, y + _SYMBOL), (x, y + down), (SPINE, y + down)), *STROKES[kind])
        if k == 0:
            symbols.joint(canvas, SPINE, y + down, INK)
            symbols.ring(canvas, SPINE, y + down, INK)

    if k > 0:
        changed = source.breaker_a != before.breaker_a
        text = f"{'new ' if changed else ''}breaker for the feeder {rated(source.breaker_a)}, {place}{moved}"
        return Row(words(text), above, below, art, k, new=changed or bool(moved), least=20 if beside else 17)
    way, device = assessment.connection.chosen, rated(assessment.connection.source_device.value)
    lines = ["Point of connection" if first else "and", f"new breaker {device}, {place}"]
    if assessment.house.electrical.chain[0].array_on_feed_through or (way is not None and way.key == "feed_through"):
        lines[1] = f"on the wires from the feed-through lugs, new breaker {device}"
    return Row(words(*lines), above, below, art, k, bold=True, new=True, least=36)


def _step_aside(kind: str, canvas: Canvas, y: float) -> None:
    canvas.line(((SPINE, y), (BESIDE, y)), *STROKES[kind])
