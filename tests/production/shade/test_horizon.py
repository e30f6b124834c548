"""A skyline hides the sun below it and its part of the sky."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from reportgen.production.shade.horizon import BINS, horizon_deg, is_open, light_above, sky_share

FEW = settings(max_examples=25, deadline=None)
PAIRS = st.lists(st.tuples(st.floats(0, 359), st.floats(0, 90)), min_size=2, max_size=12, unique_by=lambda p: p[0])


def test_altitudes_lie_on_straight_lines_between_the_pairs_round_the_circle():
    skyline = (((350.0, 10.0), (10.0, 20.0), (180.0, 0.0)),)
    assert horizon_deg(skyline, [350, 0, 10, 95, 360]) == pytest.approx([10, 15, 20, 10, 15])


def test_of_two_skylines_the_higher_one_hides_the_sun():
    hill, street = ((0.0, 5.0), (180.0, 5.0)), ((0.0, 0.0), (90.0, 20.0), (180.0, 0.0))
    assert horizon_deg((hill, street), [0, 90, 270]) == pytest.approx([5, 20, 5])


def test_no_horizon_is_a_level_one():
    assert horizon_deg((), [0, 123]) == pytest.approx([0, 0])
    assert is_open((), 123, 0.1) and is_open((), 123, -0.1)       # sunrise within the hour
    assert not is_open((((0.0, 1.0), (180.0, 1.0)),), 123, 0.9)


@pytest.mark.parametrize("slope", [0.0, 18.4, 45.0, 90.0])
def test_the_slices_of_a_free_sky_sum_to_the_view_factor(slope):
    """Light of an even sky on a plane: π (1 + cos slope) / 2 of its radiance; Liu and Jordan 1960, from memory."""
    whole = light_above(np.zeros(BINS), slope, 77.0).sum() * 2 * np.pi / BINS
    assert whole == pytest.approx(np.pi * (1 + np.cos(np.radians(slope))) / 2, rel=1e-4)


@pytest.mark.parametrize("altitude", [5.0, 20.0, 60.0])
def test_an_even_skyline_leaves_a_level_plane_its_cosine_squared(altitude):
    """By definition: the integral of sin a cos a from the skyline to straight up, against that from level."""
    share = sky_share((((0.0, altitude), (180.0, altitude)),), 0.0, 180.0)
    assert share == pytest.approx(np.cos(np.radians(altitude)) ** 2, rel=1e-12)


def test_a_level_horizon_leaves_all_of_the_sky_to_the_bit():
    assert sky_share((((0.0, 0.0), (180.0, 0.0)),), 33.0, 210.0) == 1.0


def test_what_lies_behind_the_plane_takes_nothing_of_its_sky():
    behind = (((269.0, 0.0), (270.0, 0.0), (300.0, 15.0), (60.0, 15.0), (90.0, 0.0), (91.0, 0.0)),)
    assert sky_share(behind, 90.0, 180.0) == pytest.approx(1.0, abs=1e-12)
    assert sky_share(behind, 10.0, 180.0) < 0.995


@FEW
@given(pairs=PAIRS, slope=st.floats(0, 90), facing=st.floats(0, 359), more=st.floats(0, 30))
def test_a_higher_skyline_never_leaves_more(pairs, slope, facing, more):
    low = sky_share((tuple(pairs),), slope, facing)
    high = sky_share((tuple((a, min(h + more, 90.0)) for a, h in pairs),), slope, facing)
    assert 0.0 <= high <= low <= 1.0
