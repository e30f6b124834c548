"""How high an obstacle stands from points of a face, and what it leaves of the sky."""

import numpy as np
import pytest

from reportgen.describe.shade import Obstacle
from reportgen.production.shade.horizon import BIN_DEG, BINS, sky_share
from reportgen.production.shade.obstacles import (
    Patch,
    Screen,
    patch_of,
    points_on,
    profile_deg,
    sky_left,
    through_by_month,
    top_deg,
)
from tests.houses import house

WALL = Screen(180.0, 10.0, 8.0, 5.0, is_tree=False, is_flat=True)
TREE = {"name": "maple", "kind": "tree", "direction": "south", "distance_m": 10, "width_m": 6, "above_roof_m": 5,
        "leaf_from": "April", "leaf_until": "October", "through_leaves_percent": 20.0,
        "through_branches_percent": 60.0}


def test_a_wall_is_as_high_and_as_wide_as_its_angles():
    """Ten metres off, five metres above: arctan 5/10; eight metres wide: arctan 4/10 to either side."""
    half = np.degrees(np.arctan2(4, 10))
    seen = profile_deg(WALL, [180.0, 180 - half + 0.1, 180 + half - 0.1, 180 - half - 0.1, 0.0])
    assert seen[0] == pytest.approx(np.degrees(np.arctan2(5, 10)))
    assert seen[1] == pytest.approx(np.degrees(np.arctan2(5 * np.cos(np.radians(half)), 10)), abs=0.1)
    assert (seen[1:3] > 0).all() and (seen[3:] == 0).all()


def test_a_point_nearer_to_the_wall_sees_it_higher_and_one_above_its_top_not_at_all():
    points = np.array([[0.0, 0, 0], [0, -5, 0], [0, 0, 5.5], [20, 0, 0]])
    assert top_deg(WALL, points, [180.0])[:, 0] == pytest.approx([np.degrees(np.arctan2(5, 10)), 45.0, 0, 0])


def test_a_chimney_shows_every_point_its_whole_width():
    chimney = Screen(90.0, 3.0, 1.0, 1.0, is_tree=False, is_flat=False)
    points = np.array([[0.0, 0, 0], [3.0, -3.0, 0]])
    there = top_deg(chimney, points, np.arange(0.0, 360, 0.25)) > 0
    width = there.sum(axis=1) * 0.25
    assert width == pytest.approx(2 * np.degrees(np.arctan2(0.5, 3)), abs=0.5)


def test_a_trees_crown_is_round():
    tree = Screen(180.0, 10.0, 6.0, 5.0, is_tree=True, is_flat=False)
    edge = np.degrees(np.arctan2(2.9, 10))
    middle, side = profile_deg(tree, [180.0, 180.0 + edge])
    assert middle == pytest.approx(np.degrees(np.arctan2(5, 10)))
    assert side < np.degrees(np.arctan2(3.3, 10))


def test_nothing_stands_closer_than_its_own_half_width():
    """A point inside the obstacle's outline would have no angle; it sees it from its edge."""
    chimney = Screen(90.0, 0.5, 2.0, 1.0, is_tree=False, is_flat=False)
    assert top_deg(chimney, np.zeros((1, 3)), [90.0])[0, 0] == pytest.approx(45.0)


def test_the_points_lie_in_the_plane_and_around_its_middle():
    patch = Patch(30.0, 135.0, 10.0, 4.0)
    points = points_on(patch)
    normal = [np.sin(np.radians(30)) * np.sin(np.radians(135)), np.sin(np.radians(30)) * np.cos(np.radians(135)),
              np.cos(np.radians(30))]
    assert points @ normal == pytest.approx(0, abs=1e-12)
    assert points.mean(axis=0) == pytest.approx([0, 0, 0], abs=1e-12)
    downhill = points @ [np.sin(np.radians(135)), np.cos(np.radians(135)), 0]
    assert np.corrcoef(downhill, points[:, 2])[0, 1] == pytest.approx(-1.0)


def test_the_patch_is_the_face_as_written_or_of_a_usual_size():
    face = house(roof=[{"facing": "west", "slope_deg": 20, "width_ft": 30, "depth_ft": 10}]).roof[0]
    assert patch_of(face)[:2] == (20.0, 270.0)
    assert patch_of(face)[2:] == pytest.approx((9.144, 3.048))
    assert patch_of(house(roof=[{"facing": "west", "slope_deg": 20}]).roof[0])[2:] == (8.0, 4.5)


def test_leaves_decide_the_month():
    through = through_by_month(Obstacle.model_validate(TREE))
    assert through == (0.6,) * 3 + (0.2,) * 7 + (0.6,) * 2
    southern = Obstacle.model_validate(TREE | {"leaf_from": "October", "leaf_until": "April"})
    assert through_by_month(southern) == (0.2,) * 4 + (0.6,) * 5 + (0.2,) * 3
    wall = {k: TREE[k] for k in ("name", "direction", "distance_m", "width_m", "above_roof_m")} | {"kind": "wall"}
    assert through_by_month(Obstacle.model_validate(wall)) == (0.0,) * 12


def _left(patch, tops, through, skyline=None):
    skyline = np.zeros(BINS) if skyline is None else skyline
    return sky_left(patch, np.array(tops), skyline, np.array(through))


def test_a_dark_ring_all_round_takes_the_sky_as_a_horizon_does():
    patch, ring = Patch(35.0, 200.0, 8.0, 4.0), np.full((1, 1, BINS), 12.0)
    expected = sky_share((((0.0, 12.0), (180.0, 12.0)),), 35.0, 200.0)
    assert _left(patch, ring, [[0.0] * 12]) == pytest.approx(np.full(12, expected), rel=1e-12)


def test_crowns_behind_each_other_dim_one_after_the_other():
    """A level plane under two rings: between their tops one dims, below the lower both; by definition."""
    patch = Patch(0.0, 180.0, 8.0, 4.0)
    left = _left(patch, [np.full((1, BINS), 30.0), np.full((1, BINS), 50.0)], [[0.5] * 12, [0.4] * 6 + [1.0] * 6])
    below, between, above = 0.25, np.sin(np.radians(50)) ** 2 - 0.25, np.cos(np.radians(50)) ** 2
    assert left[:6] == pytest.approx(below * 0.2 + between * 0.4 + above)
    assert left[6:] == pytest.approx(below * 0.5 + between + above)


def test_an_obstacle_below_the_horizon_takes_nothing_more():
    patch = Patch(20.0, 180.0, 8.0, 4.0)
    skyline = np.full(BINS, 15.0)
    tops = np.where(np.abs(BIN_DEG - 180) < 40, 10.0, 0.0)[None, None, :]
    assert _left(patch, tops, [[0.0] * 12], skyline) == pytest.approx(
        np.full(12, sky_share((((0.0, 15.0), (180.0, 15.0)),), 20.0, 180.0)), rel=1e-12)
