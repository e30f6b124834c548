"""What shade does to a year, for any horizon, any obstacle and any percentage."""

from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from reportgen.chain import assess
from reportgen.production.chain import produce
from reportgen.production.result import SpreadPart
from tests.houses import house
from tests.production.years import clear_year, face, filled, greensboro

FEW = settings(max_examples=15, deadline=None)
KINDS = st.sampled_from(["tree", "evergreen", "wall", "chimney", "building", "other"])
CONVERSION = st.sampled_from(["string inverter", "module-level"])
PAIRS = st.lists(st.tuples(st.floats(0, 359), st.floats(0, 90)).map(list), min_size=2, max_size=9,
                 unique_by=lambda p: p[0])
MAPLE = {"name": "maple", "kind": "tree", "direction": "south-east", "distance_m": 9, "width_m": 8, "above_roof_m": 6,
         "leaf_from": "April", "leaf_until": "October"}
WALL = {"name": "neighbour", "kind": "building", "direction": "south-west", "distance_m": 7, "width_m": 12,
        "above_roof_m": 3}


@st.composite
def obstacle(draw):
    kind = draw(KINDS)
    found = {"name": "it", "kind": kind, "direction_deg": draw(st.floats(0, 359)), "distance_m": draw(st.floats(0.3, 40)),
             "width_m": draw(st.floats(0.2, 30)), "above_roof_m": draw(st.floats(-5, 25))}
    if kind in ("tree", "evergreen"):
        found["through_leaves_percent"] = draw(st.floats(0, 100))
    if kind == "tree":
        found |= {"leaf_from": "May", "leaf_until": "September", "through_branches_percent": draw(st.floats(0, 100))}
    return found


def made(conversion="string inverter", horizon=None, obstacles=(), shade=0, year=None, **roof):
    roof = face(**roof) | {"shade_percent": shade, "obstacles": list(obstacles), "horizon": horizon}
    return produce(filled(roof=[roof], array={"conversion": conversion}), year or greensboro())


def factors(production):
    return {step.key: step.factor for step in production.losses}


@FEW
@given(pairs=PAIRS, things=st.lists(obstacle(), max_size=3), more=obstacle(), shade=st.floats(0, 100), slope=st.floats(0, 90),
       facing=st.floats(0, 359), conversion=CONVERSION)
def test_adding_shade_never_raises_any_hour(pairs, things, more, shade, slope, facing, conversion):
    where = {"facing": None, "azimuth_deg": facing, "slope_deg": slope}
    free = made(conversion, **where).hours_kwh
    horizon = made(conversion, pairs, **where).hours_kwh
    some = made(conversion, pairs, things, **where).hours_kwh
    all_of_it = made(conversion, pairs, [*things, more], shade, **where).hours_kwh
    assert (horizon <= free).all()
    assert (some <= horizon).all()
    assert (all_of_it <= some + 1e-12).all()       # the order of the sums may differ in the last bit


@FEW
@given(slope=st.floats(0, 90), facing=st.floats(0, 359), conversion=CONVERSION)
def test_a_level_horizon_changes_nothing_to_the_bit(slope, facing, conversion):
    where = {"facing": None, "azimuth_deg": facing, "slope_deg": slope}
    free, level = made(conversion, **where), made(conversion, [[0, 0], [180, 0]], **where)
    assert free.hours_kwh.tobytes() == level.hours_kwh.tobytes()
    assert free.losses == level.losses and free.year == level.year


@FEW
@given(pairs=PAIRS, things=st.lists(obstacle(), max_size=2), shade=st.floats(0, 100), conversion=CONVERSION)
def test_the_factors_still_multiply_to_meter_over_sun(pairs, things, shade, conversion):
    steps = made(conversion, pairs, things, shade).losses
    together = np.prod([step.factor for step in steps])
    assert together == pytest.approx(steps[-1].after_kwh / steps[0].before_kwh, rel=1e-12, abs=1e-15)
    assert all(above.after_kwh == below.before_kwh for above, below in pairwise(steps))
    assert all(step.factor <= 1 + 1e-12 for step in steps if step.key != "heat")


def test_the_stair_names_what_shades_and_leaves_out_what_does_not():
    assert list(factors(made("module-level")))[:2] == ["shade", "reflection"]
    assert list(factors(made(horizon=[[0, 5], [180, 5]])))[:3] == ["horizon", "shade", "reflection"]
    both = factors(made(horizon=[[0, 5], [180, 5]], obstacles=[MAPLE], shade=4))
    assert list(both)[:5] == ["horizon", "obstacles", "shade", "reflection", "string"]
    assert both["shade"] == pytest.approx(0.96, rel=1e-12)       # the percentage multiplies what the others leave


def test_a_horizon_holds_no_string_back_since_it_takes_the_sun_from_all_modules_at_once():
    assert "string" not in factors(made(horizon=[[0, 20], [180, 20]]))


