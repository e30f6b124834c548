"""Several inverters, and units under the modules: each converts, and is limited, for itself."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from reportgen.production.chain import produce
from reportgen.production.faces import share_modules
from reportgen.production.inverters import plan_inverters
from reportgen.sizing import with_inverter_totals
from tests.production.years import face, filled, greensboro

FEW = settings(max_examples=20, deadline=None)
EAST = face(name="east", facing="east", module_count=10)
WEST = face(name="west", facing="west", module_count=10)
NO_DOWNTIME = {"downtime_percent": 0.0}


def _listed(*inverters, roof=(EAST, WEST), **more):
    return produce(filled(roof=list(roof), array={"inverters": list(inverters), "inverter_kw": None,
                                                  "module_count": None, **more}, losses=NO_DOWNTIME), greensboro())


def _one(limit, roof=(EAST, WEST), **more):
    return produce(filled(roof=list(roof), array={"inverter_kw": limit, "module_count": None, **more},
                          losses=NO_DOWNTIME), greensboro())


def test_two_equal_inverters_on_all_faces_give_what_one_of_twice_the_size_gives():
    """Each gets half of everything, so all is the same to the last digit."""
    assert np.array_equal(_listed({"limit_kw": 2.5, "count": 2}).hours_kwh, _one(5.0).hours_kwh)


def test_unequal_inverters_on_the_same_faces_share_by_their_limits():
    made = _listed({"limit_kw": 2.0}, {"limit_kw": 4.0})
    assert [i.dc_kw for i in made.inverters] == pytest.approx([8 / 3, 16 / 3])
    assert made.hours_kwh == pytest.approx(_one(6.0).hours_kwh, rel=1e-12)


def test_an_inverter_with_its_own_face_is_limited_for_itself():
    """East gives at its limit while west does not, so less comes through than a common limit lets pass."""
    made = _listed({"name": "morning", "limit_kw": 2.5, "faces": ["east"]},
                   {"name": "evening", "limit_kw": 2.5, "faces": ["west"]})
    assert made.year.value < _one(5.0).year.value
    assert [i.highest_kw for i in made.inverters] == [2.5, 2.5]
    assert made.faces[0].cut_off_kwh == pytest.approx(made.inverters[0].cut_off_kwh, rel=1e-12)
    assert made.faces[0].cut_off_kwh > 0 < made.faces[1].cut_off_kwh


def test_an_inverter_that_names_no_face_takes_what_no_other_names():
    south = face(name="south", module_count=4)
    made = _listed({"limit_kw": 3.0, "faces": ["east"]}, {"limit_kw": 5.0}, roof=(EAST, WEST, south))
    assert [i.faces for i in made.inverters] == [("east",), ("west", "south")]
    assert [i.dc_kw for i in made.inverters] == pytest.approx([4.0, 5.6])


def test_the_ratio_of_each_inverter_is_in_the_figures():
    made = _listed({"limit_kw": 2.5, "faces": ["east"]}, {"limit_kw": 4.0, "faces": ["west"]})
    figures = {f.key: f.value for f in made.figures}
    assert figures["production.inverter_1.dc_ac_ratio"] == pytest.approx(4.0 / 2.5)
    assert figures["production.inverter_2.dc_ac_ratio"] == pytest.approx(1.0)
    assert figures["production.dc_ac_ratio"] == pytest.approx(8.0 / 6.5)
    assert figures["production.ac_limit_kw"] == pytest.approx(6.5)


def test_each_inverters_own_efficiency_goes_before_the_common_one():
    better, common = (_listed({"limit_kw": 9.0, **more}, inverter_efficiency_percent=95.0)
                      for more in ({"efficiency_percent": 98.0}, {}))
    assert [m.inverters[0].efficiency_percent for m in (better, common)] == [98.0, 95.0]
    assert better.year.value > common.year.value


def test_units_by_their_limit_are_as_many_as_the_modules():
    array = {"conversion": "module-level", "inverter_kw": None, "unit_limit_w": 290, "unit_output_a": 1.21}
    house = with_inverter_totals(filled(array=array))
    assert house.array.inverter_kw == pytest.approx(20 * 0.29)
    assert house.array.inverter_a == pytest.approx(20 * 1.21)
    made = produce(filled(array=array, losses=NO_DOWNTIME), greensboro())
    assert made.ac_limit_kw == pytest.approx(5.8)
    assert made.inverters[0].highest_kw == 0.29
    same = produce(filled(array={"conversion": "module-level", "inverter_kw": 5.8}, losses=NO_DOWNTIME), greensboro())
    assert made.hours_kwh == pytest.approx(same.hours_kwh, rel=1e-12)


@FEW
@given(limits=st.lists(st.floats(0.5, 6), min_size=1, max_size=4), counts=st.lists(st.integers(1, 3), min_size=4, max_size=4),
       east=st.integers(0, 30), own_face=st.booleans())
def test_no_inverter_passes_its_limit_in_any_hour_nor_all_together_theirs(limits, counts, east, own_face):
    """Exactly: no rounding may carry an hour above."""
    listed = [{"limit_kw": limit, "count": count} for limit, count in zip(limits, counts, strict=False)]
    if own_face and len(listed) > 1:
        listed[0]["faces"] = ["west"]
    roof = (EAST | {"module_count": east}, WEST)
    made = _listed(*listed, roof=roof)
    for inverter, limit in zip(made.inverters, limits, strict=True):
        assert inverter.highest_kw <= limit
    assert made.hours_kwh.max() <= made.ac_limit_kw
    assert made.hours_kwh.min() >= 0


@FEW
@given(limit_w=st.floats(50, 500), east=st.integers(0, 30), west=st.integers(1, 30))
def test_no_unit_passes_its_limit_in_any_hour(limit_w, east, west):
    array = {"conversion": "module-level", "inverter_kw": None, "unit_limit_w": limit_w}
    made = _one(None, roof=(EAST | {"module_count": east}, WEST | {"module_count": west}), **array)
    for inverter in made.inverters:
        assert inverter.highest_kw <= inverter.limit_kw
    assert made.hours_kwh.max() <= made.ac_limit_kw
    assert made.hours_kwh.min() >= 0


@FEW
@given(limits=st.lists(st.floats(0.5, 6), min_size=2, max_size=3), east=st.integers(1, 20), west=st.integers(1, 20))
def test_faces_and_inverters_each_add_up_to_the_whole(limits, east, west):
    listed = [{"limit_kw": limit} for limit in limits]
    listed[0]["faces"] = ["east"]
    made = _listed(*listed, roof=(EAST | {"module_count": east}, WEST | {"module_count": west}))
    assert sum(f.month_kwh for f in made.faces) == pytest.approx(made.month_kwh, rel=1e-12)
    cut = next(s for s in made.losses if s.key == "limit")
    assert sum(i.cut_off_kwh for i in made.inverters) == pytest.approx(cut.before_kwh - cut.after_kwh, abs=1e-6)
    assert sum(f.cut_off_kwh for f in made.faces) == pytest.approx(cut.before_kwh - cut.after_kwh, abs=1e-6)
    assert sum(i.dc_kw for i in made.inverters) == pytest.approx(made.dc_kw)


def test_twice_the_faces_and_twice_the_inverters_give_exactly_twice_the_output():
    one = _listed({"limit_kw": 2.5, "faces": ["east"]}, {"limit_kw": 3.0, "faces": ["west"]})
    two = _listed({"limit_kw": 5.0, "faces": ["east"]}, {"limit_kw": 6.0, "faces": ["west"]},
                  roof=(EAST | {"module_count": 20}, WEST | {"module_count": 20}))
    assert np.array_equal(two.hours_kwh, 2 * one.hours_kwh)


def test_every_part_of_every_face_goes_to_exactly_one_inverter():
    roof = [EAST, WEST, face(name="south", module_count=3)]
    listed = [{"limit_kw": 2.0, "faces": ["east", "west"]}, {"limit_kw": 3.0, "faces": ["west"]}, {"limit_kw": 1.0}]
    house = filled(roof=roof, array={"inverters": listed, "inverter_kw": None, "module_count": None})
    plans = plan_inverters(house, share_modules(house))
    assert [sum(plan.parts[i] for plan in plans) for i in range(3)] == pytest.approx([1, 1, 1])


def test_what_the_night_takes_is_stated_and_not_taken_off():
    said, usual, units = (produce(filled(array=array), greensboro()) for array in (
        {"night_draw_w": 60.0}, {}, {"conversion": "module-level"}))
    night = [next(f for f in m.figures if f.key == "production.night_draw_kwh") for m in (said, usual, units)]
    dark = int((greensboro().ghi_w_m2 <= 0).sum())
    assert night[0].value == pytest.approx(60 * dark / 1000)
    assert night[1].value == pytest.approx(2 * dark / 1000)
    assert night[2].value == pytest.approx(20 * 0.05 * dark / 1000)
    assert "common practice, no source" in night[1].sources[0]
    assert said.year.value == usual.year.value
