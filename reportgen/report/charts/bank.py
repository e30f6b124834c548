"""What is left in the bank at the end of each month of a settled year: kWh, or credit in money."""

from __future__ import annotations

from reportgen.assessment import Assessment
from reportgen.describe.fields import MONTHS
from reportgen.figures import show
from reportgen.report.charts.canvas import WIDTH, Canvas, box
from reportgen.report.charts.key import Mark, draw_key, key_height
from reportgen.report.charts.lettering import LINE
from reportgen.report.charts.month_frame import month_frame
from reportgen.report.charts.scale import scale_for
from reportgen.report.palette import BANK, BANK_TEXT, INK

_PLOT = 62.0
_SEEN = 0.01      # of the highest level: what is less can't be seen


def draw_bank(assessment: Assessment) -> str | None:
    """Nothing where no month leaves anything in the bank."""
    months = assessment.bills.after.months
    currency = assessment.payback.currency
    in_kwh = any(month.bank_kwh > 0.05 for month in months)
    unit = "kWh" if in_kwh else currency
    left = [month.bank_kwh if in_kwh else float(month.bank_money) for month in months]
    gone = [month.lost_kwh if in_kwh else float(month.lost_money) for month in months]
    if max(left) <= 0:
        return None
    most = max(range(12), key=left.__getitem__)
    title = f"The bank by month: at its highest at the end of {MONTHS[most]}, {show(left[most], unit)}."
    marks = [Mark("solid", BANK, "left in the bank at the month's end", BANK_TEXT)]
    if max(gone) > _SEEN * max(left):
        marks.append(Mark("hatched", BANK, "taken out without pay", BANK_TEXT))
    top = key_height(marks) + 8
    y = scale_for([a + b for a, b in zip(left, gone, strict=True)], top + _PLOT, top)
    canvas = Canvas(top + _PLOT + LINE + 4)
    draw_key(canvas, marks)
    x0, slot = month_frame(canvas, y, unit, most=3)
    solid, hatched = [], []
    for i in range(12):
        middle = x0 + slot * (i + 0.5)
        for shapes, low, high in ((solid, 0.0, left[i]), (hatched, left[i], left[i] + gone[i])):
            if y(low) - y(high) > 0.2:
                shapes.append(box(middle - 0.3 * slot, y(high), middle + 0.3 * slot, y(low)))
    canvas.solids(BANK, *solid)
    canvas.hatched(BANK, *hatched)
    canvas.line(((x0, y(0.0)), (WIDTH, y(0.0))), INK, 0.8)
    return canvas.svg("bank", title)
