"""The shape of a roof face in the house file: what it makes, and what is said of a slip."""

from __future__ import annotations

import pytest
from pydantic import ValidationError

from reportgen.describe.roof import RoofFace
from tests.houses import house

FT2_M2 = 0.3048 ** 2


def _face(**more) -> RoofFace:
    return RoofFace.model_validate({"facing": "south", "slope_deg": 30, **more})


def _cut(corner, width, depth):
    return {"corner": corner, "width_ft": width, "depth_ft": depth}


def test_a_hip_end_is_a_triangle_of_half_the_rectangle():
    hip = _face(width_ft=30, depth_ft=15, cuts=[_cut("ridge left", 15, 15), _cut("ridge right", 15, 15)])
    assert len(hip.corners) == 3 and hip.area_m2 == pytest.approx(225 * FT2_M2)


def test_each_cut_takes_its_triangle_off():
    four = [_cut(f"{edge} {side}", 5, 3) for edge in ("eave", "ridge") for side in ("left", "right")]
    assert _face(width_ft=30, depth_ft=15, cuts=four).area_m2 == pytest.approx((450 - 4 * 7.5) * FT2_M2)


def test_an_outline_says_the_same_as_width_depth_and_cuts():
    cut = _face(width_m=8, depth_m=5, cuts=[{"corner": "ridge right", "width_m": 3, "depth_m": 5}])
    drawn = _face(outline_m=[[0, 0], [8, 0], [5, 5], [0, 5]])
    assert set(drawn.corners) == set(cut.corners) and drawn.area_m2 == pytest.approx(cut.area_m2)
    assert _face(outline_ft=[[0, 0], [10, 0], [10, 10], [0, 10]]).area_m2 == pytest.approx(100 * FT2_M2)


CHIMNEY = {"name": "chimney", "kind": "chimney", "from_left_m": 3, "from_eave_m": 2, "width_m": 1, "depth_m": 1}


@pytest.mark.parametrize(("changed", "said"), [
    ({"width_m": 8, "outline_m": [[0, 0], [8, 0], [0, 5]]}, "leave out width_m"),
    ({"width_m": 8, "keep_clear": [CHIMNEY]}, "keep_clear needs the face's width and depth"),
    ({"cuts": [_cut("ridge left", 3, 3)]}, "cuts needs the face's width and depth"),
    ({"width_ft": 10, "depth_ft": 10, "cuts": [_cut("ridge left", 6, 3), _cut("ridge right", 6, 3)]}, "of the ridge, which is only"),
    ({"width_ft": 10, "depth_ft": 10, "cuts": [_cut("ridge left", 1, 1), _cut("ridge left", 2, 2)]}, "name the same corner"),
    ({"outline_m": [[0, 0], [5, 5], [5, 0], [0, 5]]}, "crosses itself"),
    ({"outline_m": [[0, 0], [4, 0], [8, 0]]}, "has no area"),
    ({"outline_m": [[1, 0], [8, 0], [8, 5]]}, "smallest x"),
    ({"width_m": 8, "depth_m": 5, "keep_clear": [{**CHIMNEY, "from_left_m": 9}]}, "'chimney' lies outside this face"),
    ({"width_m": 8, "depth_m": 5, "keep_clear": [{**CHIMNEY, "width_ft": 1}]}, "give only one of width_ft, width_m"),
    ({"edge_margin_m": 0.2, "edge_margin_ft": 1}, "give only one of edge_margin_ft, edge_margin_m"),
])
def test_a_slip_is_told_in_a_sentence(changed, said):
    with pytest.raises(ValidationError) as caught:
        _face(**changed)
    assert said in str(caught.value)


def test_turning_fire_access_off_needs_a_reason():
    with pytest.raises(ValidationError, match="needs a reason"):
        house(building={"fire_access": {"apply": False}})
    assert house(building={"fire_access": {"apply": True}}).building.fire_access.apply


def test_attachments_are_a_number_or_a_spacing():
    with pytest.raises(ValidationError, match="give only one of attachment_count"):
        house(building={"attachment_count": 20, "attachment_spacing_ft": 4})
