"""Where the answer may end when all that is uncertain moves at once: every point that was tried, and the range of most of them."""

from __future__ import annotations

from math import floor

from reportgen.assessment import Assessment
from reportgen.figures import show, span
from reportgen.report.charts.canvas import WIDTH, Canvas, box
from reportgen.report.charts.lettering import LINE, room
from reportgen.report.charts.scale import Scale, tick_texts, ticks_for
from reportgen.report.palette import GREY, INK, PAPER

COLUMNS = 32
_HEIGHT, _BAR, _EDGE = 62.0, 7.0, 24.0


def draw_joint(assessment: Assessment) -> str | None:
    """Nothing in assessments made by hand."""
    joint, payback = assessment.joint, assessment.payback
    if joint is None:
        return None
    currency, found, cases = payback.currency, joint.net_present_value, payback.net_present_value
    worths = joint.sorted_worths
    step = max((worths[-1] - worths[0]) / COLUMNS, 1e-9)
    counts: dict[int, int] = {}
    for worth in worths:
        counts[floor(worth / step)] = counts.get(floor(worth / step), 0) + 1
    low = min(0.0, worths[0], cases.low)
    high = max(0.0, worths[-1], cases.high)
    x = Scale(low - step, high + step, _EDGE, WIDTH - _EDGE)
    tallest = max(counts.values())
    top = LINE + 4
    foot = top + _HEIGHT
    canvas = Canvas(foot + 4 * LINE + 2 * _BAR + 20)
    canvas.text(0, LINE - 3, f"Each column: how many of {joint.point_count} points end there", semibold=True)
    columns = {k: box(x(k * step), foot - n / tallest * _HEIGHT, x((k + 1) * step) - 0.6, foot) for k, n in counts.items()}
    canvas.solids(GREY, *(shape for k, shape in columns.items() if k >= 0))
    canvas.hatched(GREY, *(shape for k, shape in columns.items() if k < 0))
    canvas.line(((_EDGE, foot), (WIDTH - _EDGE, foot)), INK, 0.8)
    canvas.line(((x(0.0), top - 2), (x(0.0), foot + 3)), INK, 0.9)
    place = foot + 6
    for words, figure in (("eight points in ten", found), ("the three cases, for comparison", cases)):
        _bar(canvas, x, place, words, figure, currency)
        place += _BAR + LINE + 4
    _axis(canvas, x, place, currency)
    canvas.text(0, place + 2 * LINE + 1, "Worth in today’s money. Solid: ahead of doing nothing. Hatched: behind it.", GREY)
    below = sum(1 for worth in worths if worth < 0)
    return canvas.svg("joint", f"All moved together: eight points in ten end between {show(found.low, currency)} and {show(found.high, currency)}, "
                               f"the middle is {show(found.value, currency)}; {below} of {joint.point_count} end below zero.")


def _bar(canvas: Canvas, x: Scale, place: float, words: str, figure, currency: str) -> None:
    left, right = x(figure.low), x(figure.high)
    canvas.solid(box(left, place, max(right, left + 3), place + _BAR), GREY)
    for color, width in ((PAPER, 2.6), (INK, 0.9)):
        canvas.line(((x(0.0), place), (x(0.0), place + _BAR)), color, width)
    middle = x(figure.value)
    canvas.solid(box(middle - 2, place - 2, middle + 2, place + _BAR + 2), PAPER)
    canvas.solid(box(middle - 0.9, place - 2, middle + 0.9, place + _BAR + 2), INK)
    text = f"{span(figure.low, figure.high, currency)}: {words}"
    at = min(max((left + right) / 2, room(text) / 2 + 1), WIDTH - room(text) / 2 - 1)
    canvas.text(at, place + _BAR + LINE - 2, text, anchor="center")


def _axis(canvas: Canvas, x: Scale, y: float, currency: str) -> None:
    canvas.line(((_EDGE, y), (WIDTH - _EDGE, y)), INK, 0.8)
    ticks = ticks_for(x.low, x.high, most=4)
    taken = -1.0
    for value, text in zip(ticks, tick_texts(ticks, currency), strict=True):
        half = room(text) / 2
        canvas.line(((x(value), y), (x(value), y + 3)), INK, 0.6)
        if x(value) - half > taken and x(value) - half >= 0 and x(value) + half <= WIDTH:
            canvas.text(x(value), y + LINE, text, GREY, "center")
            taken = x(value) + half + 6
