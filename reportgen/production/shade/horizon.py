"""The horizon round a plane: how high it stands at an azimuth, and what share of the even sky it leaves.

pvlib has rows of modules shading each other (`pvlib.shading`), but no horizon of a place; so this is ours.
"""

from __future__ import annotations

from functools import lru_cache

import numpy as np

BINS = 360                                          # of azimuth, for the share of the sky
BIN_DEG = (np.arange(BINS) + 0.5) * 360.0 / BINS
Pairs = tuple[tuple[float, float], ...]
SKY_SOURCE = ("share of an even sky over the part of the hemisphere that the plane faces, each direction weighted by the "
              "cosine of its incidence; by definition")


def horizon_deg(horizons: tuple[Pairs, ...], azimuth_deg):
    """Altitude of the skyline [°] at these azimuths; straight lines between the pairs, round the circle.

    horizons: any number of lists of (azimuth, altitude) [°]; where they differ the higher one hides the sun.
    """
    azimuth_deg = np.asarray(azimuth_deg, dtype=float)
    highest = np.zeros_like(azimuth_deg)
    for pairs in horizons:
        around, up = np.array(pairs).T
        highest = np.maximum(highest, np.interp(azimuth_deg, around, up, period=360.0))
    return highest


def is_open(horizons: tuple[Pairs, ...], azimuth_deg, altitude_deg):
    """Whether a sun at this place stands above the skyline.

    A level horizon hides nothing: in the hour of sunrise some light comes although the sun's middle is still below.
    """
    skyline = horizon_deg(horizons, azimuth_deg)
    return (np.asarray(altitude_deg) > skyline) | (skyline <= 0.0)


def light_above(altitude_deg, slope_deg: float, azimuth_deg: float, at_deg=BIN_DEG):
    """Light of an even sky on a plane from above `altitude_deg`, in one narrow slice of azimuth at `at_deg`.

    The integral of cos(incidence) cos(altitude) over altitude, from the skyline or the plane's own edge to straight
    up; summed over the circle with nothing in the way it gives π (1 + cos slope) / 2.
    """
    slope = np.radians(slope_deg)
    toward = np.sin(slope) * np.cos(np.radians(np.asarray(at_deg) - azimuth_deg))
    own_edge = np.arctan2(-toward, np.cos(slope))     # below it the slice lies behind the plane
    low = np.maximum(np.maximum(np.radians(altitude_deg), own_edge), 0.0)
    low = np.minimum(low, np.pi / 2)
    upward = np.cos(slope) * np.cos(low) ** 2 / 2.0
    sideways = toward * ((np.pi / 2 - low) / 2.0 - np.sin(2.0 * low) / 4.0)
    return np.maximum(upward + sideways, 0.0)


@lru_cache(maxsize=256)
def sky_share(horizons: tuple[Pairs, ...], slope_deg: float, azimuth_deg: float) -> float:
    """Share of an even sky's light on the plane that the horizon leaves, 0 to 1; exactly 1 for a level horizon."""
    whole = light_above(np.zeros(BINS), slope_deg, azimuth_deg).sum()
    left = light_above(horizon_deg(horizons, BIN_DEG), slope_deg, azimuth_deg).sum()
    return float(left / whole) if whole > 0 else 1.0
