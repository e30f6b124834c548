"""Ways to pay on one axis: what each has brought or cost by each year, against the house that does nothing."""

from __future__ import annotations

from itertools import accumulate

from reportgen.assessment import Assessment
from reportgen.figures import show, show_number
from reportgen.report.charts.canvas import WIDTH, Canvas
from reportgen.report.charts.lettering import LINE, room, wrapped
from reportgen.report.charts.scale import Scale, scale_for, tick_texts, ticks_for
from reportgen.report.palette import GREY, INK, PAPER, RULE

MOST = 8                       # beside doing nothing; the rest stands in the table
_PLOT, _NAMES = 150.0, 92.0
_STYLES = ((INK, 1.8, False), (INK, 1.4, True), (GREY, 1.8, False), (GREY, 1.4, True), (INK, 0.8, False), (INK, 0.8, True),
           (GREY, 0.8, False), (GREY, 0.8, True))


def draw_ways(assessment: Assessment) -> str | None:
    """Nothing where cash is the only way."""
    ways = assessment.payback.ways_to_pay
    if len(ways) < 2:
        return None
    return _draw(assessment, "ways", [(way.name, way.net_by_year[1]) for way in ways])


def draw_offers(assessment: Assessment) -> str | None:
    """Nothing without offers."""
    offers = [(offer.label, offer.worth_by_year) for offer in assessment.offers if offer.worth_by_year]
    return _draw(assessment, "offers", offers, "today's money") if offers else None


def _draw(assessment: Assessment, name: str, entries: list[tuple[str, tuple[float, ...]]], money: str = "nominal money") -> str:
    currency = assessment.payback.currency
    paths = [(label, list(accumulate(net))) for label, net in entries[:MOST]]
    last = len(paths[0][1]) - 1
    names = [wrapped(label[:1].upper() + label[1:], _NAMES) + [show(path[-1], currency)] for label, path in paths]
    blocks = [["Doing nothing: 0"], *names]
    plot = max(_PLOT, sum(len(block) * LINE + 4 for block in blocks) + LINE)
    top = LINE + 6
    y = scale_for([value for _, path in paths for value in path], top + plot, top)
    ticks = ticks_for(y.low, y.high, most=5)
    texts = tick_texts(ticks, currency)
    x0 = max(map(room, texts)) + 5
    end_room = max(room(line, semibold=True) for block in blocks for line in block) + 22
    canvas = Canvas(top + plot + 2 * LINE + 6)
    x = Scale(0, last, x0, WIDTH - end_room)
    canvas.text(0, LINE - 3, "Ahead of doing nothing (up), behind it (down)", semibold=True)
    for value, text in zip(ticks, texts, strict=True):
        canvas.line(((x0, y(value)), (x(last), y(value))), RULE, 0.5)
        canvas.text(x0 - 5, y(value) + 3, text, GREY, "right")
    canvas.line(((x0, y(0.0)), (x(last), y(0.0))), INK, 0.8)
    for (_, path), (color, width, dashed) in zip(paths, _STYLES):
        points = [(x(year), y(value)) for year, value in enumerate(path)]
        canvas.line(points, PAPER, width + 1.6)
        canvas.line(points, color, width, dashed)
    _draw_names(canvas, blocks, [y(0.0), *(y(path[-1]) for _, path in paths)], x(last), top, top + plot)
    foot = top + plot
    for year in range(0, last + 1, 5):
        canvas.line(((x(year), foot), (x(year), foot + 3)), INK, 0.6)
        canvas.text(x(year), foot + LINE, show_number(year, 0), GREY, "center")
    canvas.text(x0, foot + 2 * LINE + 1, f"Years from the start; middle case, {money}", GREY)
    ends = "; ".join(f"{label} {show(path[-1], currency)}" for label, path in paths)
    return canvas.svg(name, f"Net cash by year against doing nothing, {money}; after {last} years: {ends}.")


def _draw_names(canvas: Canvas, blocks: list[list[str]], ends: list[float], right: float, top: float, foot: float) -> None:
    """Each name beside its line's end, with the line's own stroke; moved apart where they would touch, and led to its end."""
    order = sorted(range(len(blocks)), key=lambda i: (ends[i], i))
    heights = [len(blocks[i]) * LINE + 4 for i in order]
    places, free = [], top - 0.2 * LINE
    for i, height in zip(order, heights, strict=True):         # downwards: none over the one above
        places.append(max(ends[i] - height / 2, free))
        free = places[-1] + height
    free = foot
    for k in reversed(range(len(places))):                      # upwards: none below the foot
        places[k] = min(places[k], free - heights[k])
        free = places[k]
    for at, i in zip(places, order, strict=True):
        color, width, dashed = (INK, 0.8, False) if i == 0 else _STYLES[i - 1]
        canvas.line(((right + 2, ends[i]), (right + 8, at + LINE - 6)), GREY, 0.4)
        canvas.line(((right + 8, at + LINE - 6), (right + 19, at + LINE - 6)), color, width, dashed)
        for row, line in enumerate(blocks[i]):
            canvas.text(right + 22, at + LINE * (row + 1) - 3, line, semibold=i > 0 and row == len(blocks[i]) - 1)
