"""Twelve months, two bars each: what the sun gives beside what is used, and the bill before beside the bill after."""

from __future__ import annotations

from collections.abc import Sequence

from reportgen.assessment import Assessment
from reportgen.bills.months import month_sums
from reportgen.describe.fields import MONTHS
from reportgen.figures import show
from reportgen.report.charts.canvas import WIDTH, Canvas, box
from reportgen.report.charts.key import Mark, draw_key, key_height
from reportgen.report.charts.lettering import LINE, room
from reportgen.report.charts.scale import scale_for, tick_texts, ticks_for
from reportgen.report.palette import GREY, INK, RULE, SUN, SUN_TEXT, USE, USE_TEXT

_PLOT = 118.0


def draw_monthly(assessment: Assessment) -> str:
    """How far the sun of each month goes towards the use of that month."""
    given = assessment.production.month_kwh
    used = month_sums(assessment.bills.use_hours_kwh)
    year = assessment.production.year
    range_text = f" ({year.span_text()})" if year.span_text() else ""
    use_text = show(float(sum(used)), "kWh")
    title = (f"Sun and use by month: the roof gives {year.text()} in a middle year{range_text}; "
             f"{use_text} are used in a year.")
    marks = [Mark("solid", SUN, f"from the sun: {year.text()} a year", SUN_TEXT),
             Mark("hatched", USE, f"used: {use_text} a year", USE_TEXT)]
    return _draw_pairs("monthly", title, "kWh", marks, given, used)


def draw_bills(assessment: Assessment) -> str:
    """The bill of each month before and after, at today's prices."""
    before, after = assessment.bills.before, assessment.bills.after
    currency = assessment.payback.currency
    texts = [show(float(bill.total), currency) for bill in (before, after)]
    title = f"The bill month by month: {texts[0]} a year before, {texts[1]} after, at today's prices."
    marks = [Mark("hatched", USE, f"before: {texts[0]} a year", USE_TEXT),
             Mark("solid", USE_TEXT, f"after: {texts[1]} a year", USE_TEXT)]
    return _draw_pairs("bills", title, currency, marks, *([float(month.total) for month in bill.months]
                                                          for bill in (before, after)))


def _draw_pairs(name: str, title: str, unit: str, marks: list[Mark], left: Sequence[float],
                right: Sequence[float]) -> str:
    top = key_height(marks) + 8
    y = scale_for((*left, *right), top + _PLOT, top)
    ticks = ticks_for(y.low, y.high, most=5)
    texts = tick_texts(ticks, unit)
    x0 = max(room(t) for t in texts) + 5
    canvas = Canvas(top + _PLOT + LINE + 4)
    draw_key(canvas, marks)

    for value, text in zip(ticks, texts):
        canvas.line(((x0, y(value)), (WIDTH, y(value))), RULE, 0.5)
        canvas.text(x0 - 5, y(value) + 3, text, GREY, "right")

    slot = (WIDTH - x0) / 12
    names = [month[:3] for month in MONTHS]
    if max(room(n) for n in names) + 2 > slot:
        names = [month[0] for month in MONTHS]
    hatched = []
    for i, month in enumerate(names):
        middle = x0 + slot * (i + 0.5)
        for mark, value, a, b in ((marks[0], left[i], -0.42, -0.02), (marks[1], right[i], 0.02, 0.42)):
            if abs(y(value) - y(0.0)) > 0.2:
                shape = box(middle + a * slot, y(value), middle + b * slot, y(0.0))
                if mark.kind == "solid":
                    canvas.solid(shape, mark.color)
                else:
                    hatched.append(shape)
        canvas.text(middle, top + _PLOT + LINE, month, anchor="center")
    canvas.hatched(USE, *hatched)
    canvas.line(((x0, y(0.0)), (WIDTH, y(0.0))), INK, 0.8)
    return canvas.svg(name, title)
