"""The electrical trade's symbols, thin and in points, each round its middle (x, y).

Switch, breaker, fuse, battery, source and ground come from the schemdraw library as lines; they are set with the
report's own canvas, so that every picture has the same fonts and the same way of naming things.
"""

from __future__ import annotations

import math

import schemdraw.elements as elm
from schemdraw.segments import Segment, SegmentArc, SegmentCircle
from schemdraw.transform import Transform

from reportgen.report.charts.canvas import Canvas, box
from reportgen.report.palette import INK

SIZE = 14.0            # length of a breaker or switch along its wire [points]
BOX = 19.0             # side of an inverter
_ROUND = 24            # corners of a circle
THIN, THICK = 0.8, 1.8
REACH = {"solar": 10.0, "battery": 8.0}   # from the middle of a source to where its wire comes in; else a circle's
CIRCLE = 7.5


def breaker(canvas: Canvas, x: float, y: float, color: str = INK, width: float = THIN, upright: bool = True) -> None:
    _set(canvas, elm.Breaker(), x, y, SIZE, (0.5, 0.0), 90.0 if upright else 0.0, color, width)


def switch(canvas: Canvas, x: float, y: float, color: str = INK, width: float = THIN) -> None:
    _set(canvas, elm.Switch(), x, y, SIZE, (0.5, 0.0), -90.0, color, width)


def fuse(canvas: Canvas, x: float, y: float, color: str = INK, width: float = THIN) -> None:
    _set(canvas, elm.FuseIEEE(), x, y, SIZE, (0.5, 0.0), 90.0, color, width)


def ground(canvas: Canvas, x: float, y: float) -> None:
    _set(canvas, elm.Ground(), x, y, SIZE, (0.0, -0.32), 0.0, INK, THIN)


def meter(canvas: Canvas, x: float, y: float) -> None:
    _lettered(canvas, x, y, "M", INK, THIN)


def controller(canvas: Canvas, x: float, y: float, color: str = INK, width: float = THIN) -> None:
    _lettered(canvas, x, y, "C", color, width)


def transformer(canvas: Canvas, x: float, y: float) -> None:
    """Two windings, one over the other."""
    for away in (-4.0, 4.0):
        _ring(canvas, x, y + away, 6.0, INK, THIN)


def lugs(canvas: Canvas, x: float, y: float) -> None:
    """Two terminals without a switch between them, bridged."""
    for away in (-4.5, 4.5):
        _ring(canvas, x, y + away, 2.2, INK, THIN)
    canvas.line(((x, y - 2.3), (x, y + 2.3)), INK, THIN)


def module(canvas: Canvas, x: float, y: float, color: str, width: float = THIN) -> None:
    """A solar module: a frame with its cells."""
    canvas.outlined(box(x - 10, y - 6.5, x + 10, y + 6.5), color, width)
    for across in (-5.0, 0.0, 5.0):
        canvas.line(((x + across, y - 6.5), (x + across, y + 6.5)), color, 0.5)
    canvas.line(((x - 10, y), (x + 10, y)), color, 0.5)


def inverter(canvas: Canvas, x: float, y: float, color: str, width: float = THIN) -> None:
    """A box cut in two: direct current above, alternating current below."""
    half = BOX / 2
    canvas.outlined(box(x - half, y - half, x + half, y + half), color, width)
    canvas.line(((x - half, y + half), (x + half, y - half)), color, THIN)
    for away in (-6.5, -4.0):
        canvas.line(((x - 7.0, y + away), (x - 0.5, y + away)), color, THIN)
    wave = [(x + 0.5 + 6.5 * k / 12, y + 4.8 - 1.9 * math.sin(2 * math.pi * k / 12)) for k in range(13)]
    canvas.line(wave, color, THIN)


def source(canvas: Canvas, x: float, y: float, kind: str, color: str = INK) -> None:
    """What is there already, by the house file's word for it: "solar", "battery", "generator" or "monitoring"."""
    if kind == "solar":
        module(canvas, x, y, color)
    elif kind == "battery":
        canvas.outlined(box(x - 8, y - 7, x + 8, y + 7), color, THIN)
        _set(canvas, elm.BatteryCell(), x, y, SIZE, (0.094, 0.0), 0.0, color, THIN)
    else:
        _lettered(canvas, x, y, {"generator": "G"}.get(kind, "i"), color, THIN)


def load_arrow(canvas: Canvas, x: float, y: float) -> None:
    """The end of a wire that goes on to the loads."""
    canvas.line(((x - 8, y), (x + 3, y)), INK, THIN)
    canvas.line(((x - 1, y - 3), (x + 4, y), (x - 1, y + 3)), INK, THIN)


def joint(canvas: Canvas, x: float, y: float, color: str, radius: float = 2.6) -> None:
    """Wires that are joined."""
    canvas.solid(_circle(x, y, radius), color)


def ring(canvas: Canvas, x: float, y: float, color: str) -> None:
    """The mark round the point of connection."""
    _ring(canvas, x, y, 5.4, color, 1.2)


def _lettered(canvas: Canvas, x: float, y: float, letter: str, color: str, width: float) -> None:
    _ring(canvas, x, y, CIRCLE, color, width)
    canvas.text(x, y + 3, letter, color, "center")


def _ring(canvas: Canvas, x: float, y: float, radius: float, color: str, width: float) -> None:
    canvas.outlined(_circle(x, y, radius), color, width)


def _circle(x: float, y: float, radius: float):
    return _ellipse(x, y, radius, radius, 0.0, 360.0)[:-1]


def _ellipse(x: float, y: float, across: float, up: float, first_deg: float, last_deg: float):
    angles = [math.radians(first_deg + (last_deg - first_deg) * k / _ROUND) for k in range(_ROUND + 1)]
    return [(x + across * math.cos(angle), y + up * math.sin(angle)) for angle in angles]


def _set(canvas: Canvas, element, x: float, y: float, scale: float, middle: tuple[float, float], turn_deg: float,
         color: str, width: float) -> None:
    """An element of the library with its point `middle` at (x, y), turned against the clock."""
    place = Transform(turn_deg, (0.0, 0.0), (-middle[0], -middle[1]), scale)
    for segment in element.segments:
        for points in _strokes(segment):
            if len(points) > 1:
                canvas.line([(x + p.x, y - p.y) for p in place.transform_array(points)], color, width)


def _strokes(segment) -> list[list[tuple[float, float]]]:
    """The segment as lines, in the element's own measure; its breaks are written as points that are no number."""
    if isinstance(segment, Segment):
        lines = [[]]
        for px, py in segment.path:
            if math.isnan(px):
                lines.append([])
            else:
                lines[-1].append((px, py))
        return lines
    if isinstance(segment, SegmentCircle):
        return [_ellipse(*segment.center, segment.radius, segment.radius, 0.0, 360.0)]
    if isinstance(segment, SegmentArc):
        return [_ellipse(*segment.center, segment.width / 2, segment.height / 2, segment.theta1, segment.theta2)]
    raise TypeError(f"a {type(segment).__name__} of the symbol library cannot be drawn here")
