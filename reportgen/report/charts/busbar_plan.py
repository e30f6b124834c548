"""One busbar as it lies in its panel: main at its place, source breakers at theirs, load breakers as small marks."""

from __future__ import annotations

import math

from reportgen.interconnection.result import BusbarSource, PanelFound
from reportgen.report.charts.canvas import WIDTH, Canvas, box
from reportgen.report.charts.ratings import rated
from reportgen.report.palette import GREY, INK, RULE, SUN, SUN_TEXT

PLAN = 54.0                              # its height [points]
_LEFT, _RIGHT, _MIDDLE = 62.0, WIDTH - 8.0, (62.0 + WIDTH - 8.0) / 2
_BAR_TOP, _BAR_FOOT = 25.0, 31.0
_BREAKER, _STEP = 17.0, 20.0             # side of a breaker's box; from one to the next
_LOAD_W, _LOAD_H, _LOAD_STEP = 5.0, 7.0, 9.0
_UPPER = 46.0                            # length of a split busbar's upper part


def draw_plan(canvas: Canvas, panel: PanelFound, sources: tuple[BusbarSource, ...], top: float, from_where: str,
              brings_feeder: bool = False) -> None:
    """sources: those to draw, numbered from 2 in their order; the main is 1. from_where: "grid" or "feeder". brings_feeder: the
    array comes in by a feeder's breaker, which is there today."""
    split = panel.main == "split bus"
    rating_a = panel.lower_busbar_a if split else panel.busbar_a
    known = rating_a is not None
    left = _draw_main(canvas, panel, top, from_where)
    canvas.outlined(box(left, top + _BAR_TOP, _RIGHT, top + _BAR_FOOT), INK, 1.3 if known else 0.9, dashed=not known)
    _draw_loads(canvas, panel, left, top)
    if split:
        canvas.text(left, top + 12, f"lower busbar {rated(rating_a)}; upper busbar {rated(panel.busbar_a)}")
    else:
        canvas.text(_LEFT + 12 if panel.fed_from != "centre" else 0, top + 12, f"busbar {rated(rating_a)}")
    for number, (source, places) in enumerate(_placed(panel, sources, left), start=2):
        for x in places:
            _draw_source(canvas, source, number, x, top, from_feeder=source.is_new and brings_feeder)


def _draw_main(canvas: Canvas, panel: PanelFound, top: float, from_where: str) -> float:
    """The main with the wire that comes in; where the busbar begins."""
    middle, half = top + (_BAR_TOP + _BAR_FOOT) / 2, 8.0
    if panel.fed_from == "centre":
        canvas.line(((_MIDDLE, top + 1), (_MIDDLE, top + 5)), INK, 1.2)
        _main_at(canvas, panel, _MIDDLE, top + 5 + half, half)
        canvas.line(((_MIDDLE, top + 5 + 2 * half), (_MIDDLE, top + _BAR_TOP)), INK, 1.2)
        canvas.text(_MIDDLE + half + 6, top + 11, from_where)
        return _LEFT - 50.0
    canvas.line(((0, middle), (_LEFT - 20 - half, middle)), INK, 1.2)
    canvas.text(0, middle - 4, from_where)
    if panel.main == "split bus":
        start = _LEFT - 28.0
        canvas.outlined(box(start, top + _BAR_TOP, start + _UPPER, top + _BAR_FOOT), INK, 1.3)
        for k in range(4):
            x = start + 5 + 10 * k
            canvas.outlined(box(x, top + _BAR_FOOT + 3, x + 7, top + _BAR_FOOT + 13), GREY, 0.6)
        canvas.line(((start + _UPPER, middle), (start + _UPPER + 8, middle)), INK, 1.2)
        _main_at(canvas, panel, start + _UPPER + 8 + half, middle, half)
        canvas.line(((start + _UPPER + 8 + 2 * half, middle), (start + _UPPER + 14 + 2 * half, middle)), INK, 1.2)
        return start + _UPPER + 14 + 2 * half
    _main_at(canvas, panel, _LEFT - 20, middle, half)
    canvas.line(((_LEFT - 20 + half, middle), (_LEFT, middle)), INK, 1.2)
    return _LEFT


def _main_at(canvas: Canvas, panel: PanelFound, x: float, y: float, half: float) -> None:
    if panel.main == "lugs":     # open at both sides: two clamps, no switch
        for side in (-1, 1):
            canvas.line(((x - half, y + side * 4), (x - half, y + side * half), (x + half, y + side * half),
                         (x + half, y + side * 4)), INK, 1.3)
    else:
        known = (panel.lower_breaker_a if panel.main == "split bus" else panel.main_breaker_a) is not None
        canvas.outlined(box(x - half, y - half, x + half, y + half), INK, 1.3, dashed=not known)
    canvas.text(x, y + 3, "1", anchor="center", semibold=True)


def _draw_loads(canvas: Canvas, panel: PanelFound, left: float, top: float) -> None:
    """On the side away from the sources; as many as there is room for."""
    spots, x = [], left + 4
    while x + _LOAD_W < _RIGHT:
        if panel.fed_from != "centre" or abs(x + _LOAD_W / 2 - _MIDDLE) > 12:
            spots.append(x)
        x += _LOAD_STEP
    for x in spots[:len(panel.load_breakers_a or ())]:
        canvas.outlined(box(x, top + _BAR_TOP - 2 - _LOAD_H, x + _LOAD_W, top + _BAR_TOP - 2), GREY, 0.6)


def _draw_source(canvas: Canvas, source: BusbarSource, number: int, x: float, top: float, from_feeder: bool) -> None:
    at, half = top + _BAR_FOOT + 4, _BREAKER / 2
    canvas.line(((x, top + _BAR_FOOT), (x, at)), INK if source.counts else RULE, 0.8)
    is_new = source.is_new and not from_feeder
    color = INK if from_feeder else SUN if source.counts else GREY
    canvas.outlined(box(x - half, at, x + half, at + _BREAKER), color, 1.8 if is_new else 0.8, dashed=source.position == "not known")
    canvas.text(x, at + half + 3, str(number), INK if from_feeder else SUN_TEXT if source.counts else GREY, "center", semibold=is_new)


def _placed(panel: PanelFound, sources: tuple[BusbarSource, ...], left: float):
    """Each source with its places along the busbar; what is between, or not known, is spread out over what is left."""
    count = math.floor((_RIGHT - left) / _STEP)
    free = [left + 10 + (_RIGHT - left - 20) * k / (count - 1) for k in range(count)]
    if panel.fed_from == "centre":
        free = [x for x in free if abs(x - _MIDDLE) > 8]
    beside = (lambda: min((x for x in free if x > _MIDDLE), default=free[-1])) if panel.fed_from == "centre" else lambda: free[0]
    found: dict[int, tuple[float, ...]] = {}
    for k, source in enumerate(sources):
        if source.position == "far end":
            found[k] = (free.pop(),)
        elif source.position == "both ends":
            found[k] = (free.pop(0), free.pop())
        elif source.position == "beside the main":
            x = beside()
            free.remove(x)
            found[k] = (x,)
    rest = [k for k in range(len(sources)) if k not in found]
    for n, k in enumerate(rest, start=1):
        found[k] = (free[round((len(free) - 1) * n / (len(rest) + 1))],)
    return [(source, found[k]) for k, source in enumerate(sources)]
