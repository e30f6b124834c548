"""The stair from the sun on the modules to the meter: what each step takes."""

from __future__ import annotations

from reportgen.assessment import Assessment
from reportgen.figures import show, show_number
from reportgen.production.result import LossStep
from reportgen.report.charts.canvas import WIDTH, Canvas, box
from reportgen.report.charts.lettering import LINE, room, wrapped
from reportgen.report.charts.scale import Scale
from reportgen.report.palette import GREY, INK, RULE, SUN, SUN_TEXT

_LABELS = 172.0    # room for the labels [points]
_BAR = 7.0


def draw_losses(assessment: Assessment) -> str | None:
    """Where the sun's energy is lost on the way to the meter; None where no sun falls on the modules."""
    steps = assessment.production.losses
    if not steps or max(s.before_kwh for s in steps) <= 0:
        return None
    first, last = steps[0].before_kwh, steps[-1].after_kwh
    largest = min(steps, key=lambda s: s.factor)
    title = (f"From sun to meter: of {show(first, 'kWh')} that the sun offers at the modules' rated power, "
             f"{show(last, 'kWh')} reach the meter; the largest step is {largest.label} ({_change(largest)}).")
    rows = [("Sun, at the modules' rating", first, 0.0, show(first, "kWh"))]
    rows += [(s.label, min(s.before_kwh, s.after_kwh), s.after_kwh - s.before_kwh, _change(s)) for s in steps]
    rows += [("At the meter", last, 0.0, show(last, "kWh"))]

    labels = [wrapped(row[0], _LABELS) for row in rows]
    x0 = max(room(line) for lines in labels for line in lines) + 6
    end_room = max(room(row[3], semibold=True) for row in rows) + 5
    x = Scale(0.0, max(max(s.before_kwh, s.after_kwh) for s in steps), x0, WIDTH - end_room)
    canvas = Canvas(sum(len(lines) * LINE + 1 for lines in labels) + 6)
    y, changed = 2.0, {False: [], True: []}
    for (_, kept, change, text), lines in zip(rows, labels):
        for k, line in enumerate(lines):
            canvas.text(x0 - 6, y + LINE * (k + 1) - 3.5, line, anchor="right")
        middle = y + LINE / 2
        top, foot = middle - _BAR / 2, middle + _BAR / 2
        end = x(kept + abs(change))
        whole = change == 0.0 and (text.endswith("kWh"))
        canvas.solid(box(x0, top, max(x(kept), x0 + 0.3), foot), SUN, 1.0 if whole else 0.6)
        if abs(end - x(kept)) > 0.6:
            changed[change > 0].append(box(x(kept), top, end, foot))
        canvas.text(end + 5, middle + 3, text, SUN_TEXT if whole else INK, semibold=whole)
        y += len(lines) * LINE + 1
    canvas.hatched(GREY, *changed[False])
    canvas.hatched(SUN, *changed[True])
    canvas.line(((x0, 1), (x0, canvas.height - 3)), RULE, 0.5)
    return canvas.svg("losses", title)


def _change(step: LossStep) -> str:
    percent = 100.0 * (step.factor - 1.0)
    text = show(percent, "%", 1 if abs(percent) < 10 else 0)
    return "+" + text if percent > 0 and show_number(percent, 1) != "0.0" else text
