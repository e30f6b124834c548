"""What holds for modules on any roof face."""

from __future__ import annotations

from itertools import combinations

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from shapely.geometry import Polygon, box
from shapely.ops import unary_union

from reportgen.describe.roof import RoofFace
from reportgen.describe.roof_shape import metres
from reportgen.production.layout.face import Keep, face_room, keep_for, lay_out_face
from reportgen.production.layout.roof import lay_out_roof, rooms_of
from reportgen.production.layout.rules import MARGIN_M, MODULE_GAP_M
from tests.production.layout.shapes import LONG_M, SHORT_M, chimney, cm, face, faces, mirrored, roof_house, things

EDGE_M = 0.30
HAIR_M = 1e-4
few = settings(max_examples=40, deadline=None)


def _face(made: dict) -> RoofFace:
    return RoofFace.model_validate(made)


def _laid(made: dict, wanted: int | None = None, wide: bool = True, applies: bool = True):
    described = _face(made)
    return lay_out_face(described, 0, keep_for(described, applies, wide), LONG_M, SHORT_M, wanted, wanted, 1)


@few
@given(made=faces(), wide=st.booleans(), applies=st.booleans(), wanted=st.none() | st.integers(1, 40))
def test_modules_never_overlap_nor_leave_what_is_clear(made, wide, applies, wanted):
    layout = _laid(made, wanted, wide, applies)
    for a, b in combinations(layout.modules, 2):
        apart = max(a.left - b.right, b.left - a.right, a.low - b.high, b.low - a.high)
        assert apart >= MODULE_GAP_M - HAIR_M
    outline, described = Polygon(layout.corners), _face(made)
    for m in layout.modules:
        shape = box(m.left + HAIR_M, m.low + HAIR_M, m.right - HAIR_M, m.high - HAIR_M)
        assert outline.exterior.distance(shape) >= EDGE_M - HAIR_M and outline.contains(shape)
        for thing in described.keep_clear:
            x, y = metres(thing, "from_left"), metres(thing, "from_eave")
            own = box(x, y, x + metres(thing, "width"), y + metres(thing, "depth"))
            assert not own.buffer(MARGIN_M["chimney"], join_style="mitre").intersects(shape)
    clear = unary_union([Polygon(part.outer, part.holes) for zone in layout.zones for part in zone.rings])
    for m in layout.modules:
        assert clear.intersection(box(m.left, m.low, m.right, m.high)).area < 1e-3


@few
@given(made=faces(), wanted=st.integers(1, 60))
def test_a_wanted_number_is_laid_out_exactly_and_never_more_than_fit(made, wanted):
    layout = _laid(made, wanted)
    assert len(layout.modules) == min(wanted, layout.most)
    assert layout.missing == max(0, wanted - layout.most)


@few
@given(made=faces(), data=st.data(), wide=st.booleans())
def test_one_more_thing_to_keep_clear_never_makes_room_for_more(made, data, wide):
    more = {**made, "keep_clear": [*made["keep_clear"], data.draw(things(made["width_m"], made["depth_m"]))]}
    before, after = (face_room(_face(f), keep_for(_face(f), True, wide), LONG_M, SHORT_M) for f in (made, more))
    assert after <= before


@few
@given(made=faces(), data=st.data(), whole=cm(30, 400))
def test_nor_does_it_by_way_of_the_narrower_ridge_setback(made, data, whole):
    """Fewer modules are a smaller share of the roof, for which 18 in suffice: still never more modules than before."""
    more = {**made, "keep_clear": [*made["keep_clear"], data.draw(things(made["width_m"], made["depth_m"]))]}
    before, after = (len(lay_out_roof(roof_house(f, building={"whole_roof_plan_m2": whole}), [200]).faces[0].modules)
                     for f in (made, more))
    assert after <= before


@few
@given(made=faces(), wide=st.booleans())
def test_the_mirrored_face_holds_as_many(made, wide):
    one, other = (_face(f) for f in (made, mirrored(made)))
    keep = keep_for(one, True, wide)
    assert face_room(one, keep, LONG_M, SHORT_M) == face_room(other, keep, LONG_M, SHORT_M)


@few
@given(made=faces())
def test_no_more_modules_than_the_area_holds_in_either_direction(made):
    described = _face(made)
    best = face_room(described, Keep(), LONG_M, SHORT_M)
    assert best * LONG_M * SHORT_M <= described.area_m2 + 1e-6
    each = [face_room(_face({**made, "module_direction": d}), Keep(), LONG_M, SHORT_M) for d in ("upright", "lying")]
    assert best == max(each)


@few
@given(made=faces())
def test_keeping_ways_clear_never_adds_and_the_wider_setback_never_adds(made):
    described = _face(made)
    free, narrow, wide = (face_room(described, k, LONG_M, SHORT_M)
                          for k in (Keep(), keep_for(described, True, False), keep_for(described, True, True)))
    assert free >= narrow >= wide


@few
@given(columns=st.integers(1, 8), rows=st.integers(1, 5), upright=st.booleans())
def test_a_face_cut_to_a_grid_holds_exactly_that_grid(columns, rows, upright):
    wide, deep = (SHORT_M, LONG_M) if upright else (LONG_M, SHORT_M)
    width = columns * (wide + MODULE_GAP_M) - MODULE_GAP_M + 2 * EDGE_M
    depth = rows * (deep + MODULE_GAP_M) - MODULE_GAP_M + 2 * EDGE_M
    made = face(width_m=width, depth_m=depth, module_direction="upright" if upright else "lying")
    layout = _laid(made, applies=False)
    assert len(layout.modules) == layout.even_most == columns * rows


@few
@given(made=faces())
def test_the_largest_even_block_is_drawn_in_equal_rows(made):
    even = _laid({**made, "module_direction": "upright"}).even_most
    assume(even >= 2)
    layout = _laid({**made, "module_direction": "upright"}, even)
    heights = [round(m.low, 6) for m in layout.modules]
    lengths = [heights.count(h) for h in dict.fromkeys(heights)]
    assert len(set(lengths)) == 1


def test_the_tidy_array_has_equal_rows_where_the_largest_goes_round_a_chimney():
    layout = _laid(face(width_m=12.0, depth_m=6.0, keep_clear=[chimney(6.0, 4.2)]), applies=False)
    assert layout.even_most < layout.most == len(layout.modules)
    even = _laid(face(width_m=12.0, depth_m=6.0, keep_clear=[chimney(6.0, 4.2)]), layout.even_most, applies=False)
    heights = [round(m.low, 6) for m in even.modules]
    assert len({heights.count(h) for h in heights}) == 1


@pytest.mark.parametrize("wanted", [6, 10, 14])
def test_a_number_that_makes_equal_rows_gets_them(wanted):
    layout = _laid(face(width_m=14.0, depth_m=6.0), wanted)
    heights = [round(m.low, 6) for m in layout.modules]
    assert len({heights.count(h) for h in heights}) == 1


def test_numbers_run_over_the_faces_in_their_order():
    house = roof_house(face(), face(name="front", facing="north"))
    first, second = lay_out_roof(house, [3, 2]).faces
    assert (first.first_number, second.first_number) == (1, 4)


def test_a_face_without_sizes_is_named_and_not_drawn():
    bare = {"name": "somewhere", "facing": "south", "slope_deg": 30}
    layout = lay_out_roof(roof_house(face(), bare), [3, 2])
    assert [f.name for f in layout.faces] == ["back"] and layout.unknown == ("somewhere",)
    assert rooms_of(roof_house(face(), bare)).wide[1] is None
