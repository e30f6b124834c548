"""Twelve months, two bars each, the bill before beside the bill after, both made of their parts."""

from __future__ import annotations

from collections.abc import Sequence

from reportgen.assessment import Assessment
from reportgen.figures import show
from reportgen.report.bill_parts import Part, bill_parts
from reportgen.report.charts.canvas import POINTS, WIDTH, Canvas, box
from reportgen.report.charts.key import Mark, draw_key, key_height
from reportgen.report.charts.lettering import LINE
from reportgen.report.charts.month_frame import month_frame
from reportgen.report.charts.scale import Scale, scale_for
from reportgen.report.palette import GREY, INK, PAPER, SUN, SUN_TEXT, USE, USE_TEXT

_PLOT = 150.0
_ENERGY = (("solid", USE), ("hatched", USE), ("outlined", USE), ("solid", USE_TEXT), ("hatched", USE_TEXT))
_OTHERS = {"fixed": ("solid", GREY), "array": ("hatched", GREY), "demand": ("solid", INK), "minimum": ("outlined", INK),
           "tax": ("outlined", GREY), "credit": ("hatched", SUN)}
_BARS = ((-0.43, -0.03), (0.03, 0.43))


def draw_bills(assessment: Assessment) -> str:
    """The bill of each month before and after, at today's prices, and what each is made of."""
    bills, currency = assessment.bills, assessment.payback.currency
    parts = bill_parts(bills)
    texts = [show(float(bill.total), currency) for bill in (bills.before, bills.after)]
    title = (f"The bill month by month and part by part: {texts[0]} a year before, {texts[1]} after, at today's prices.")
    marks = _marks(parts)
    due = [[float(month.total) for month in bill.months] for bill in (bills.before, bills.after)]
    key = [Mark(kind, color, part.label, SUN_TEXT if color == SUN else USE_TEXT if color in (USE, USE_TEXT) else INK)
           for part, (kind, color) in zip(parts, marks, strict=True)]
    credit = next((part for part in parts if part.kind == "credit"), None)
    if credit is not None:
        key.append(Mark("line", INK, "due"))
    stacks = [_stacks(parts, side) for side in (0, 1)]
    top = key_height(key) + LINE + 8
    edges = [edge for side in stacks for month in side for _, low, high in month for edge in (low, high)]
    y = scale_for([0.0, *edges], top + _PLOT, top)
    canvas = Canvas(top + _PLOT + LINE + 4)
    draw_key(canvas, key)
    canvas.text(0, key_height(key) + LINE - 3, f"Left: before, {texts[0]} a year; right: after, {texts[1]}")
    x0, slot = month_frame(canvas, y, currency, most=5)
    _draw_parts(canvas, y, x0, slot, marks, stacks)
    canvas.line(((x0, y(0.0)), (WIDTH, y(0.0))), INK, 0.8)
    for side, (a, b) in enumerate(_BARS):
        for i in range(12):
            if credit is not None and (credit.before, credit.after)[side][i]:   # elsewhere the bar's own end is what is due
                middle, at = x0 + slot * (i + 0.5), y(due[side][i])
                ends = ((middle + (a - 0.03) * slot, at), (middle + (b + 0.03) * slot, at))
                canvas.line(ends, PAPER, 3.0)
                canvas.line(ends, INK, 1.6)
    return canvas.svg("bills", title)


def _marks(parts: Sequence[Part]) -> list[tuple[str, str]]:
    energy = iter(_ENERGY)
    return [next(energy) if part.kind == "energy" else _OTHERS[part.kind] for part in parts]


def _stacks(parts: Sequence[Part], side: int) -> list[list[tuple[int, float, float]]]:
    """For each month (part, from, to): what is due piles up from zero, what is taken off hangs down from it."""
    found = []
    for i in range(12):
        above, below, month = 0.0, 0.0, []
        for p, part in enumerate(parts):
            amount = float((part.before, part.after)[side][i])
            if amount > 0:
                month.append((p, above, above + amount))
                above += amount
            elif amount < 0:
                month.append((p, below + amount, below))
                below += amount
        found.append(month)
    return found


def _draw_parts(canvas: Canvas, y: Scale, x0: float, slot: float, marks: list[tuple[str, str]], stacks) -> None:
    shapes: list[list[POINTS]] = [[] for _ in marks]
    for (a, b), months in zip(_BARS, stacks, strict=True):
        for i, month in enumerate(months):
            middle = x0 + slot * (i + 0.5)
            for p, low, high in month:
                if abs(y(high) - y(low)) > 0.2:
                    # A hair less than its place, so that two solid parts stay apart.
                    inset = min(0.35, abs(y(high) - y(low)) / 4)
                    shapes[p].append(box(middle + a * slot, y(high) + inset, middle + b * slot, y(low) - inset))
    for (kind, color), found in zip(marks, shapes, strict=True):
        {"solid": canvas.solids, "hatched": canvas.hatched, "outlined": canvas.outlines}[kind](color, *found)
