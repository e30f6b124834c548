"""The shape of a roof face as the house file describes it: corner cuts, outline, things to keep clear of."""

from __future__ import annotations

from itertools import combinations
from typing import Annotated, Literal

from pydantic import Field, model_validator

from reportgen.describe.fields import FT_M, Section, ShortText, at_most_one, exactly_one

Feet = Annotated[float, Field(ge=0, le=1000)]
Metres = Annotated[float, Field(ge=0, le=300)]
SomeFeet = Annotated[float, Field(gt=0, le=1000)]
SomeMetres = Annotated[float, Field(gt=0, le=300)]
Corner = Literal["eave left", "eave right", "ridge left", "ridge right"]
PointFt = Annotated[list[Annotated[float, Field(ge=-1000, le=1000)]], Field(min_length=2, max_length=2)]
PointM = Annotated[list[Annotated[float, Field(ge=-300, le=300)]], Field(min_length=2, max_length=2)]
OutlineFt = Annotated[list[PointFt], Field(min_length=3, max_length=40)]
OutlineM = Annotated[list[PointM], Field(min_length=3, max_length=40)]
ON_THE_EDGE_M = 0.005


def metres(section: Section, key: str) -> float | None:
    """The length `key` of a section in metres, however it was written; None where it was not."""
    if (value := getattr(section, key + "_m")) is not None:
        return value
    value = getattr(section, key + "_ft")
    return None if value is None else value * FT_M


class KeepClear(Section):
    name: ShortText
    """What you call it, for example "kitchen chimney"."""
    kind: Literal["chimney", "vent", "dormer", "skylight", "other"]
    """What it is; decides how much is kept clear around it where no margin is written."""
    from_left_ft: Feet | None = None
    """From the left end of the eave to its left side, along the eave, seen from outside, in feet."""
    from_left_m: Metres | None = None
    """From the left end of the eave to its left side, along the eave, seen from outside, in metres."""
    from_eave_ft: Feet | None = None
    """From the eave to its lower side, measured up the slope, in feet."""
    from_eave_m: Metres | None = None
    """From the eave to its lower side, measured up the slope, in metres."""
    width_ft: SomeFeet | None = None
    """Width along the eave, in feet."""
    width_m: SomeMetres | None = None
    """Width along the eave, in metres."""
    depth_ft: SomeFeet | None = None
    """Depth up the slope, in feet."""
    depth_m: SomeMetres | None = None
    """Depth up the slope, in metres."""
    margin_ft: Feet | None = None
    """Kept clear all round it, in feet."""
    margin_m: Metres | None = None
    """Kept clear all round it, in metres."""

    @model_validator(mode="after")
    def _check(self):
        for key in ("from_left", "from_eave", "width", "depth"):
            exactly_one(self, key + "_ft", key + "_m")
        at_most_one(self, "margin_ft", "margin_m")
        return self


class CornerCut(Section):
    corner: Corner
    """The corner that a hip or a valley cuts off, seen from outside."""
    width_ft: SomeFeet | None = None
    """How much of the eave or ridge it takes, in feet."""
    width_m: SomeMetres | None = None
    """How much of the eave or ridge it takes, in metres."""
    depth_ft: SomeFeet | None = None
    """How far it reaches along the slope, in feet."""
    depth_m: SomeMetres | None = None
    """How far it reaches along the slope, in metres."""

    @model_validator(mode="after")
    def _check(self):
        exactly_one(self, "width_ft", "width_m")
        exactly_one(self, "depth_ft", "depth_m")
        return self


def corners_m(face) -> tuple[tuple[float, float], ...] | None:
    """Corners of a face [m], x along the eave from the left, y up the slope; None where a side is missing.

    Raises ValueError, with a sentence, where cuts or outline make no plain shape.
    """
    if face.outline_m is not None or face.outline_ft is not None:
        scale = 1.0 if face.outline_m is not None else FT_M
        points = [(x * scale, y * scale) for x, y in (face.outline_m or face.outline_ft)]
        if len(points) > 3 and points[0] == points[-1]:
            points.pop()
        return tuple(points)
    width, depth = metres(face, "width"), metres(face, "depth")
    if width is None or depth is None:
        return None
    cuts = {cut.corner: (metres(cut, "width"), metres(cut, "depth")) for cut in face.cuts}
    left = [(0.0, depth), (0.0, 0.0)]      # counter-clockwise: down the left side, along the eave, up the right side
    points = []
    for corner, (x, y), first in (("ridge left", left[0], "along"), ("eave left", left[1], "up"),
                                  ("eave right", (width, 0.0), "along"), ("ridge right", (width, depth), "up")):
        if corner not in cuts:
            points.append((x, y))
            continue
        w, d = cuts[corner]
        along, up = (x + w if x == 0.0 else x - w, y), (x, y + d if y == 0.0 else y - d)
        points += [along, up] if first == "along" else [up, along]
    return tuple(p for i, p in enumerate(points) if _apart(p, points[i - 1]))


