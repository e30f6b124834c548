"""The main panel as a plan: busbar, main breaker and sources at their places; under it the sum against the limit."""

from __future__ import annotations

from reportgen.assessment import Assessment
from reportgen.figures import show
from reportgen.interconnection.code_tables import factor
from reportgen.interconnection.result import BusbarSource, Check, Connection
from reportgen.interconnection.wording import amps, digits_to_tell_apart
from reportgen.report.charts.canvas import WIDTH, Canvas, box
from reportgen.report.charts.key import Mark, draw_key, key_height
from reportgen.report.charts.lettering import LINE, room, shortened, wrapped
from reportgen.report.charts.scale import Scale
from reportgen.report.palette import GREY, INK, PAPER, RULE, SUN, SUN_TEXT

MOST_SOURCES = 10      # drawn one by one; more are told in words
_PLAN = 62.0           # height of the plan [points]
_BAR_Y, _BAR_H = 26.0, 7.0
_MAIN_X, _FAR_X = 58.0, WIDTH - 24.0
_BREAKER_W, _BREAKER_H = 18.0, 16.0
_PLACES = {"far end": _FAR_X, "beside the main": _MAIN_X + 22}


def draw_busbar(assessment: Assessment) -> str | None:
    """How much of the busbar's room is taken; None where no rule is held or a rating is not known."""
    connection = assessment.connection
    if not connection.judged or connection.busbar_a is None or connection.main_breaker_a is None:
        return None
    checks = [check for check in connection.checks if check.margin_a is not None]
    blocks = [(check, wrapped(f"{check.name}: {check.verdict}", WIDTH * 0.95), wrapped(check.clause, WIDTH),
               wrapped(check.sentence, WIDTH, 3)) for check in checks]
    listed = _list_of_parts(connection)
    if not checks and connection.checks:
        listed += wrapped(connection.checks[0].sentence, WIDTH, 3)
    marks = _marks(connection) if checks else []
    plan_foot = _PLAN + LINE * len(listed) + 8
    height = plan_foot + key_height(marks) + sum(_block_height(b) for b in blocks) + LINE + 4
    canvas = Canvas(height)
    _draw_plan(canvas, connection)
    for k, words in enumerate(listed):
        canvas.text(0, _PLAN + LINE * (k + 1) - 2, words)
    y = plan_foot
    if checks:
        y = _draw_sums(canvas, connection, blocks, marks, y)
    canvas.text(0, canvas.height - 3, "For discussion, not for construction.", GREY)
    sums = "".join(f" {check.name}: {check.sentence}" for check in checks)
    title = (f"The busbar and what feeds it: busbar {amps(connection.busbar_a)}, main breaker "
             f"{amps(connection.main_breaker_a)}; {connection.verdict}.{sums}")
    return canvas.svg("busbar", title)


def _draw_plan(canvas: Canvas, connection: Connection) -> None:
    middle = _BAR_Y + _BAR_H / 2
    canvas.outlined(box(_MAIN_X - 18, 6, WIDTH - 1, _PLAN - 3), RULE, 0.6)
    canvas.text(_MAIN_X + 24, _BAR_Y - 5, f"busbar {amps(connection.busbar_a)}")
    canvas.outlined(box(_MAIN_X + 9, _BAR_Y, _FAR_X + 14, _BAR_Y + _BAR_H), INK, 0.9)
    canvas.line(((0, middle), (_MAIN_X - 9, middle)), INK)
    canvas.text(0, middle - 4, "grid")
    canvas.outlined(box(_MAIN_X - 9, middle - 9, _MAIN_X + 9, middle + 9), INK, 1.2)
    canvas.text(_MAIN_X, middle + 3, "1", anchor="center", semibold=True)
    for number, (source, x) in enumerate(_placed(connection.sources), start=2):
        top = _BAR_Y + _BAR_H + 4
        shape = box(x - _BREAKER_W / 2, top, x + _BREAKER_W / 2, top + _BREAKER_H)
        canvas.line(((x, _BAR_Y + _BAR_H), (x, top)), INK, 0.6)
        color = SUN if source.counts else GREY
        canvas.outlined(shape, color, 1.4 if source.is_new else 0.8, dashed=source.position == "not known")
        canvas.text(x, top + 11, str(number), SUN_TEXT if source.counts else GREY, "center", semibold=source.is_new)


