"""The busbar of each panel on the way from the array to the meter: what stands on it, and the sum against its limit."""

from __future__ import annotations

from dataclasses import dataclass

from reportgen.assessment import Assessment
from reportgen.figures import show
from reportgen.interconnection.code_tables import TOLERANCE_A, busbar_rules, factor
from reportgen.interconnection.result import CANNOT_SAY, DOES_NOT_FIT, BusbarSource, PanelFound
from reportgen.interconnection.wording import digits_to_tell_apart
from reportgen.report.charts.busbar_plan import PLAN, draw_plan
from reportgen.report.charts.canvas import WIDTH, Canvas, box
from reportgen.report.charts.key import Mark, draw_key, key_height
from reportgen.report.charts.lettering import room, shortened, tied, wrapped
from reportgen.report.charts.ratings import amps, rated
from reportgen.report.charts.scale import Scale
from reportgen.report.palette import GREY, INK, PAPER, SUN, SUN_TEXT

MOST_PANELS = 4
MOST_SOURCES = {1: 8, 2: 4, 3: 2, 4: 2}    # listed and drawn on each, by the number of panels; more are told in words
LINE = 12.0          # closer than in other pictures, since a page must hold the whole; holds the phone's letters still
_SUM_BAR, _AFTER = 17.0, 7.0
ALL_BREAKERS = "load breakers"
PLACES = {"not known": "position not known", "both ends": "at both ends"}


@dataclass(frozen=True)
class Block:
    """One panel with all its words in lines, so that its height is known before anything is drawn."""

    panel: PanelFound
    shown: tuple[BusbarSource, ...]
    name: list[str]
    listed: list[str]
    told: list[str]
    parts: tuple[tuple[str, float], ...]   # kind of mark and amperes, from left to right; () where there is no sum

    @property
    def height(self) -> float:
        lines = len(self.name) + len(self.listed) + len(self.told)
        return LINE * lines + PLAN + (_SUM_BAR if self.parts else 0.0) + _AFTER


def draw_busbar(assessment: Assessment) -> str | None:
    """One block a panel, the array's first; None where the electrical side is not judged or no panel is described."""
    connection = assessment.connection
    if not connection.judged or not connection.panels:
        return None
    way = connection.chosen      # where the house stays as it is, under the rule that the rest of the report counts on
    panels = list(way.panels if way is not None and way.changes_nothing and way.panels else connection.panels)
    drawn = panels if len(panels) <= MOST_PANELS else [*panels[:MOST_PANELS - 1], panels[-1]]
    left_out = [panel for panel in panels if panel not in drawn]
    blocks = [_block(panel, connection.source_device.value if panel is panels[0] else None, len(drawn)) for panel in drawn]
    marks = _marks(blocks)
    foot = wrapped(f"Not drawn: {', '.join(panel.name for panel in left_out)}.", WIDTH) if left_out else []
    canvas = Canvas(key_height(marks) + sum(block.height for block in blocks) + LINE * (len(foot) + 1) + 2)
    draw_key(canvas, marks)
    y = key_height(marks)
    counted = [v for block in blocks for v in (block.panel.total_a, block.panel.limit_a) if block.parts]
    scale = Scale(0.0, max(counted), 0.5, WIDTH - max(room(_end_words(b.panel), True) for b in blocks if b.parts) - 6) \
        if counted else None
    for k, block in enumerate(blocks):
        _draw_block(canvas, block, y, scale, "grid" if panels[-1] is block.panel else "feeder", number=k)
        y += block.height
    for line in [*foot, "For discussion, not for construction."]:
        y += LINE
        canvas.text(0, y - 3, line, GREY)
    told = " ".join(f"{panel.name}, busbar {rated(panel.busbar_a)}: {panel.verdict}; {_sum_words(panel)}" for panel in drawn)
    return canvas.svg("busbar", f"What stands on each busbar: {told}")


# ---- what is said ----

def _block(panel: PanelFound, device_a: float | None, count: int) -> Block:
    most = MOST_SOURCES[count]
    new = tuple(s for s in panel.sources if s.is_new)
    there = tuple(s for s in panel.sources if not s.is_new)
    shown = (*there[:max(most - len(new), 0)], *new)
    listed = [f"1\u00a0 {_main_words(panel)}"]
    listed += [_source_words(number, source, device_a) for number, source in enumerate(shown, start=2)]
    if len(panel.sources) > len(shown):
        listed.append(f"and {len(panel.sources) - len(shown)} more sources, not drawn")
    listed.append(_loads_words(panel))
    told = wrapped(tied(_sum_words(panel)), WIDTH, 3)
    if panel.total_a is not None and panel.limit_a is not None and panel.total_a <= panel.limit_a + TOLERANCE_A:
        told += {DOES_NOT_FIT: ["The sum alone would pass; something else about this panel stands against it."],
                 CANNOT_SAY: ["The sum alone would pass; something else is not known."]}.get(panel.verdict, [])
    name = wrapped(f"{panel.name[:1].upper()}{panel.name[1:]}: {panel.verdict}", WIDTH * 0.95)
    return Block(panel, shown, name, [line for text in listed for line in wrapped(tied(text), WIDTH)], told, _parts(panel, device_a))


def _main_words(panel: PanelFound) -> str:
    device = rated(panel.protected_by_a)
    if panel.main == "lugs":
        return f"main lugs; the device ahead of them: {device}"
    if panel.main == "split bus":
        return f"feeds the lower part of the split busbar: {rated(panel.lower_breaker_a)}"
    words = f"main breaker {rated(panel.main_breaker_a)}"
    if panel.protected_by_a is not None and panel.protected_by_a != panel.main_breaker_a:
        words += f"; the device that protects the busbar: {device}"
    return words


