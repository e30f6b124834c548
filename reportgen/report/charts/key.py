"""The line over a picture that says what each mark is, with the mark itself beside the words."""

from __future__ import annotations

from dataclasses import dataclass

from reportgen.report.charts.canvas import WIDTH, Canvas, box
from reportgen.report.charts.lettering import LINE, room, shortened
from reportgen.report.palette import INK

_MARK, _GAP = 16.0, 12.0


@dataclass(frozen=True)
class Mark:
    """kind: "solid", "hatched", "outlined", "line" (flat), "dashed" (flat) or "limit" (upright line)."""

    kind: str
    color: str
    words: str
    text_color: str = INK


def key_height(marks: list[Mark]) -> float:
    """Room that the key takes [points]."""
    return LINE * (_places(marks)[-1][1] + 1) + 3 if marks else 0.0


def draw_key(canvas: Canvas, marks: list[Mark], top: float = 0.0) -> None:
    for mark, (x, row, words) in zip(marks, _places(marks)):
        y = top + row * LINE + LINE - 3
        draw_mark(canvas, mark, x, y)
        canvas.text(x + _MARK, y, words, mark.text_color)


def draw_mark(canvas: Canvas, mark: Mark, x: float, y: float) -> None:
    shape = box(x + 0.5, y - 6.5, x + _MARK - 4, y)
    if mark.kind == "solid":
        canvas.solid(shape, mark.color)
    elif mark.kind == "outlined":
        canvas.outlined(shape, mark.color)
    elif mark.kind == "limit":
        canvas.line(((x + 6, y - 8), (x + 6, y + 1)), mark.color, 1.6)
    elif mark.kind == "hatched":
        canvas.hatched(mark.color, shape)
    else:
        canvas.line(((x, y - 3), (x + _MARK - 3, y - 3)), mark.color, 1.6, dashed=mark.kind == "dashed")


def _places(marks: list[Mark]) -> list[tuple[float, int, str]]:
    """x, row and words of each: from left to right, the next row where the line is full."""
    x, row, found = 0.0, 0, []
    for mark in marks:
        words = shortened(mark.words, WIDTH - _MARK - 4)
        takes = _MARK + room(words)
        if x > 0 and x + takes > WIDTH:
            x, row = 0.0, row + 1
        found.append((x, row, words))
        x += takes + _GAP
    return found