def _placed(sources: tuple[BusbarSource, ...]) -> list[tuple[BusbarSource, float]]:
    """Each source with its place along the busbar; where nobody knows it, spread out in between."""
    shown = _shown(sources)
    unknown = sum(s.position not in _PLACES for s in shown)
    first, last = _MAIN_X + 24 + _BREAKER_W, _FAR_X - 8
    between = iter(first + (last - first) * (k + 1) / (unknown + 1) for k in range(unknown))
    return [(source, _PLACES[source.position] if source.position in _PLACES else next(between)) for source in shown]


def _shown(sources: tuple[BusbarSource, ...]) -> list[BusbarSource]:
    new = [s for s in sources if s.is_new]
    return [s for s in sources if not s.is_new][:MOST_SOURCES - len(new)] + new


def _list_of_parts(connection: Connection) -> list[str]:
    lines = [f"1\u00a0 main breaker {amps(connection.main_breaker_a)}"]
    shown = _shown(connection.sources)
    for number, source in enumerate(shown, start=2):
        lines.append(_part_words(number, source))
    if len(connection.sources) > len(shown):
        lines.append(f"and {len(connection.sources) - len(shown)} more, not drawn")
    return lines


def _part_words(number: int, source: BusbarSource) -> str:
    place = f"position {source.position}" if source.position == "not known" else source.position
    gives = f"output {amps(source.output_a)}" if source.counts else "not counted"
    size = f"breaker {amps(source.breaker_a)}, {gives}" if source.breaker_a > 0 else "size not known"
    tail = f": {size}, {place}"
    start = f"{number}\u00a0 "
    return start + shortened(source.name, WIDTH - room(start) - room(tail)) + tail


def _marks(connection: Connection) -> list[Mark]:
    times = f" × {factor('continuous_current'):g}"
    marks = [Mark("outlined", INK, "main breaker"), Mark("solid", SUN, f"new{times}", SUN_TEXT)]
    if any(s.counts and not s.is_new for s in connection.sources):
        marks.append(Mark("hatched", SUN, f"existing{times}", SUN_TEXT))
    return [*marks, Mark("limit", INK, "limit")]


def _block_height(block) -> float:
    _, name, clause, sentence = block
    return LINE * (len(name) + len(clause) + len(sentence)) + 20


def _draw_sums(canvas: Canvas, connection: Connection, blocks, marks: list[Mark], y: float) -> float:
    draw_key(canvas, marks, y)
    y += key_height(marks)
    counted = [s for s in connection.sources if s.counts]
    share = factor("continuous_current")
    parts = [share * sum(s.output_a for s in counted if s.is_new == new) for new in (False, True)]
    total = connection.main_breaker_a + sum(parts)
    limits = [total + check.margin_a.value for check, *_ in blocks]
    end_room = max(room(_margin_words(check), semibold=True) for check, *_ in blocks) + 6
    x = Scale(0.0, max(total, *limits), 0.5, WIDTH - end_room)
    for (check, name, clause, sentence), limit in zip(blocks, limits):
        for line in name:
            y += LINE
            canvas.text(0, y - 3, line, semibold=True)
        for line in clause:
            y += LINE
            canvas.text(0, y - 3, line, GREY)
        top, foot, at = y + 4, y + 13, connection.main_breaker_a
        canvas.outlined(box(x(0), top, x(at), foot), INK)
        existing, new = at + parts[0], total
        if existing > at:
            canvas.hatched(SUN, box(x(at), top, x(existing), foot))
        if new > existing:
            canvas.solid(box(x(existing), top, x(new), foot), SUN)
        for color, thick in ((PAPER, 4.0), (INK, 1.6)):
            canvas.line(((x(limit), top - 3), (x(limit), foot + 3)), color, thick)
        canvas.text(x(max(total, limit)) + 6, foot - 1.5, _margin_words(check), semibold=True)
        y = foot + 5
        for line in sentence:
            y += LINE
            canvas.text(0, y - 3, line)
        y += 2
    return y


def _margin_words(check: Check) -> str:
    margin = check.margin_a.value
    words = show(abs(margin), "A", digits_to_tell_apart(margin))
    return f"{words} left" if margin >= -1e-6 else f"{words} too much"
