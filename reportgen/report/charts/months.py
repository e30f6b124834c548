"""Twelve months, two bars each: what the sun gives beside what is used."""

from __future__ import annotations

from reportgen.assessment import Assessment
from reportgen.bills.months import month_sums
from reportgen.figures import show
from reportgen.report.charts.canvas import WIDTH, Canvas, box
from reportgen.report.charts.key import Mark, draw_key, key_height
from reportgen.report.charts.lettering import LINE
from reportgen.report.charts.month_frame import month_frame
from reportgen.report.charts.scale import scale_for
from reportgen.report.palette import INK, SUN, SUN_TEXT, USE, USE_TEXT

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
    top = key_height(marks) + 8
    y = scale_for((*given, *used), top + _PLOT, top)
    canvas = Canvas(top + _PLOT + LINE + 4)
    draw_key(canvas, marks)
    x0, slot = month_frame(canvas, y, "kWh", most=5)
    hatched = []
    for i in range(12):
        middle = x0 + slot * (i + 0.5)
        for value, a, b, is_sun in ((given[i], -0.42, -0.02, True), (used[i], 0.02, 0.42, False)):
            if abs(y(value) - y(0.0)) > 0.2:
                shape = box(middle + a * slot, y(value), middle + b * slot, y(0.0))
                if is_sun:
                    canvas.solid(shape, SUN)
                else:
                    hatched.append(shape)
    canvas.hatched(USE, *hatched)
    canvas.line(((x0, y(0.0)), (WIDTH, y(0.0))), INK, 0.8)
    return canvas.svg("monthly", title)
