"""What drawings share: the reader's units, dimension lines, a scale bar, a north arrow, and letters on what is named."""

from __future__ import annotations

import math

from reportgen.describe.fields import FT_M
from reportgen.figures import show
from reportgen.production.layout.rules import INCH_M
from reportgen.report.charts.canvas import Canvas, box
from reportgen.report.charts.lettering import PHONE_SIZE, SIZE, room
from reportgen.report.palette import GREY, INK, PAPER

TICK = 3.0
TAG = 11.0            # side of the little box behind a letter [points]
COMPASS = 46.0        # room that the north arrow takes, both ways
BAR_LENGTHS = (0.5, 1, 2, 5, 10, 20, 50, 100)
NOT_FOR_CONSTRUCTION = "For discussion, not for construction."


def length_text(metres: float, in_feet: bool) -> str:
    """'38 ft', '11.6 m'."""
    return show(metres / FT_M, "ft") if in_feet else show(metres, "m", 2 if metres < 10 else 1)


def small_text(metres: float, in_feet: bool) -> str:
    """'36 in', '0.91 m'."""
    return show(metres / INCH_M, "in", 0) if in_feet else show(metres, "m", 2)


def size_text(width_m: float, depth_m: float, in_feet: bool) -> str:
    """'2.5 × 2 ft'."""
    return f"{length_text(width_m, in_feet).rpartition(' ')[0]} × {length_text(depth_m, in_feet)}"


class Taken:
    """Where texts stand already, so that the next keeps away."""

    def __init__(self):
        self._boxes: list[tuple[float, float, float, float]] = []

    def claim(self, x: float, y: float, words: str, anchor: str = "center", only_if_free: bool = True) -> bool:
        """Room for `words` at baseline y as large as on a phone; False where something stands there."""
        wide = room(words)
        left = x - {"left": 0.0, "center": wide / 2, "right": wide}[anchor]
        found = (left, y - 0.75 * PHONE_SIZE, left + wide, y + 0.25 * PHONE_SIZE)
        if only_if_free and any(found[0] < b[2] and b[0] < found[2] and found[1] < b[3] and b[1] < found[3]
                                for b in self._boxes):
            return False
        self._boxes.append(found)
        return True


def tag(canvas: Canvas, taken: Taken, x: float, y: float, letter: str) -> None:
    """A letter in a little box whose middle is (x, y)."""
    shape = box(x - TAG / 2, y - TAG / 2, x + TAG / 2, y + TAG / 2)
    canvas.solid(shape, PAPER)
    canvas.outlined(shape, GREY, 0.5)
    canvas.text(x, y + SIZE * 0.35, letter, anchor="center", semibold=True)
    taken.claim(x, y + SIZE * 0.35, letter + "m", only_if_free=False)


def dimension_across(canvas: Canvas, left: float, right: float, y: float, words: str) -> None:
    """A level dimension line with its words under it."""
    canvas.line(((left, y), (right, y)), GREY, 0.5)
    for x in (left, right):
        canvas.line(((x - TICK / 2, y + TICK), (x + TICK / 2, y - TICK)), GREY, 0.8)
    canvas.text((left + right) / 2, y + 11, words, anchor="center")


def dimension_up(canvas: Canvas, x: float, top: float, foot: float, words: str) -> None:
    """An upright dimension line with its words to its left."""
    canvas.line(((x, top), (x, foot)), GREY, 0.5)
    for y in (top, foot):
        canvas.line(((x - TICK, y + TICK / 2), (x + TICK, y - TICK / 2)), GREY, 0.8)
    canvas.text(x - 6, (top + foot) / 2 + 3, words, anchor="right")


def scale_bar(canvas: Canvas, x: float, y: float, points_per_m: float, in_feet: bool, most: float) -> None:
    """A bar of a round length, half of it filled, with its words after it."""
    unit_m, unit = (FT_M, "ft") if in_feet else (1.0, "m")
    length = max((n for n in BAR_LENGTHS if n * unit_m * points_per_m <= most), default=BAR_LENGTHS[0])
    wide = length * unit_m * points_per_m
    canvas.solid(box(x, y - 4, x + wide / 2, y), INK)
    canvas.outlined(box(x, y - 4, x + wide, y), INK, 0.6)
    canvas.text(x + wide + 6, y, f"{length:g} {unit}")


def north_arrow(canvas: Canvas, x: float, y: float, north_deg: float) -> None:
    """north_deg: clockwise from straight up on the sheet. (x, y): its middle."""
    angle = math.radians(north_deg)
    sin, cos = math.sin(angle), math.cos(angle)

    def at(along: float, aside: float = 0.0):
        return (x + along * sin + aside * cos, y - along * cos + aside * sin)

    canvas.line((at(-12), at(5)), INK, 0.9)
    canvas.solid((at(12), at(3, 4), at(3, -4)), INK)
    tip = at(18)
    canvas.text(tip[0], tip[1] + 3, "N", anchor="center", semibold=True)


def arrow(canvas: Canvas, start, end, color: str = INK) -> None:
    """A thin arrow from one point to another."""
    dx, dy = end[0] - start[0], end[1] - start[1]
    length = math.hypot(dx, dy)
    dx, dy = dx / length, dy / length
    neck = (end[0] - 5 * dx, end[1] - 5 * dy)
    canvas.line((start, neck), color, 0.9)
    canvas.solid((end, (neck[0] - 2.5 * dy, neck[1] + 2.5 * dx), (neck[0] + 2.5 * dy, neck[1] - 2.5 * dx)), color)
