"""What of a face may carry modules: its outline less edges, the fire service's ways, and things with their margins."""

from __future__ import annotations

from itertools import pairwise

from shapely import make_valid
from shapely.geometry import LineString, Polygon, box
from shapely.geometry.polygon import orient
from shapely.ops import unary_union

from reportgen.describe.roof import RoofFace
from reportgen.describe.roof_shape import metres
from reportgen.production.layout.result import EDGE, PATHWAY, RIDGE, THING, Ring, Zone
from reportgen.production.layout.rules import MARGIN_M, edge_m

LEVEL_M = 0.01        # two heights closer than this are one
RIDGE_LEAST_M = 0.05  # a shorter level stretch at the top is a peak, not a ridge
BEYOND_M = 50.0       # a way along a slanted side is cut off by the face itself
THING_WORDS = {"chimney": "chimney", "vent": "vent", "dormer": "dormer", "skylight": "skylight", "other": "kept clear"}


class FaceShape:
    """One face as polygons. Raises nothing: the house model has checked the corners."""

    def __init__(self, face: RoofFace):
        self.outline = orient(Polygon(face.corners))
        self.edge = edge_m(face)
        self.inner = self.outline.buffer(-self.edge, join_style="mitre") if self.edge else self.outline
        self.things = tuple((thing, *_thing(thing)) for thing in face.keep_clear)
        self._blocked = unary_union([around for _, _, around, _ in self.things])
        self.has_ridge = face.top_edge in (None, "ridge") and self._level_top() >= RIDGE_LEAST_M

    def _level_top(self) -> float:
        """Length of the level upper edge [m]."""
        ring = list(self.outline.exterior.coords)
        top = max(y for _, y in ring)
        return sum(abs(a[0] - b[0]) for a, b in pairwise(ring) if min(a[1], b[1]) > top - LEVEL_M)

    @property
    def is_mirrored(self) -> bool:
        """Whether left and right are alike, so that a pathway on either side leaves the same."""
        x0, _, x1, _ = self.outline.bounds
        mirrored = Polygon([(x0 + x1 - x, y) for x, y in self.outline.exterior.coords])
        return not self.things and mirrored.symmetric_difference(self.outline).area < 1e-9

    def ridge(self, setback_m: float):
        """The band under the ridge; empty where the face has no level ridge."""
        x0, _, x1, top = self.outline.bounds
        return self.outline.intersection(box(x0, top - setback_m, x1, top)) if self.has_ridge else Polygon()

    def pathway(self, side: str, width_m: float):
        """A way from the lowest edge to the top along the left or right side, slanted where the side is."""
        line = LineString(_stretched(_side(list(self.outline.exterior.coords)[:-1], side)))
        band = line.buffer(width_m, cap_style="flat", join_style="mitre")
        return make_valid(self.outline.intersection(band))

    def clear(self, setback_m: float | None, pathway: tuple[str, float] | None):
        """What may carry modules. setback_m: under the ridge, None for none. pathway: side and width, None for none."""
        area = self.inner
        for zone in self._fire(setback_m, pathway):
            area = area.difference(zone)
        return area.difference(self._blocked)

    def span(self, setback_m: float | None) -> tuple[float, float]:
        """Lowest and highest y for rows under this ridge setback, whatever else is kept clear."""
        if self.inner.is_empty:
            return (0.0, 0.0)
        _, low, _, high = self.inner.bounds
        return (low, min(high, self.outline.bounds[3] - setback_m) if setback_m and self.has_ridge else high)

    def _fire(self, setback_m, pathway):
        return [*([self.ridge(setback_m)] if setback_m else []), *([self.pathway(*pathway)] if pathway else [])]

    def zones(self, setback_m: float | None, pathway: tuple[str, float] | None) -> tuple[Zone, ...]:
        """For the drawing; no two overlap."""
        found, taken = [], Polygon()

        def add(kind, name, width, shape, thing=None):
            nonlocal taken
            rest = shape.intersection(self.outline).difference(taken)
            taken = taken.union(rest)
            if rings := _rings(rest):
                found.append(Zone(kind, name, width, rings, thing))

        for thing, shape, around, margin in self.things:
            own = _rings(shape.intersection(self.outline))
            rest = around.difference(shape) if margin > 0 else around
            add(THING, thing.name, margin, rest, own[0] if own else None)
            taken = taken.union(shape)
        if setback_m and self.has_ridge:
            add(RIDGE, "ridge setback", setback_m, self.ridge(setback_m))
        if pathway:
            add(PATHWAY, "fire service pathway", pathway[1], self.pathway(*pathway))
        if self.edge:
            add(EDGE, "edge", self.edge, self.outline.difference(self.inner))
        return tuple(found)


def _thing(thing):
    """The thing, the area kept clear with its margin, and the margin."""
    x, y = metres(thing, "from_left"), metres(thing, "from_eave")
    margin = metres(thing, "margin")
    margin = MARGIN_M[thing.kind] if margin is None else margin
    shape = box(x, y, x + metres(thing, "width"), y + metres(thing, "depth"))
    return shape, box(shape.bounds[0] - margin, shape.bounds[1] - margin, shape.bounds[2] + margin,
                      shape.bounds[3] + margin), margin


def _side(ring, side: str):
    """The corners along the left or right side, from one end to the other. ring: counter-clockwise, not closed."""
    low, top = min(y for _, y in ring), max(y for _, y in ring)
    at_low = [i for i, p in enumerate(ring) if p[1] < low + LEVEL_M]
    at_top = [i for i, p in enumerate(ring) if p[1] > top - LEVEL_M]
    pick = min if side == "left" else max
    foot, head = (pick(ends, key=lambda i: ring[i][0]) for ends in (at_low, at_top))
    start, end = (head, foot) if side == "left" else (foot, head)
    count = (end - start) % len(ring)
    return [ring[(start + k) % len(ring)] for k in range(count + 1)]


def _stretched(points):
    """The line run on beyond both ends."""
    def beyond(a, b):
        length = max(((a[0] - b[0]) ** 2 + (a[1] - b[1]) ** 2) ** 0.5, 1e-9)
        return (a[0] + (a[0] - b[0]) / length * BEYOND_M, a[1] + (a[1] - b[1]) / length * BEYOND_M)

    return [beyond(points[0], points[1]), *points[1:-1], beyond(points[-1], points[-2])]


def _rings(shape) -> tuple[Ring, ...]:
    """The polygons in a shape, slivers left out."""
    parts = [p for p in getattr(shape, "geoms", [shape]) if p.geom_type == "Polygon" and p.area > 1e-4]
    return tuple(Ring(tuple(p.exterior.coords)[:-1], tuple(tuple(h.coords)[:-1] for h in p.interiors))
                 for p in map(orient, parts))
