"""One roof face in true proportion, seen square on from outside: modules, what stays clear, dimensions, compass."""

from __future__ import annotations

from string import ascii_lowercase

from shapely.geometry import Polygon

from reportgen.assessment import Assessment
from reportgen.describe.fields import COMPASS_DEG
from reportgen.describe.roof import RoofFace
from reportgen.figures import show
from reportgen.production.layout.result import EDGE, PATHWAY, RIDGE, THING, FaceLayout, Zone
from reportgen.report.charts.canvas import WIDTH, Canvas, box
from reportgen.report.charts.key import Mark, draw_key, key_height
from reportgen.report.charts.lettering import LINE, SIZE, room, wrapped
from reportgen.report.drawings import parts
from reportgen.report.palette import GREY, INK, RULE, SUN, SUN_TEXT

MOST_HEIGHT = 250.0         # of the face itself [points]
LEAST_OF_OWN = 0.5          # all faces at one scale, but none smaller than this share of what the sheet would hold
COMPASS_SIDE = 25.0         # from its middle to the sheet's right edge
TOP_WORDS = {None: "ridge", "ridge": "ridge", "wall": "wall", "open": "upper edge"}


class _Sheet:
    """From metres on the face to points on the sheet."""

    def __init__(self, face: FaceLayout, in_feet: bool, head: float, common: float):
        xs, ys = ([p[k] for p in face.corners] for k in (0, 1))
        self.wide, self.deep = max(xs), max(ys)
        left = room(parts.length_text(self.deep, in_feet)) + 16
        own = min((WIDTH - left - 4) / self.wide, MOST_HEIGHT / self.deep)
        self.scale = min(own, max(common, LEAST_OF_OWN * own))
        self.left = left + (WIDTH - left - 4 - self.wide * self.scale) / 2
        self.top = head

    def __call__(self, point):
        return (self.left + point[0] * self.scale, self.top + (self.deep - point[1]) * self.scale)

    @property
    def right(self) -> float:
        return self.left + self.wide * self.scale

    @property
    def foot(self) -> float:
        return self.top + self.deep * self.scale


def draw_face(assessment: Assessment, face: FaceLayout, letter: str, name: str) -> str:
    """letter: of the face in this report. name: of the picture."""
    described = assessment.house.roof[face.index]
    in_feet = described.in_feet
    lettered = list(zip(ascii_lowercase, (z for z in face.zones if z.kind != EDGE)))
    title = wrapped(f"{letter}: {face.name}", WIDTH - parts.COMPASS)
    about = wrapped(_about(described), WIDTH - parts.COMPASS)
    lines = [line for a, zone in lettered for line in wrapped(f"{a}\u00a0 {_zone_words(zone, in_feet)}", WIDTH)]
    marks = _marks(face, in_feet)
    head = max(LINE * (len(title) + len(about) + 1) + 4, parts.COMPASS + 3)
    sheet = _Sheet(face, in_feet, head, min(_Sheet(f, in_feet, 0.0, float("inf")).scale for f in assessment.layout.faces))
    key_top = sheet.foot + 2 * LINE + 10
    lines_top = key_top + key_height(marks)
    foot_top = lines_top + LINE * len(lines) + 4
    canvas = Canvas(foot_top + LINE + 5)
    taken = parts.Taken()

    for k, words in enumerate(title):
        canvas.text(0, LINE * (k + 1) - 3, words, semibold=True)
    for k, words in enumerate(about):
        canvas.text(0, LINE * (len(title) + k + 1) - 3, words)
    _draw_zones(canvas, sheet, face)
    canvas.outlined([sheet(p) for p in face.corners], INK, 1.3)
    for a, zone in sorted(lettered, key=lambda one: _is_small(sheet, one[1])):
        x, y = sheet(_middle(zone))
        half = parts.TAG / 2      # a thin zone's letter stays inside the face, clear of the words round it
        if _is_small(sheet, zone):   # its letter would hide it, and stands beside it where there is room
            beside = min(sheet(p)[0] for ring in zone.rings for p in ring.outer) - parts.TAG
            if taken.claim(beside, y + SIZE * 0.35, a + "m"):
                canvas.line([(beside, y), (beside + parts.TAG, y)], GREY, 0.5)
                x = beside
        parts.tag(canvas, taken, x, max(sheet.top + half, min(y, sheet.foot - half)), a)
    _draw_modules(canvas, sheet, face, taken)
    _draw_edges(canvas, sheet, face, described, in_feet)
    draw_key(canvas, marks, key_top)
    for k, words in enumerate(lines):
        canvas.text(0, lines_top + LINE * (k + 1) - 3, words)
    parts.scale_bar(canvas, 0, foot_top + LINE - 2, sheet.scale, in_feet, WIDTH / 4)
    canvas.text(WIDTH, foot_top + LINE - 2, parts.NOT_FOR_CONSTRUCTION, GREY, "right")
    parts.north_arrow(canvas, WIDTH - COMPASS_SIDE, parts.COMPASS / 2 + 1, 180.0 - described.facing_deg)
    count = len(face.modules)
    return canvas.svg(name, f"Roof face {letter}, {face.name}: {count} {'module' if count == 1 else 'modules'}"
                            f"{', ' + face.direction if count else ''}. {face.limit}")


