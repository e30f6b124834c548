"""The sheet of a one-line diagram: rows from top to foot, wires down its left side, words beside them.

A row holds one thing, so that no words can meet others however many things a house has.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from reportgen.report.charts.canvas import WIDTH, Canvas, box
from reportgen.report.charts.lettering import tied, wrapped
from reportgen.report.drawings.symbols import CIRCLE, SIZE, THICK, THIN, breaker
from reportgen.report.palette import GREY, INK, SUN, SUN_TEXT

BYPASS, BESIDE, SPINE = 11.0, 28.0, 38.0   # a wire past the panels; one inside a panel, past its busbar; what all else hangs on
LANES = {1: (38.0,), 2: (26.0, 50.0), 3: (14.0, 38.0, 62.0)}
TAP_BREAKER, TAP_END = 53.0, 71.0     # of what hangs on a busbar
WORDS_X = 90.0
WORDS_ROOM = WIDTH - WORDS_X - 5.0
LINE = 12.0          # closer than in other pictures, since a page must hold the whole; holds the phone's letters still
_GAP = 3.0
NEW, THERE, BUSBAR, NEW_BUSBAR = "new", "there", "busbar", "new busbar"
STROKES = {NEW: (SUN, THICK), THERE: (INK, THIN), BUSBAR: (INK, 3.4), NEW_BUSBAR: (SUN, 3.4)}


@dataclass(frozen=True)
class Wire:
    x: float
    kind: str                  # NEW, THERE or BUSBAR
    clear: float = 0.0         # how far from the row's middle it ends, where a symbol stands


@dataclass(frozen=True)
class Row:
    """One thing with its words. Wires run from its middle up and down; `art` draws the rest at the middle."""

    lines: tuple[str, ...]
    above: tuple[Wire, ...] = ()
    below: tuple[Wire, ...] = ()
    art: Callable[[Canvas, float], None] | None = None
    panel: int | None = None   # rows of one panel stand next to each other and are framed together
    bold: bool = False         # the first line
    new: bool = False          # words in the colour of what the sun gives
    least: float = 17.0        # room for the symbol

    @property
    def height(self) -> float:
        return max(LINE * len(self.lines), self.least) + _GAP


def words(*parts: str, most: int = 2) -> tuple[str, ...]:
    """Each part on lines of its own beside the wires; no line ends between a number and its unit."""
    return tuple(line for part in parts if part for line in wrapped(tied(part), WORDS_ROOM, most))


def rows_height(rows: list[Row]) -> float:
    return sum(row.height for row in rows)


def draw_rows(canvas: Canvas, rows: list[Row], top: float) -> None:
    frames: dict[int, list[float]] = {}
    for row in rows:
        if row.panel is not None:
            frames.setdefault(row.panel, [top, top])[1] = top + row.height
        _draw_row(canvas, row, top)
        top += row.height
    for start, end in frames.values():
        canvas.outlined(box(SPINE - 15.0, start + 1, WIDTH - 0.5, end - 1), GREY, 0.7, dashed=True)


def _draw_row(canvas: Canvas, row: Row, top: float) -> None:
    middle, foot = top + row.height / 2, top + row.height
    for wire in row.above:
        canvas.line(((wire.x, top), (wire.x, middle - wire.clear)), *STROKES[wire.kind])
    for wire in row.below:
        canvas.line(((wire.x, middle + wire.clear), (wire.x, foot)), *STROKES[wire.kind])
    if row.art is not None:
        row.art(canvas, middle)
    first = middle - LINE * len(row.lines) / 2 + LINE / 2 + 3.0
    for k, line in enumerate(row.lines):
        canvas.text(WORDS_X, first + LINE * k, line, SUN_TEXT if row.new else INK, semibold=row.bold and k == 0)


def new_at(symbol, x: float, canvas: Canvas, y: float) -> None:
    symbol(canvas, x, y, SUN, 1.2)


def there_at(symbol, x: float, canvas: Canvas, y: float) -> None:
    symbol(canvas, x, y)


def hung(canvas: Canvas, y: float, end, reach: float = CIRCLE) -> None:
    """What hangs on the busbar: a wire, its breaker, and what is at its end."""
    canvas.line(((SPINE, y), (TAP_BREAKER - SIZE / 2, y)), *STROKES[THERE])
    breaker(canvas, TAP_BREAKER, y, upright=False)
    canvas.line(((TAP_BREAKER + SIZE / 2, y), (TAP_END - reach, y)), *STROKES[THERE])
    end(canvas, TAP_END, y)
