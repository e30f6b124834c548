"""How the array is shared out over the roof faces."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from reportgen.production.faces import share_modules
from tests.production.years import face, filled


def _counts(house):
    return [share.module_count for share in share_modules(house)]


def test_counts_at_the_faces_stand_and_a_face_without_one_stays_empty():
    house = filled(roof=[face(module_count=5), face(), face(module_count=7)], array={"array_kw": 6.0})
    assert _counts(house) == [5, 0, 7]
    assert [share.dc_kw for share in share_modules(house)] == [2.5, 0.0, 3.5]


def test_known_areas_share_in_proportion():
    roof = [face(width_m=10, depth_m=4), face(width_m=5, depth_m=4)]
    assert _counts(filled(roof=roof, array={"module_count": 20})) == [13, 7]


def test_one_unknown_area_means_equal_shares():
    assert _counts(filled(roof=[face(width_m=10, depth_m=4), face()], array={"module_count": 21})) == [11, 10]


def test_feet_and_metres_may_mix():
    assert _counts(filled(roof=[face(width_ft=32.8084, depth_m=3), face(width_m=10, depth_ft=9.84252)])) == [10, 10]


def test_a_written_power_is_kept_whatever_the_modules_make():
    shares = share_modules(filled(roof=[face(), face(), face()], array={"array_kw": 7.77}))
    assert sum(share.dc_kw for share in shares) == pytest.approx(7.77, rel=1e-15)
    assert sum(share.module_count for share in shares) == 19     # 7,770 W / 400 W = 19.4


def test_an_array_without_modules_is_refused_in_words():
    with pytest.raises(ValueError, match="give at least one face a module"):
        filled(roof=[face(module_count=0)])


@settings(max_examples=40, deadline=None)
@given(total=st.integers(1, 200), widths=st.lists(st.floats(1, 50), min_size=1, max_size=8))
def test_no_module_is_lost_and_no_share_is_off_by_more_than_one(total, widths):
    house = filled(roof=[face(width_m=w, depth_m=4) for w in widths], array={"module_count": total})
    counts = _counts(house)
    assert sum(counts) == total
    for count, width in zip(counts, widths, strict=True):
        assert abs(count - total * width / sum(widths)) < 1
