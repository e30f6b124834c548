"""Horizon and obstacles in a house file: what may be written, and what is assumed."""

import pytest
from pydantic import ValidationError

from reportgen.describe.assumptions import complete
from tests.houses import house

TREE = {"name": "maple", "kind": "tree", "direction": "south-east", "distance_ft": 30, "width_ft": 20, "above_roof_ft": 15,
        "leaf_from": "April", "leaf_until": "October"}
WALL = {"name": "wall", "kind": "wall", "direction_deg": 250, "distance_m": 8, "width_m": 10, "above_roof_m": 2}
FACE = {"name": "back", "facing": "south", "slope": "6:12"}


def _refused(**changed) -> str:
    with pytest.raises(ValidationError) as caught:
        house(**changed)
    return str(caught.value)


def test_feet_and_metres_are_one():
    tree = house(obstacles=[TREE]).obstacles[0]
    assert tree.metres("distance") == pytest.approx(9.144) and tree.azimuth_deg == 135.0
    assert house(obstacles=[WALL]).obstacles[0].metres("above_roof") == 2


@pytest.mark.parametrize(("wrong", "said"), [
    ({"leaf_until": None}, "a tree needs leaf_from and leaf_until"),
    ({"kind": "evergreen"}, "leaf_from belongs to kind: tree"),
    ({"distance_m": 4}, "give only one of distance_ft, distance_m"),
    ({"direction": None}, "give one of direction or direction_deg"),
    ({"kind": "wall", "leaf_from": None, "leaf_until": None, "through_leaves_percent": 30},
     "through_leaves_percent belongs to kind: tree or evergreen"),
])
def test_what_does_not_fit_together_is_said_plainly(wrong, said):
    assert said in _refused(obstacles=[TREE | wrong])


@pytest.mark.parametrize(("horizon", "said"), [
    ([[0, 5], [180, 95]], "azimuth 180 is written as 95 degrees high"),
    ([[0, 5], [360, 7]], "gives azimuth 360 twice (0 and 360 are one)"),
])
def test_a_horizon_that_cannot_be_is_said_plainly(horizon, said):
    assert said in _refused(horizon=horizon)
    assert said in _refused(roof=[FACE | {"horizon": horizon}])


@pytest.mark.parametrize("horizon", [[[0, 5]], [[0, 5], [180]], [[0, 5], [180, -3]]])
def test_a_horizon_needs_two_pairs_of_numbers(horizon):
    assert "horizon" in _refused(horizon=horizon)


def test_leaves_may_span_the_new_year():
    southern = house(obstacles=[TREE | {"leaf_from": "October", "leaf_until": "April"}]).obstacles[0]
    assert southern.in_leaf == (True,) * 4 + (False,) * 5 + (True,) * 3


def _assumed(described):
    return {(a.path, a.value): a.paths for a in complete(described)[1] if "shade" in a.path or "through" in a.path}


def test_what_a_crown_lets_through_is_assumed_for_trees_alone_wherever_they_are_written():
    evergreen = {k: v for k, v in TREE.items() if not k.startswith("leaf")} | {"kind": "evergreen"}
    described = house(obstacles=[WALL, TREE], roof=[FACE | {"obstacles": [evergreen, TREE], "shade_percent": 1}])
    assert _assumed(described) == {
        ("obstacles.*.through_leaves_percent", 20): ("obstacles.1.through_leaves_percent",
                                                     "roof.0.obstacles.0.through_leaves_percent",
                                                     "roof.0.obstacles.1.through_leaves_percent"),
        ("obstacles.*.through_branches_percent", 60): ("obstacles.1.through_branches_percent",
                                                       "roof.0.obstacles.1.through_branches_percent")}


def test_where_horizon_or_obstacles_are_written_no_other_shade_is_assumed():
    plain, described = (house(roof=[FACE, FACE | more]) for more in ({}, {"obstacles": [WALL]}))
    assert _assumed(plain) == {("roof.*.shade_percent", 3): ("roof.0.shade_percent", "roof.1.shade_percent")}
    assert _assumed(described) == {("roof.*.shade_percent", 3): ("roof.0.shade_percent",),
                                   ("roof.*.shade_percent", 0): ("roof.1.shade_percent",)}
    assert _assumed(house(roof=[FACE], horizon=[[0, 0], [180, 0]])) == {
        ("roof.*.shade_percent", 0): ("roof.0.shade_percent",)}