def check_shape(face) -> None:
    """Raise ValueError where the parts of a face's shape contradict each other."""
    at_most_one(face, "outline_ft", "outline_m")
    sides = [k for k in ("width_ft", "width_m", "depth_ft", "depth_m") if getattr(face, k) is not None]
    has_outline = face.outline_ft is not None or face.outline_m is not None
    if has_outline and (sides or face.cuts):
        raise ValueError(f"an outline says the whole shape; leave out {', '.join(sides) or 'cuts'}, or leave out the outline")
    corners = corners_m(face) if not face.cuts or len(sides) == 2 else None
    if corners is None:
        for key in ("cuts", "keep_clear"):
            if getattr(face, key):
                raise ValueError(f"{key} needs the face's width and depth, or its outline, beside it")
        return
    if len({cut.corner for cut in face.cuts}) < len(face.cuts):
        raise ValueError("each corner can be cut once; two cuts name the same corner")
    if face.cuts:
        _check_cuts(face)
    if _crosses_itself(corners) or area_of(corners) < 0.01:
        raise ValueError("the outline crosses itself or has no area; go round the face once, corner by corner")
    left, low = (min(c[k] for c in corners) for k in (0, 1))
    if has_outline and (abs(low) > ON_THE_EDGE_M or abs(left) > ON_THE_EDGE_M):
        raise ValueError("an outline starts at the left end and at the eave: its smallest x and its smallest y are 0")
    right, top = (max(c[k] for c in corners) for k in (0, 1))
    for thing in face.keep_clear:
        if metres(thing, "from_left") >= right or metres(thing, "from_eave") >= top:
            raise ValueError(f"'{thing.name}' lies outside this face, which is {right:.2f} m wide and {top:.2f} m deep; "
                             "measure from its left end and from the eave")


def area_of(corners) -> float:
    """Area inside the corners, in the square of their unit."""
    return abs(sum(a[0] * b[1] - b[0] * a[1] for a, b in zip(corners, corners[1:] + corners[:1]))) / 2.0


def _check_cuts(face) -> None:
    width, depth = metres(face, "width"), metres(face, "depth")
    cuts = {cut.corner: (metres(cut, "width"), metres(cut, "depth")) for cut in face.cuts}
    for side, length, k in (("eave", width, 0), ("ridge", width, 0), ("left", depth, 1), ("right", depth, 1)):
        taken = sum(size[k] for corner, size in cuts.items() if side in corner)
        if taken > length + ON_THE_EDGE_M:
            what = {"left": "left side", "right": "right side"}.get(side, side)
            raise ValueError(f"the cuts take {taken:.2f} m of the {what}, which is only {length:.2f} m long")


def _apart(a, b) -> bool:
    return abs(a[0] - b[0]) > 1e-9 or abs(a[1] - b[1]) > 1e-9


def _crosses_itself(corners) -> bool:
    sides = list(zip(corners, corners[1:] + corners[:1]))
    if any(not _apart(a, b) for a, b in sides):
        return True
    return any(_cross(*sides[i], *sides[j]) for i, j in combinations(range(len(sides)), 2)
               if (j - i) % len(sides) not in (1, len(sides) - 1))


def _cross(a, b, c, d) -> bool:
    """Whether the stretches a-b and c-d share a point."""
    def turn(p, q, r):
        return (q[0] - p[0]) * (r[1] - p[1]) - (q[1] - p[1]) * (r[0] - p[0])

    def between(p, q, r):
        return min(p[0], q[0]) <= r[0] <= max(p[0], q[0]) and min(p[1], q[1]) <= r[1] <= max(p[1], q[1])

    one, two, three, four = turn(a, b, c), turn(a, b, d), turn(c, d, a), turn(c, d, b)
    if one * two < 0 and three * four < 0:
        return True
    return any(t == 0 and between(p, q, r) for t, p, q, r in ((one, a, b, c), (two, a, b, d), (three, c, d, a), (four, c, d, b)))
