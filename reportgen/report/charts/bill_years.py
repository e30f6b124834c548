"""The bill of each year without and with the sun at today's prices, where changes of use are to come."""

from __future__ import annotations

from reportgen.assessment import Assessment
from reportgen.figures import show, show_number
from reportgen.report.charts.canvas import WIDTH, Canvas
from reportgen.report.charts.key import Mark, draw_key, key_height
from reportgen.report.charts.lettering import LINE, room
from reportgen.report.charts.scale import Scale, scale_for, tick_texts, ticks_for
from reportgen.report.palette import GREY, INK, PAPER, RULE, USE, USE_TEXT

_PLOT = 80.0


def draw_bill_years(assessment: Assessment) -> str | None:
    """Nothing where no change of use is named."""
    years, currency = assessment.bills.changing_use, assessment.payback.currency
    if not years:
        return None
    ends = [show(value, currency) for value in (years[0].before, years[-1].before, years[0].after, years[-1].after)]
    title = (f"The bill over the years at today's prices: without the sun {ends[0]} in year {years[0].year} and {ends[1]} in year "
             f"{years[-1].year}, with it {ends[2]} and {ends[3]}.")
    marks = [Mark("dashed", USE, f"without the sun: {ends[0]}, in the last year {ends[1]}", USE_TEXT),
             Mark("line", USE_TEXT, f"with the sun: {ends[2]}, in the last year {ends[3]}", USE_TEXT)]
    top = key_height(marks) + 8
    y = scale_for([value for each in years for value in (each.before, each.after)], top + _PLOT, top)
    ticks = ticks_for(y.low, y.high)
    texts = tick_texts(ticks, currency)
    x0 = max(room(t) for t in texts) + 5
    canvas = Canvas(top + _PLOT + 2 * LINE + 6)
    draw_key(canvas, marks)
    for value, text in zip(ticks, texts, strict=True):
        canvas.line(((x0, y(value)), (WIDTH, y(value))), RULE, 0.5)
        canvas.text(x0 - 5, y(value) + 3, text, GREY, "right")
    x = Scale(0.0, float(len(years)), x0, WIDTH)
    for color, dashed, values in ((USE, True, [each.before for each in years]), (USE_TEXT, False, [each.after for each in years])):
        steps = [(x(k + d), y(value)) for k, value in enumerate(values) for d in (0, 1)]
        canvas.line(steps, PAPER, 3.0)
        canvas.line(steps, color, 1.6, dashed)
    canvas.line(((x0, y(0.0)), (WIDTH, y(0.0))), INK, 0.8)
    foot = top + _PLOT
    for k, each in enumerate(years):
        if each.year == 1 or each.year % 5 == 0:
            canvas.text(x(k + 0.5), foot + LINE, show_number(each.year, 0), GREY, "center")
    canvas.text(x0, foot + 2 * LINE, "Year with the sun", GREY)
    return canvas.svg("bill-years", title)