def _source_words(number: int, source: BusbarSource, device_a: float | None) -> str:
    gives = f"output {amps(source.output_a)}" if source.counts else "not counted"
    breaker = device_a if source.is_new and device_a else source.breaker_a
    tail = f": breaker {rated(breaker)}, {gives}, {PLACES.get(source.position, source.position)}"
    start = f"{number}\u00a0 "
    return start + shortened(source.name, WIDTH - room(start) - room(tail) - 2) + tail


def _loads_words(panel: PanelFound) -> str:
    loads = ("load breakers not listed" if panel.load_breakers_a is None else
             f"small marks: {len(panel.load_breakers_a)} load breakers, {amps(sum(panel.load_breakers_a))} together")
    free = panel.free_two_pole_spaces
    return f"{loads}; free two-pole spaces: {'not known' if free is None else free}"


def _sum_words(panel: PanelFound) -> str:
    if panel.total_a is None or panel.limit_a is None:
        return "No sum: a rating or a size is not known."
    rule = f"{panel.rule}: " if panel.rule else ""
    digits = digits_to_tell_apart(panel.limit_a - panel.total_a)
    total, limit = (show(a, "A", 0 if abs(a - round(a)) < 1e-9 else digits) for a in (panel.total_a, panel.limit_a))
    return f"{rule}{total} counted, at most {limit}."


def _end_words(panel: PanelFound) -> str:
    left = panel.limit_a - panel.total_a
    size = show(abs(left), "A", digits_to_tell_apart(left))
    return f"{size} left" if left >= -TOLERANCE_A else f"{size} too much"


# ---- the sum ----

def _parts(panel: PanelFound, device_a: float | None) -> tuple[tuple[str, float], ...]:
    """What the rule counts, split where the parts make up its total; else the total in one piece."""
    if panel.total_a is None or panel.limit_a is None:
        return ()
    share = factor("continuous_current")
    outputs = [share * sum(s.output_a for s in panel.sources if s.counts and s.is_new is new) for new in (False, True)]
    breakers = [sum((device_a if new and device_a else s.breaker_a) for s in panel.sources if s.counts and s.is_new is new)
                for new in (False, True)]
    name, first, (there, new) = (("main", panel.protected_by_a or 0.0, outputs) if not _counts_all_breakers(panel)
                                 else (ALL_BREAKERS, sum(panel.load_breakers_a or ()), breakers))
    if abs(first + there + new - panel.total_a) < 0.01:
        return ((name, first), ("there", there), ("new", new))
    return (("whole", panel.total_a),)


def _counts_all_breakers(panel: PanelFound) -> bool:
    return any(panel.rule.startswith(rule.name) for rule in busbar_rules() if rule.counts == "all breakers")


def _marks(blocks: list[Block]) -> list[Mark]:
    kinds = [kind for block in blocks for kind, size in block.parts if size > 0]
    by_breaker = any(kind == ALL_BREAKERS for kind in kinds)
    times = "" if by_breaker else f" × {factor('continuous_current'):g}"
    brought = ", or the feeder that brings it," if len(blocks) > 1 else ""
    own = all(b.panel.main == "breaker" and b.panel.protected_by_a == b.panel.main_breaker_a for b in blocks)
    firsts = [word for kind, word in (("main", "main breaker" if own else "main or device ahead"), (ALL_BREAKERS, "load breakers"),
                                      ("whole", "counted in all")) if kind in kinds]
    marks = [Mark("outlined", INK, " or ".join(firsts))] if firsts else []
    if "new" in kinds:
        marks.append(Mark("solid", SUN, f"new{brought}{times}", SUN_TEXT))
    if "there" in kinds:
        marks.append(Mark("hatched", SUN, f"there already{times}", SUN_TEXT))
    return [*marks, Mark("limit", INK, "limit")] if marks else []


# ---- drawing ----

def _draw_block(canvas: Canvas, block: Block, y: float, x: Scale | None, from_where: str, number: int) -> None:
    for line in block.name:
        y += LINE
        canvas.text(0, y - 3, line, semibold=True)
    draw_plan(canvas, block.panel, block.shown, y, from_where, brings_feeder=number > 0)
    y += PLAN
    for line in block.listed:
        y += LINE
        canvas.text(0, y - 3, line)
    if block.parts and x is not None:
        _draw_sum(canvas, block, y + 4, x)
        y += _SUM_BAR
    for line in block.told:
        y += LINE
        canvas.text(0, y - 3, line)


def _draw_sum(canvas: Canvas, block: Block, top: float, x: Scale) -> None:
    at, foot = 0.0, top + 9
    for kind, size in block.parts:
        if size > 0:
            shape = box(x(at), top, x(at + size), foot)
            if kind == "there":
                canvas.hatched(SUN, shape)
            elif kind == "new":
                canvas.solid(shape, SUN)
            else:
                canvas.outlined(shape, INK)
            at += size
    for color, thick in ((PAPER, 4.0), (INK, 1.6)):
        canvas.line(((x(block.panel.limit_a), top - 3), (x(block.panel.limit_a), foot + 3)), color, thick)
    canvas.text(x(max(block.panel.total_a, block.panel.limit_a)) + 6, foot - 1.5, _end_words(block.panel), semibold=True)
