"""Room for labels inside a busy picture: a label stands where it meets nothing, or is left out."""

from __future__ import annotations

from itertools import pairwise

from reportgen.report.charts.canvas import WIDTH, Canvas
from reportgen.report.charts.lettering import PHONE_SIZE, room
from reportgen.report.palette import INK

_UP, _DOWN = 0.72 * PHONE_SIZE, 0.24 * PHONE_SIZE    # of a line of text, above and below its baseline


class Labels:
    """What is taken on a sheet. Shapes may never be met; marks (points of lines) are kept clear of where there is room."""

    def __init__(self, canvas: Canvas, left: float, top: float, foot: float):
        self._canvas, self._left, self._top, self._foot = canvas, left, top, foot
        self._taken: list[tuple[float, float, float, float]] = []
        self._points: list[tuple[float, float]] = []

    def take(self, points) -> None:
        """A filled shape; its upright box is taken."""
        xs, ys = zip(*points)
        self._taken.append((min(xs), min(ys), max(xs), max(ys)))

    def cross(self, points) -> None:
        """A line through these points."""
        for (x, y), (to_x, to_y) in pairwise(points):
            parts = 1 + int(max(abs(to_x - x), abs(to_y - y)) / 3.0)
            self._points += [(x + (to_x - x) * k / parts, y + (to_y - y) * k / parts) for k in range(parts + 1)]

    def put(self, words: str, places, color: str = INK, semibold: bool = False) -> bool:
        """Write at the first of `places` (x, baseline, anchor) that is free, best one that crosses no line either."""
        boxes = [(place, self._box(words, semibold, *place)) for place in places]
        free = [(place, box) for place, box in boxes if self._fits(box)]
        if not free:
            return False
        place, box = next(((p, b) for p, b in free if not self._crosses(b)), free[0])
        x, y, anchor = place
        self._canvas.text(x, y, words, color, anchor, semibold)
        self._taken.append(box)
        return True

    def _box(self, words, semibold, x, y, anchor):
        wide = room(words, semibold)
        left = x - wide * {"left": 0.0, "center": 0.5, "right": 1.0}[anchor]
        return left, y - _UP, left + wide, y + _DOWN

    def _fits(self, box) -> bool:
        left, top, right, foot = box
        if left < self._left or right > WIDTH or top < self._top or foot > self._foot:
            return False
        return not any(left < r and l < right and top < f and t < foot for l, t, r, f in self._taken)

    def _crosses(self, box) -> bool:
        left, top, right, foot = box
        return any(left <= x <= right and top <= y <= foot for x, y in self._points)
