"""Cumulative cash, year by year: the middle case with a band from the unfavourable to the favourable one."""

from __future__ import annotations

from reportgen.assessment import Assessment
from reportgen.figures import show, show_number, years_span
from reportgen.payback.result import Payback
from reportgen.report.charts.canvas import WIDTH, Canvas, box
from reportgen.report.charts.lettering import LINE, room, wrapped
from reportgen.report.charts.scale import Scale, kept_apart, scale_for, tick_texts, ticks_for
from reportgen.report.palette import GREY, INK, PAPER, RULE

_PLOT = 150.0


def draw_cash(assessment: Assessment) -> str:
    """When the money is back, and what is left in the end; nominal money."""
    payback = assessment.payback
    cases = (payback.high, payback.middle, payback.low)
    last = payback.middle.years[-1].year
    values = [year.cumulative for case in cases for year in case.years]
    answer = _payback_words(payback)
    head = wrapped(answer[0].upper() + answer[1:], WIDTH * 0.95)
    top = LINE * len(head) + 8
    y = scale_for(values, top + _PLOT, top)
    marked = _marked(ticks_for(y.low, y.high, most=5), payback, y)
    ends = [show(case.years[-1].cumulative, payback.currency) for case in cases]
    x0 = max(room(text) for _, text in marked) + 5
    end_room = max(room(t, semibold=True) for t in (*ends, *(case.name for case in cases))) + 6
    canvas = Canvas(top + _PLOT + 2 * LINE + 6)
    x = Scale(0, last, x0, WIDTH - end_room)

    for k, line in enumerate(head):
        canvas.text(0, LINE * (k + 1) - 3, line, semibold=True)
    for value, text in marked:
        canvas.line(((x0, y(value)), (x(last), y(value))), RULE, 0.5)
        canvas.text(x0 - 5, y(value) + 3, text, GREY, "right")
    high, middle, low = ([(x(year.year), y(year.cumulative)) for year in case.years] for case in cases)
    canvas.solid(high + low[::-1], GREY, 0.25)
    canvas.line(high, GREY, 0.7, dashed=True)
    canvas.line(low, GREY, 0.7, dashed=True)
    canvas.line(((x0, y(0.0)), (x(last), y(0.0))), INK, 0.8)
    canvas.line(middle, INK, 1.6)
    _draw_span(canvas, payback, x, y(0.0), last)

    first = top + LINE - 4
    places = kept_apart([line[-1][1] - 2 for line in (high, middle, low)], 2 * LINE + 1, first, top + _PLOT - LINE)
    for case, text, place in zip(cases, ends, places):
        canvas.text(x(last) + 6, place, case.name, GREY if case is not payback.middle else INK)
        canvas.text(x(last) + 6, place + LINE, text, semibold=case is payback.middle)

    foot = top + _PLOT
    for year in range(0, last + 1, 5):
        canvas.line(((x(year), foot), (x(year), foot + 3)), INK, 0.6)
        canvas.text(x(year), foot + LINE, show_number(year, 0), GREY, "center")
    canvas.text(x0, foot + 2 * LINE + 1, "Years from the start; money of each year as paid (nominal)", GREY)
    title = (f"Cash over {last} years: {answer}; in the end {ends[1]} in the middle case, "
             f"{ends[2]} in the unfavourable and {ends[0]} in the favourable one, nominal.")
    return canvas.svg("cash", title)


def _marked(ticks: list[float], payback: Payback, y: Scale) -> list[tuple[float, str]]:
    """The ticks, and the money paid at the start in place of those too near to it; zero always stays."""
    marked, start = list(zip(ticks, tick_texts(ticks, payback.currency))), payback.middle.years[0].cumulative
    if abs(y(start) - y(0.0)) < LINE:
        return marked
    kept = [(value, text) for value, text in marked if abs(y(value) - y(start)) >= LINE]
    return [*kept, (start, show(start, payback.currency))]


def _payback_words(payback: Payback) -> str:
    best, middle, worst = (case.simple_payback_years for case in (payback.high, payback.middle, payback.low))
    horizon = payback.horizon_years
    if best is None:
        return years_span(None, None, horizon).replace("not within", "not paid back within")
    if worst is None:
        if middle is None:
            return f"paid back in year {best} at best, otherwise not within {horizon} years"
        return (f"paid back in year {best} at best, in year {middle} in the middle case, "
                f"not within {horizon} years at worst")
    words = f"paid back in {years_span(best, worst, horizon)}"
    return words if best == worst else f"{words}, in year {middle} in the middle case"


def _draw_span(canvas: Canvas, payback: Payback, x: Scale, zero: float, last: int) -> None:
    """The years of payback as a bar on the zero line, from the favourable to the unfavourable case, middle marked.

    Where the unfavourable case is never paid back the bar is hatched from the last known year to the edge.
    """
    first, middle, end = (case.simple_payback_years for case in (payback.high, payback.middle, payback.low))
    if first is None:
        return
    known = max(year for year in (first, middle, end) if year is not None)
    if end is None:
        canvas.hatched(INK, box(x(known), zero - 2.5, x(last), zero + 2.5))
    canvas.solid(box(x(first) - 1, zero - 2.5, x(known) + 1, zero + 2.5), INK)
    if middle is not None:
        canvas.solid(box(x(middle) - 2.2, zero - 6, x(middle) + 2.2, zero + 6), PAPER)
        canvas.solid(box(x(middle) - 1.0, zero - 6, x(middle) + 1.0, zero + 6), INK)