def test_a_horizon_as_high_as_the_sun_ever_stands_leaves_sky_and_ground_alone():
    dark = made("module-level", [[0, 80], [180, 80]], slope_deg=10, year=clear_year(40.0))
    assert dark.faces[0].plane_of_array_kwh_m2 > 1000            # told before shade
    assert 0 < factors(dark)["horizon"] < 0.02


def test_a_wall_in_the_east_costs_the_morning():
    wall = WALL | {"direction": "east", "distance_m": 4}
    free, shaded = (made("module-level", obstacles=o).hours_kwh.reshape(365, 24).sum(axis=0) for o in ((), [wall]))
    lost = 1 - shaded / np.maximum(free, 1e-9)
    assert lost[7] > 0.4 and lost[14:18].max() < 0.1       # later only the sky's light from the east is missing


def test_the_bare_tree_takes_less_in_the_months_without_leaves():
    evergreen = {k: v for k, v in MAPLE.items() if not k.startswith("leaf")} | {"kind": "evergreen"}
    shed, kept = (made("module-level", obstacles=[o]).month_kwh for o in (MAPLE, evergreen))
    assert shed[4:9] == pytest.approx(kept[4:9], rel=1e-12)
    assert (shed[[0, 1, 10, 11]] > kept[[0, 1, 10, 11]]).all()


def test_what_the_house_writes_and_what_the_face_writes_add_up():
    def year(house_has, face_has):
        roof = face(obstacles=face_has.get("obstacles", []), horizon=face_has.get("horizon"))
        return produce(filled(roof=[roof], **house_has), greensboro()).year.value

    low, high = [[0, 3], [180, 3]], [[0, 8], [90, 0], [180, 8]]
    apart = year({"horizon": low, "obstacles": [MAPLE]}, {"horizon": high, "obstacles": [WALL]})
    assert apart == pytest.approx(year({"horizon": high, "obstacles": [WALL]}, {"horizon": low, "obstacles": [MAPLE]}), rel=1e-12)
    assert apart < min(year({"horizon": low, "obstacles": [MAPLE]}, {}), year({}, {"horizon": high, "obstacles": [WALL]}))


def test_only_the_face_that_has_the_tree_is_shaded_by_it():
    roof = [face(name="left", obstacles=[MAPLE]), face(name="right")]
    left, right = produce(filled(roof=roof, array={"conversion": "module-level"}), greensboro()).faces
    assert left.year_kwh < right.year_kwh
    assert left.plane_of_array_kwh_m2 == right.plane_of_array_kwh_m2


def test_shade_and_the_string_are_parts_of_the_range():
    def parts(production):
        return {p.label: p.sigma for p in production.spread.parts if isinstance(p, SpreadPart)}
    shaded = made(obstacles=[MAPLE, WALL])
    steps = factors(shaded)
    assert parts(shaded)["Shade"] == pytest.approx(0.25 * (1 - steps["obstacles"]))
    assert parts(shaded)["String held back by shade"] == pytest.approx(0.5 * (1 - steps["string"]))
    assert "String held back by shade" not in parts(made("module-level", obstacles=[MAPLE, WALL]))
    assert shaded.spread.one_year_sigma > made().spread.one_year_sigma


def test_the_reader_is_told_in_figures():
    figures = {f.key: f for f in made(obstacles=[MAPLE, WALL]).figures}
    lost = figures["production.skyline_percent"]
    assert lost.low < lost.value < lost.high and lost.formula and lost.sources
    assert figures["production.face_1.skyline_percent"].value == pytest.approx(lost.value, rel=1e-9)
    held = figures["production.string_percent"]
    assert held.low == pytest.approx(held.value / 2) and "NREL/TP-5200-54876" in held.sources[0]
    assert not any("skyline" in f.key or "string_percent" in f.key for f in made("module-level").figures)


def test_the_skyline_is_handed_on_for_the_picture_once_for_faces_that_see_the_same():
    roof = [face(name="a", obstacles=[MAPLE]), face(name="b", facing="east"), face(name="c", facing="west"),
            face(name="bare", module_count=0)]
    roof = [f | ({"module_count": 5} if f["name"] != "bare" else {}) for f in roof]
    house = filled(roof=roof, horizon=[[0, 3], [180, 6]], array={"module_count": 15})
    found = produce(house, greensboro()).skylines
    assert [[name for name, _, _ in s.faces] for s in found] == [["a"], ["b", "c"]]
    assert [len(s.obstacles) for s in found] == [1, 0]
    assert found[0].horizon_deg[0] == 3.0 and found[0].horizon_deg[360] == 6.0
    assert made().skylines == ()


def test_what_leaves_let_through_is_run_again_at_both_ends_wherever_the_tree_is_written():
    face_has, house_has = ({"roof": [face(obstacles=[MAPLE])]}, {"roof": [face()], "obstacles": [MAPLE]})
    for written in (face_has, house_has):
        described = house(array={"module_count": 20}, **written)
        effects = {e.key: e for e in assess(described, greensboro()).effects}
        low, high = effects["obstacles.*.through_leaves_percent"].year_kwh
        assert low < high
