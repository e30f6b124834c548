"""The frame of a picture by month: ticks at the left, thin lines across, twelve names below."""

from __future__ import annotations

from reportgen.describe.fields import MONTHS
from reportgen.report.charts.canvas import WIDTH, Canvas
from reportgen.report.charts.lettering import LINE, room
from reportgen.report.charts.scale import Scale, tick_texts, ticks_for
from reportgen.report.palette import GREY, RULE


def month_frame(canvas: Canvas, y: Scale, unit: str, most: int) -> tuple[float, float]:
    """Draws it; gives the left edge of the plot and the width of a month [points]. most: ticks."""
    ticks = ticks_for(y.low, y.high, most)
    texts = tick_texts(ticks, unit)
    x0 = max(room(t) for t in texts) + 5
    for value, text in zip(ticks, texts, strict=True):
        canvas.line(((x0, y(value)), (WIDTH, y(value))), RULE, 0.5)
        canvas.text(x0 - 5, y(value) + 3, text, GREY, "right")
    slot = (WIDTH - x0) / 12
    names = [month[:3] for month in MONTHS]
    if max(room(n) for n in names) + 2 > slot:
        names = [month[0] for month in MONTHS]
    for i, name in enumerate(names):
        canvas.text(x0 + slot * (i + 0.5), y.at_low + LINE, name, anchor="center")
    return x0, slot
