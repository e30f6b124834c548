"""Obstacles near a roof face: how high each stands seen from points all over the face, and what it lets through."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from reportgen.describe.roof import RoofFace
from reportgen.describe.shade import TREES, Obstacle
from reportgen.production.shade.horizon import BIN_DEG, light_above

ACROSS, ALONG = 8, 5                    # points on the face: along the eave, and down the slope
USUAL_WIDTH_M, USUAL_DEPTH_M = 8.0, 4.5   # where the face's sides are not written; common practice, no source


class Screen(NamedTuple):
    """An obstacle as geometry [m, °], seen from the middle of the face. It reaches from its top down to the ground."""

    azimuth_deg: float
    distance_m: float
    width_m: float
    top_m: float            # above the middle of the face
    is_tree: bool           # a rounded top
    is_flat: bool           # stands square to the line from the face's middle; all others look alike from every side


class Patch(NamedTuple):
    """The part of a plane that carries modules [m, °]."""

    slope_deg: float
    azimuth_deg: float
    width_m: float
    depth_m: float


def screen_of(obstacle: Obstacle) -> Screen:
    return Screen(obstacle.azimuth_deg, obstacle.metres("distance"), obstacle.metres("width"),
                  obstacle.metres("above_roof"), obstacle.kind in TREES, obstacle.kind in ("wall", "building"))


def through_by_month(obstacle: Obstacle) -> tuple[float, ...]:
    """Share of the sun that comes through in each month, 0 to 1; nothing where it is no tree."""
    if obstacle.kind not in TREES:
        return (0.0,) * 12
    in_leaf = obstacle.through_leaves_percent / 100.0
    if obstacle.kind == "evergreen":
        return (in_leaf,) * 12
    return tuple(in_leaf if leafy else obstacle.through_branches_percent / 100.0 for leafy in obstacle.in_leaf)


def patch_of(face: RoofFace) -> Patch:
    """The whole face as written; a usual size where a side is missing."""
    width_m, depth_m = USUAL_WIDTH_M, USUAL_DEPTH_M
    if face.corners is not None:
        width_m, depth_m = (max(side) - min(side) for side in zip(*face.corners))
    return Patch(face.tilt_deg, face.facing_deg, width_m, depth_m)


def points_on(patch: Patch) -> np.ndarray:
    """(points, 3): metres east, north and up from the middle of the face; each point stands for an equal part of it."""
    slope, facing = np.radians(patch.slope_deg), np.radians(patch.azimuth_deg)
    along = ((np.arange(ACROSS) + 0.5) / ACROSS - 0.5) * patch.width_m
    down = ((np.arange(ALONG) + 0.5) / ALONG - 0.5) * patch.depth_m
    across, down = (grid.ravel() for grid in np.meshgrid(along, down))
    east = across * np.cos(facing) + down * np.cos(slope) * np.sin(facing)
    north = -across * np.sin(facing) + down * np.cos(slope) * np.cos(facing)
    return np.column_stack((east, north, -down * np.sin(slope)))


def top_deg(screen: Screen, points: np.ndarray, azimuth_deg) -> np.ndarray:
    """Altitude of the obstacle's top [°] seen from each point in each direction; 0 where it does not stand there.

    points: as `points_on` gives them. Shape of the answer: (points, azimuths).
    A wall or building is an upright sheet square to the line from the face's middle; anything else turns its width to
    every point alike. A tree's crown is rounded over half its width. All are dark down to the ground: what shines in
    under a crown is left out.
    """
    out = np.radians(screen.azimuth_deg)
    centre = screen.distance_m * np.array([np.sin(out), np.cos(out)])
    to_centre = centre - points[:, :2]
    if screen.is_flat:
        normal = np.broadcast_to(centre / screen.distance_m, to_centre.shape)
    else:
        away = np.hypot(*to_centre.T)[:, None]
        normal = np.divide(to_centre, away, out=np.tile(centre / screen.distance_m, (len(points), 1)), where=away > 0)
        # No point lies inside the thing itself.
        to_centre = normal * np.maximum(away, screen.width_m / 2.0)
    sine, cosine = np.sin(np.radians(azimuth_deg)), np.cos(np.radians(azimuth_deg))
    ahead = normal[:, :1] * sine + normal[:, 1:] * cosine             # of a level step, the part towards the sheet
    gap = (to_centre * normal).sum(axis=1)[:, None]
    meets = (ahead > 1e-9) & (gap > 0)
    level_m = gap / np.where(meets, ahead, 1.0)
    aside_m = level_m * (normal[:, 1:] * sine - normal[:, :1] * cosine) \
        - (to_centre[:, :1] * normal[:, 1:] - to_centre[:, 1:] * normal[:, :1])
    half = screen.width_m / 2.0
    meets &= np.abs(aside_m) <= half
    top = screen.top_m - points[:, 2:]
    if screen.is_tree:
        top = top - half * (1.0 - np.sqrt(np.maximum(1.0 - (aside_m / half) ** 2, 0.0)))
    return np.where(meets & (top > 0), np.degrees(np.arctan2(top, level_m)), 0.0)


def profile_deg(screen: Screen, azimuth_deg) -> np.ndarray:
    """Altitude of the top [°] seen from the middle of the face, as a picture shows it."""
    return top_deg(screen, np.zeros((1, 3)), azimuth_deg)[0]


def sky_left(patch: Patch, tops_deg: np.ndarray, skyline_deg: np.ndarray, through: np.ndarray) -> np.ndarray:
    """Share of an even sky's light that horizon and obstacles leave, for each month: twelve, 0 to 1.

    tops_deg: (obstacles, points, BINS) [°]. skyline_deg: the horizon at the bins. through: (obstacles, 12).
    Crowns behind each other dim one after the other.
    """
    tops = np.maximum(tops_deg, skyline_deg)
    order = np.argsort(tops, axis=0)
    levels = np.concatenate((np.broadcast_to(skyline_deg, (1, *tops.shape[1:])), np.take_along_axis(tops, order, axis=0)))
    light = light_above(levels, patch.slope_deg, patch.azimuth_deg, BIN_DEG)
    slices = np.concatenate((light[:-1] - light[1:], light[-1:]))     # between one top and the next
    whole = light_above(np.zeros(len(BIN_DEG)), patch.slope_deg, patch.azimuth_deg).sum() * tops.shape[1]
    kinds, of_month = np.unique(through, axis=1, return_inverse=True)
    found = []
    for column in kinds.T:
        passes = np.ones_like(slices)                                 # above all tops the sky is free
        passes[:-1] = np.cumprod(column[order][::-1], axis=0)[::-1]   # below: through all that stand higher
        found.append(float((slices * passes).sum() / whole))
    return np.minimum(np.array(found)[of_month.ravel()], 1.0)
