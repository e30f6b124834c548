"""Month by hour: a square for each of 288 average hours, as large as the sun in it, filled as far as it is used at once."""

from __future__ import annotations

from math import sqrt

import numpy as np

from reportgen.assessment import Assessment
from reportgen.describe.fields import MONTHS
from reportgen.figures import show, show_number
from reportgen.report.charts.by_hour import hourly_sums
from reportgen.report.charts.canvas import WIDTH, Canvas, box
from reportgen.report.charts.key import Mark, draw_key, key_height
from reportgen.report.charts.lettering import LINE, room
from reportgen.report.palette import GREY, RULE, SUN, SUN_TEXT

_LEAST = 0.01     # of the largest square: what is smaller would be a dot


def draw_hours_grid(assessment: Assessment) -> str | None:
    """In which hours of which months the sun is used at once, and in which it is sent out."""
    hours = hourly_sums(assessment)
    made, used = hours.sun / hours.count, hours.at_once / hours.count
    largest = float(made.max())
    if largest <= 0:
        return None
    month, hour = np.unravel_index(int(np.argmax(hours.sun - hours.at_once)), (12, 24))
    title = (f"Month by hour: most is sent out in {MONTHS[month]} from {hour} to {hour + 1} o'clock, "
             f"{show(float((made - used)[month, hour]), 'kWh', 1)} of {show(float(made[month, hour]), 'kWh', 1)} in an average hour.")
    marks = [Mark("outlined", SUN, f"sun in that hour; the largest square is {show(largest, 'kWh', 1)}", SUN_TEXT),
             Mark("solid", SUN, "of it used at once", SUN_TEXT)]
    head = key_height(marks) + 6
    x0 = max(room(name[:3]) for name in MONTHS) + 6
    wide, high = (WIDTH - x0) / 24, LINE + 1.0
    canvas = Canvas(head + 12 * high + 2 * LINE + 8)
    draw_key(canvas, marks)
    side = min(wide, high) - 1.2
    outlined, filled = [], []
    for i, name in enumerate(MONTHS):
        middle = head + (i + 0.5) * high
        canvas.text(x0 - 6, middle + 3, name[:3], GREY, "right")
        for k in range(24):
            if made[i, k] < _LEAST * largest:
                continue
            half, x = side * sqrt(made[i, k] / largest) / 2, x0 + (k + 0.5) * wide
            outlined.append(box(x - half, middle - half, x + half, middle + half))
            share = min(1.0, used[i, k] / made[i, k])
            if share * half > 0.15:
                filled.append(box(x - half, middle + half - 2 * half * share, x + half, middle + half))
    foot = head + 12 * high
    for k in (0, 6, 12, 18, 24):
        x = x0 + k * wide
        canvas.line(((x, head), (x, foot + 3)), RULE, 0.5)
    canvas.solids(SUN, *filled)
    canvas.outlines(SUN, *outlined, width=0.6)
    for k in (0, 6, 12, 18, 24):
        canvas.text(x0 + k * wide, foot + LINE, show_number(k, 0), GREY, "right" if k == 24 else "center")
    canvas.text(x0, foot + 2 * LINE + 2, f"Hour of the day, {hours.clock}", GREY)
    return canvas.svg("hours-grid", title)
