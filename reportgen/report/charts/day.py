"""An average day of each season: the sun used at once, the sun sent out, what is taken from the grid, and the use."""

from __future__ import annotations

import numpy as np

from reportgen.assessment import Assessment
from reportgen.figures import show_number
from reportgen.report.charts.by_hour import hourly_sums
from reportgen.report.charts.canvas import WIDTH, Canvas
from reportgen.report.charts.key import Mark, draw_key, key_height
from reportgen.report.charts.lettering import LINE, room
from reportgen.report.charts.scale import Scale, tick_texts, ticks_for
from reportgen.report.palette import GREY, INK, PAPER, RULE, SUN, SUN_TEXT, USE, USE_TEXT

_TROPIC_DEG = 23.4
_NORTH = ("Winter", "Spring", "Summer", "Autumn")
_MONTHS = (("December to February", (12, 1, 2)), ("March to May", (3, 4, 5)),
           ("June to August", (6, 7, 8)), ("September to November", (9, 10, 11)))
_PLOT, _BETWEEN = 62.0, 14.0


def draw_day(assessment: Assessment) -> str:
    """How much of the sun is used in the hour in which it falls."""
    hours = hourly_sums(assessment)
    share = assessment.bills.self_use
    range_text = f" ({share.span_text()})" if share.span_text() else ""
    title = (f"An average day in each season: {share.text()}{range_text} of the sun's output is used in the hour "
             "in which it is made.")
    marks = [Mark("solid", SUN, "sun, used at once", SUN_TEXT), Mark("hatched", SUN, "sun, sent to the grid", SUN_TEXT),
             Mark("hatched", USE, "taken from the grid", USE_TEXT), Mark("line", USE, "use", USE_TEXT)]
    days = [[hours.mean(series, months) for series in (hours.sun, hours.use, hours.at_once)] for _, months in _MONTHS]
    highest = max(float(np.max(line)) for day in days for line in day)
    ticks = ticks_for(0.0, highest)
    texts = tick_texts(ticks, "kWh")
    x0 = max(room(t) for t in texts) + 5
    panel = (WIDTH - x0 - _BETWEEN) / 2
    head = key_height(marks) + 4
    step = LINE + 6 + _PLOT + LINE + 8
    canvas = Canvas(head + 2 * step + LINE)
    draw_key(canvas, marks)
    for i, day in enumerate(days):
        left, name_y = x0 + (i % 2) * (panel + _BETWEEN), head + (i // 2) * step + LINE
        canvas.text(left, name_y, _season(i, assessment.house.place.latitude))
        x = Scale(0, 24, left, left + panel)
        y = Scale(0.0, highest, name_y + 6 + _PLOT, name_y + 6)
        _draw_panel(canvas, x, y, ticks, texts if i % 2 == 0 else None, day)
    canvas.text(x0, canvas.height - 3, f"Hour of the day, {hours.clock}", GREY)
    return canvas.svg("day", title)


def _draw_panel(canvas: Canvas, x: Scale, y: Scale, ticks: list[float], texts: list[str] | None, day: list[np.ndarray]):
    sun, use, at_once = day
    for k, value in enumerate(ticks):
        canvas.line(((x(0), y(value)), (x(24), y(value))), RULE, 0.5)
        if texts:
            canvas.text(x(0) - 5, y(value) + 3, texts[k], GREY, "right")
    shown = np.flatnonzero(sun > 0)
    if len(shown):
        first, end = int(shown[0]), int(shown[-1]) + 1
        canvas.solid(_area(x, y, at_once, np.zeros(24), first, end), SUN)
        canvas.hatched(SUN, _area(x, y, sun, at_once, first, end))
    canvas.hatched(USE, _area(x, y, use, at_once, 0, 24))
    for color, thick in ((PAPER, 3.0), (USE, 1.6)):
        canvas.line(_steps(x, y, use, 0, 24), color, thick)
    canvas.line(((x(0), y(0)), (x(24), y(0))), INK, 0.8)
    for hour in (0, 6, 12, 18, 24):
        canvas.line(((x(hour), y(0)), (x(hour), y(0) + 3)), INK, 0.6)
        canvas.text(x(hour), y(0) + LINE, show_number(hour, 0), GREY, "right" if hour == 24 else "center")


def _season(index: int, latitude: float) -> str:
    months = _MONTHS[index][0]
    if abs(latitude) < _TROPIC_DEG:
        return months
    return f"{_NORTH[index if latitude > 0 else (index + 2) % 4]}, {_short(months)}"


def _short(months: str) -> str:
    first, _, last = months.partition(" to ")
    return f"{first[:3]} to {last[:3]}"


def _steps(x: Scale, y: Scale, values: np.ndarray, first: int, end: int) -> list[tuple[float, float]]:
    return [(x(k + d), y(values[k])) for k in range(first, end) for d in (0, 1)]


def _area(x: Scale, y: Scale, upper: np.ndarray, lower: np.ndarray, first: int, end: int):
    return _steps(x, y, upper, first, end) + _steps(x, y, lower, first, end)[::-1]
