"""The whole roof seen from straight above, north up: each face in true proportion, the faces side by side."""

from __future__ import annotations

import math
from math import radians, sin

from reportgen.assessment import Assessment
from reportgen.describe.fields import COMPASS_DEG
from reportgen.describe.roof import RoofFace
from reportgen.figures import show
from reportgen.production.layout.result import THING, FaceLayout
from reportgen.report.charts.canvas import WIDTH, Canvas
from reportgen.report.charts.lettering import LINE, room, wrapped
from reportgen.report.drawings import parts
from reportgen.report.palette import GREY, INK, SUN

MOST_HEIGHT = 230.0         # of all rows of faces [points]
GAP = 26.0                  # between two faces; holds the arrows
ARROW = 14.0
CELL_LEAST = 70.0
UNPLACED = ("Where the faces lie on the house is not known: they stand side by side, those that look west on the left, east on the "
            "right. Thick line: the eave.")


class _Cell:
    """One face turned so that north is up, its upper left corner at (0, 0) [m]."""

    def __init__(self, layout: FaceLayout, described: RoofFace, letter: str):
        self.layout, self.described, self.letter = layout, described, letter
        turned = [self._turn(p) for p in layout.corners]
        self._x, self._y = min(p[0] for p in turned), min(p[1] for p in turned)
        self.wide, self.high = max(p[0] for p in turned) - self._x, max(p[1] for p in turned) - self._y
        word = min(COMPASS_DEG, key=lambda w: abs((described.facing_deg - COMPASS_DEG[w] + 180) % 360 - 180))
        self.words = f"{letter}, {word}"
        self.line = (f"{letter}\u00a0 {layout.name}: looks {word} ({show(described.facing_deg, '°', 0)}), "
                     f"{len(layout.modules)} {'module' if len(layout.modules) == 1 else 'modules'}")

    def _turn(self, point):
        """From the face to the ground seen from above: east to the right, north up."""
        facing = math.radians(self.described.facing_deg)
        x, y = point[0], point[1] * math.cos(math.radians(self.described.tilt_deg))
        east = -x * math.cos(facing) - y * math.sin(facing)
        north = x * math.sin(facing) - y * math.cos(facing)
        return (east, -north)

    def at(self, point):
        x, y = self._turn(point)
        return (x - self._x, y - self._y)

    def width(self, scale: float) -> float:
        return max(self.wide * scale, CELL_LEAST, room(self.words)) + GAP


def draw_plan(assessment: Assessment, letters: dict[int, str]) -> str | None:
    """letters: by the face's index. None where fewer than two faces are known in shape."""
    layout, house = assessment.layout, assessment.house
    if layout is None or len(layout.faces) < 2:
        return None
    cells = [_Cell(f, house.roof[f.index], letters[f.index]) for f in layout.faces]
    cells.sort(key=lambda c: (round(sin(radians(c.described.facing_deg)), 6), c.letter))
    scale, rows = _fit(cells)
    lines = [w for cell in sorted(cells, key=lambda c: c.letter) for w in wrapped(cell.line, WIDTH)]
    lines += wrapped(UNPLACED, WIDTH)
    if layout.unknown:
        lines += wrapped(f"Not drawn, since their size is not given: {', '.join(layout.unknown)}.", WIDTH, 3)
    body = sum(_row_height(row, scale) for row in rows)
    foot = body + LINE * len(lines) + 6
    canvas = Canvas(foot + parts.COMPASS)
    y = 0.0
    for row in rows:
        _draw_row(canvas, row, scale, y)
        y += _row_height(row, scale)
    for k, words in enumerate(lines):
        canvas.text(0, body + LINE * (k + 1) - 3, words)
    parts.scale_bar(canvas, 0, foot + 16, scale, layout.in_feet, WIDTH / 4)
    canvas.text(0, foot + 38, parts.NOT_FOR_CONSTRUCTION, GREY)
    parts.north_arrow(canvas, WIDTH - 26, foot + parts.COMPASS / 2 + 3, 0.0)
    total = sum(len(f.modules) for f in layout.faces)
    return canvas.svg("roof-plan", f"The roof from above: {total} modules on {len(cells)} faces, north up. {UNPLACED}")


def _fit(cells) -> tuple[float, list[list[_Cell]]]:
    """The largest scale at which all faces fit, and the rows they stand in."""
    scale = min(WIDTH - GAP, MOST_HEIGHT) / max(max(c.wide for c in cells), max(c.high for c in cells))
    while True:
        rows, used = [[]], 0.0
        for cell in cells:
            wide = cell.width(scale)
            if rows[-1] and used + wide > WIDTH:
                rows.append([])
                used = 0.0
            rows[-1].append(cell)
            used += wide
        if sum(_row_height(row, scale) for row in rows) <= MOST_HEIGHT + (LINE + 2 * ARROW) * len(rows) or scale < 1.0:
            return scale, rows
        scale *= 0.95


def _row_height(row, scale: float) -> float:
    return max(c.high for c in row) * scale + LINE + 2 * ARROW + 8


def _draw_row(canvas: Canvas, row, scale: float, top: float) -> None:
    spare = (WIDTH - sum(c.width(scale) for c in row)) / 2
    tallest, x = max(c.high for c in row) * scale, max(0.0, spare)
    for cell in row:
        wide = cell.width(scale)
        left = x + (wide - cell.wide * scale) / 2
        head = top + ARROW + 4 + (tallest - cell.high * scale) / 2
        _draw_cell(canvas, cell, scale, left, head)
        canvas.text(x + wide / 2, top + tallest + 2 * ARROW + LINE + 2, cell.words, anchor="center", semibold=True)
        x += wide


def _draw_cell(canvas: Canvas, cell: _Cell, scale: float, left: float, head: float) -> None:
    def at(point):
        x, y = cell.at(point)
        return (left + x * scale, head + y * scale)

    for m in cell.layout.modules:
        canvas.outlined([at(p) for p in ((m.left, m.low), (m.right, m.low), (m.right, m.high), (m.left, m.high))], SUN, 0.7)
    things = [zone.thing for zone in cell.layout.zones if zone.kind == THING and zone.thing is not None]
    canvas.hatched(GREY, *([at(p) for p in thing.outer] for thing in things))
    canvas.outlined([at(p) for p in cell.layout.corners], INK, 1.0)
    low = [p for p in cell.layout.corners if p[1] < 0.01]
    ends = (min(low), max(low))
    middle = at(((ends[0][0] + ends[1][0]) / 2, 0.0))
    facing = math.radians(cell.described.facing_deg)
    canvas.line([at(p) for p in ends], INK, 2.0)
    parts.arrow(canvas, middle, (middle[0] + ARROW * math.sin(facing), middle[1] - ARROW * math.cos(facing)))