def _about(face: RoofFace) -> str:
    slope = f"slope {face.slope}" if face.slope else f"slope {show(face.tilt_deg, '°', 0)}"
    word = min(COMPASS_DEG, key=lambda w: abs((face.facing_deg - COMPASS_DEG[w] + 180) % 360 - 180))
    eave = f", eave {parts.length_text(face.eave_m, face.in_feet)} above ground" if face.eave_m is not None else ""
    return f"{slope.capitalize()}, looks {word} ({show(face.facing_deg, '°', 0)}){eave}."


def _marks(face: FaceLayout, in_feet: bool) -> list[Mark]:
    marks = []
    if face.modules:
        count = len(face.modules)
        sides = [parts.small_text(v, in_feet) for v in (face.module_width_m, face.module_depth_m)]
        size = f"{sides[0].rpartition(' ')[0]} × {sides[1]}"
        marks.append(Mark("outlined", SUN, f"{count} modules, each {size}" if count > 1 else f"1 module, {size}", SUN_TEXT))
    if any(z.kind in (RIDGE, PATHWAY, THING) for z in face.zones):
        marks.append(Mark("hatched", GREY, "kept clear"))
    for zone in face.zones:
        if zone.kind == EDGE:
            marks.append(Mark("hatched", RULE, f"edge, {parts.small_text(zone.width_m, in_feet)}"))
    return marks


def _zone_words(zone: Zone, in_feet: bool) -> str:
    width = parts.small_text(zone.width_m, in_feet)
    if zone.kind != THING:
        return f"{zone.name}, {width}"
    if zone.thing is None:
        return f"{zone.name}, {width} kept clear round it"
    (x0, x1), (y0, y1) = ((min(v), max(v)) for v in zip(*zone.thing.outer))
    around = f", {width} all round" if zone.width_m else ""
    return (f"{zone.name}, {parts.size_text(x1 - x0, y1 - y0, in_feet)}, {parts.length_text(x0, in_feet)} from left, "
            f"{parts.length_text(y0, in_feet)} up{around}")


def _is_small(sheet: _Sheet, zone: Zone) -> bool:
    """Whether the letter's box would cover the thing and all that is kept clear round it."""
    if zone.thing is None:
        return False
    across = [sheet(p)[0] for ring in zone.rings for p in ring.outer]
    return max(across) - min(across) < 1.5 * parts.TAG


def _middle(zone: Zone):
    """Where its letter stands: in the thing itself, else in the middle of the zone's largest part."""
    part = Polygon(zone.thing.outer) if zone.thing else max((Polygon(r.outer) for r in zone.rings), key=lambda p: p.area)
    point = part.centroid if part.contains(part.centroid) else part.representative_point()
    return (point.x, point.y)


def _draw_zones(canvas: Canvas, sheet: _Sheet, face: FaceLayout) -> None:
    for color, kinds in ((RULE, (EDGE,)), (GREY, (RIDGE, PATHWAY, THING))):
        shapes = [[sheet(p) for p in ring] for zone in face.zones if zone.kind in kinds
                  for part in zone.rings for ring in (part.outer, *part.holes)]
        canvas.hatched(color, *shapes)
    for zone in face.zones:
        if zone.thing is not None:
            canvas.outlined([sheet(p) for p in zone.thing.outer], INK, 1.2)


def _draw_modules(canvas: Canvas, sheet: _Sheet, face: FaceLayout, taken: parts.Taken) -> None:
    for k, m in enumerate(face.modules):
        x0, y0 = sheet((m.left, m.high))
        x1, y1 = sheet((m.right, m.low))
        canvas.outlined(box(x0, y0, x1, y1), SUN, 1.1)
        words, x, y = str(face.first_number + k), (x0 + x1) / 2, (y0 + y1) / 2 + SIZE * 0.35
        if taken.claim(x, y, words):
            canvas.text(x, y, words, SUN_TEXT, "center")


def _draw_edges(canvas: Canvas, sheet: _Sheet, face: FaceLayout, described: RoofFace, in_feet: bool) -> None:
    top = [x for x, y in face.corners if y > sheet.deep - 0.01]
    words = TOP_WORDS[described.top_edge] if max(top) - min(top) > 0.05 else "peak"
    middle = sheet(((min(top) + max(top)) / 2, sheet.deep))
    half = room(words) / 2
    canvas.text(min(max(middle[0], half), WIDTH - half), middle[1] - 5, words, GREY, "center")
    low = [x for x, y in face.corners if y < 0.01]
    at = sheet(((min(low) + max(low)) / 2, 0.0))
    half = room("eave, downhill") / 2
    canvas.text(min(max(at[0], half), WIDTH - half), sheet.foot + LINE - 2, "eave, downhill", GREY, "center")
    parts.dimension_across(canvas, sheet.left, sheet.right, sheet.foot + LINE + 5, parts.length_text(sheet.wide, in_feet))
    parts.dimension_up(canvas, sheet.left - 8, sheet.top, sheet.foot, parts.length_text(sheet.deep, in_feet))
