"""What moves the answer: for each uncertain input, how far the net present value goes from its low to its high."""

from __future__ import annotations

from dataclasses import dataclass

from reportgen.assessment import Assessment, Effect
from reportgen.figures import show, years_span
from reportgen.report.charts.canvas import WIDTH, Canvas, box
from reportgen.report.charts.lettering import LINE, one_line, room, shortened
from reportgen.report.charts.scale import Scale, tick_texts, ticks_for
from reportgen.report.palette import GREY, INK, PAPER

MOST = 8
_BAR, _ROW = 8.0, LINE + 15.0
_END = 100.0   # room for an end's words [points]


def draw_movers(assessment: Assessment) -> str | None:
    """The inputs that move the net present value most, largest first; None where none moves it."""
    payback = assessment.payback
    effects = sorted((e for e in assessment.effects if e.swing > 0), key=lambda e: (-e.swing, e.key))[:MOST]
    if not effects:
        return None
    middle, currency = payback.net_present_value.value, payback.currency
    rows = [_row(e, payback.horizon_years) for e in effects]
    first = effects[0]
    ends = [show(value, currency) for value in sorted(first.net_present_value)]
    title = (f"What moves the answer: most of all {first.label}, between {ends[0]} and {ends[1]} of net present value; "
             f"the middle is {show(middle, currency)}.")
    end_rooms = [max(map(room, side)) + 5 for side in ([r.left_words for r in rows], [r.right_words for r in rows])]
    x = Scale(min(middle, *(r.left for r in rows)), max(middle, *(r.right for r in rows)),
              end_rooms[0], WIDTH - end_rooms[1])
    head = LINE + 4
    canvas = Canvas(head + len(rows) * _ROW + 2 * LINE + 4)
    foot = head + len(rows) * _ROW

    canvas.text(0, LINE - 3, f"Net present value: {show(middle, currency)} in the middle", semibold=True)
    canvas.text(WIDTH, LINE - 3, "paid back", anchor="right", semibold=True)
    worse = []
    for i, row in enumerate(rows):
        y = head + i * _ROW
        canvas.text(0, y + LINE - 3, row.label)
        canvas.text(WIDTH, y + LINE - 3, row.years, GREY, "right")
        top, base = y + LINE + 1.5, y + LINE + 1.5 + _BAR
        if row.left < middle:
            worse.append(box(x(row.left), top, x(min(middle, row.right)), base))
        if row.right > middle:
            canvas.solid(box(x(max(middle, row.left)), top, x(row.right), base), GREY)
        canvas.line(((x(middle), top - 2), (x(middle), base + 2)), INK, 1.2)
        canvas.text(x(row.left) - 4, base - 1, row.left_words, anchor="right")
        canvas.text(x(row.right) + 4, base - 1, row.right_words)
    canvas.hatched(GREY, *worse)
    for i, row in enumerate(rows):   # an input that can turn a gain into a loss is crossed by a line at zero
        if row.left < 0.0 < row.right:
            y = head + i * _ROW + LINE + 1.5
            for color, thick in ((PAPER, 2.6), (INK, 0.9)):
                canvas.line(((x(0.0), y), (x(0.0), y + _BAR)), color, thick)
    _draw_axis(canvas, x, foot, currency)
    return canvas.svg("movers", title)


@dataclass(frozen=True)
class _Row:
    label: str
    left: float          # the lower net present value
    right: float
    left_words: str      # the input's value that gives it
    right_words: str
    years: str           # in which it is paid back, from end to end


def _row(effect: Effect, horizon: int) -> _Row:
    label = one_line(f"{effect.label}: {effect.value_text}")
    years = years_span(*effect.payback_years, horizon)
    left = WIDTH - room(years) - 10
    if room(label) > left:
        label = shortened(effect.label, left)
    ends = sorted(zip(effect.net_present_value, (effect.low_text, effect.high_text)), key=lambda end: end[0])
    return _Row(label, ends[0][0], ends[1][0], *(_end_words(words) for _, words in ends), years)


def _end_words(words: str) -> str:
    """In full where there is room; else what stands before its first comma or "for". The whole stands in the list of assumptions."""
    if room(words) > _END:
        words = words.split(",")[0].split(" for ")[0]
    return shortened(words, _END)


def _draw_axis(canvas: Canvas, x: Scale, y: float, currency: str) -> None:
    """A line with a few amounts; zero comes first, others where there is room for them."""
    canvas.line(((x.at_low, y), (x.at_high, y)), INK, 0.8)
    ticks = ticks_for(x.low, x.high, most=3)
    taken: list[tuple[float, float]] = []
    for value, text in sorted(zip(ticks, tick_texts(ticks, currency)), key=lambda pair: abs(pair[0])):
        half = room(text) / 2
        left, right = x(value) - half, x(value) + half
        outside = not x.at_low - 0.5 <= x(value) <= x.at_high + 0.5 or left < 0 or right > WIDTH
        if outside or any(left < b + 8 and right > a - 8 for a, b in taken):
            continue
        taken.append((left, right))
        canvas.line(((x(value), y), (x(value), y + 3)), INK, 0.6)
        canvas.text(x(value), y + LINE, text, GREY, "center")
    canvas.text(0, y + 2 * LINE + 1, "Right of the middle line: better (solid). Left: worse (hatched).", GREY)
