"""One face: the better direction, the better side for the pathway, and the modules in their places."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from itertools import product

from reportgen.describe.roof import RoofFace
from reportgen.production.layout.arrange import arranged, even_block, tidy_count
from reportgen.production.layout.clear import FaceShape
from reportgen.production.layout.result import FaceLayout
from reportgen.production.layout.rows import Rows
from reportgen.production.layout.rules import MODULE_GAP_M, exempt_because, fire_rules

DIRECTIONS = ("upright", "lying")
ALONE = "Nothing but the face's own shape, its edges and what is kept clear on it limits the number."


@dataclass(frozen=True)
class _Try:
    direction: str
    side: str | None
    rows: Rows
    most: int
    tidy: int


@dataclass(frozen=True)
class Keep:
    """What the fire service needs on a face [m]; None for nothing."""

    ridge_m: float | None = None
    pathway_m: float | None = None


def keep_for(face: RoofFace, applies: bool, wide: bool) -> Keep:
    """applies: to the house. wide: the wider of both ridge setbacks."""
    if not applies or exempt_because(face):
        return Keep()
    rules = fire_rules()
    return Keep(rules.wide_m if wide else rules.narrow_m, rules.pathway_m)


def face_room(face: RoofFace, keep: Keep, long_m: float, short_m: float) -> int | None:
    """Modules that fit on the face; None where its shape is not known."""
    if face.corners is None:
        return None
    return max(t.most for t in _tries(_key(face), keep, long_m, short_m))


def lay_out_face(face: RoofFace, index: int, keep: Keep, long_m: float, short_m: float, wanted: int | None,
                 drawn: int | None, first_number: int) -> FaceLayout:
    """The face with its modules.

    wanted: as the house has it, for the record. drawn: how many to lay out, cut to what fits; None for all that fit.

    Of both directions, and both sides for the pathway, the one is taken that holds most of what is wanted, then one
    that holds it in an even block, then in equal rows; upright before lying, and the left side before the right.
    """
    tries = _tries(_key(face), keep, long_m, short_m)
    most = max(t.most for t in tries)

    def merit(t: _Try):
        want = t.most if drawn is None else min(drawn, t.most)
        even = want <= t.tidy and even_block(t.rows, want) is not None
        rows = {round(m.low, 4) for m in even_block(t.rows, want)} if even else ()
        return (want, even, bool(rows) and want % len(rows) == 0, -len(rows), t.tidy, t.direction == "upright",
                t.side != "right")

    best = max(tries, key=merit)
    count = min(best.most, best.most if drawn is None else drawn)
    modules = arranged(best.rows, None if count == best.most and count != best.tidy else count)
    pathway = (best.side, keep.pathway_m) if best.side else None
    free = face_room(face, Keep(), long_m, short_m)
    return FaceLayout(
        index, face.name, tuple(face.corners), FaceShape(face).zones(keep.ridge_m, pathway), modules, first_number,
        best.direction, best.side, wanted, most, max(t.tidy for t in tries), free, best.rows.width, best.rows.depth,
        exempt_because(face), _limit(count, most, free, wanted))


def _limit(count: int, most: int, free: int, wanted: int | None) -> str:
    if wanted is not None and count == wanted and count < most:
        return "The number asked for limits it."
    if free > most:
        return f"The ways for the fire service limit it: without them {free} would fit."
    return ALONE


def _key(face: RoofFace) -> RoofFace:
    """The face without what the layout does not look at, so that reruns of the chain find it again."""
    return face.model_copy(update={"shade_percent": None, "module_count": None, "horizon": None, "obstacles": []})


def _tries(face: RoofFace, keep: Keep, long_m: float, short_m: float) -> tuple[_Try, ...]:
    return _tries_of(face.model_dump_json(exclude_defaults=True), keep, long_m, short_m)


@lru_cache(maxsize=256)
def _tries_of(face_json: str, keep: Keep, long_m: float, short_m: float) -> tuple[_Try, ...]:
    face = RoofFace.model_validate_json(face_json)
    shape = FaceShape(face)
    sides = (None,) if keep.pathway_m is None else ("left",) if shape.is_mirrored else ("left", "right")
    directions = DIRECTIONS if face.module_direction is None else (face.module_direction,)
    made = []
    for side in sides:
        clear = shape.clear(keep.ridge_m, None if side is None else (side, keep.pathway_m))
        for span, direction in product(_spans(shape, keep.ridge_m), directions):
            size = (short_m, long_m) if direction == "upright" else (long_m, short_m)
            rows = Rows(clear, span, *size, MODULE_GAP_M)
            most = sum(count for _, stretches in rows.most() for _, count in stretches)
            made.append(_Try(direction, side, rows, most, tidy_count(rows)))
    return tuple(made)


def _spans(shape: FaceShape, ridge_m: float | None) -> tuple[tuple[float, float], ...]:
    """Where rows may begin: as this setback has it, and as each wider one has it, so that a wider one never holds more."""
    rules = fire_rules()
    setbacks = [ridge_m, *(s for s in (rules.narrow_m, rules.wide_m) if s > (ridge_m or 0.0))]
    return tuple(dict.fromkeys(shape.span(s) for s in setbacks))
