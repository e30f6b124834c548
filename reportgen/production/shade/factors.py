"""All that horizon and obstacles do to one face: hour by hour for the sun's ray, month by month for the sky."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from reportgen.climate.sun import SunPath, sun_path
from reportgen.describe.models import House
from reportgen.describe.roof import RoofFace
from reportgen.production.shade.horizon import BIN_DEG, Pairs, horizon_deg, is_open, sky_share
from reportgen.production.shade.obstacles import (
    Patch,
    Screen,
    patch_of,
    points_on,
    screen_of,
    sky_left,
    through_by_month,
    top_deg,
)
from reportgen.production.shade.string import beam_held

MONTH_OF_HOUR = np.repeat(np.arange(12), np.array([31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31]) * 24)


@dataclass(frozen=True, eq=False)
class ShadeFactors:
    """Shares of the light that are left, 0 to 1. Hours as in TypicalYear; read-only.

    Light from around the sun goes with the beam. Light from the ground stays: what stands on the ground throws light
    back about as the ground behind it would.
    """

    horizon_beam: np.ndarray      # 8,760: 0 while the sun is below the horizon given, else 1
    horizon_sky: float
    beam: np.ndarray              # 8,760: past horizon and obstacles, mean over the face
    sky: np.ndarray               # 8,760: the same for the sky; changes with the leaves, by month
    string_beam: np.ndarray       # 8,760: `beam` as it counts in a string


def is_described(house: House, face: RoofFace) -> bool:
    """Whether a horizon or an obstacle is written for this face."""
    return bool(house.horizon or face.horizon or house.obstacles or face.obstacles)


def shade_factors(house: House, face: RoofFace, site: tuple[float, float, float, float]) -> ShadeFactors | None:
    """None where neither a horizon nor an obstacle is written. site: latitude, longitude, UTC offset, elevation.

    What is written for the whole house and for the face adds up: the higher horizon, all obstacles.
    """
    if not is_described(house, face):
        return None
    obstacles = obstacles_of(house, face)
    return _factors(site, patch_of(face), horizons_of(house, face), tuple(screen_of(o) for o in obstacles),
                    tuple(through_by_month(o) for o in obstacles))


def horizons_of(house: House, face: RoofFace) -> tuple[Pairs, ...]:
    return tuple(tuple((azimuth, altitude) for azimuth, altitude in written)
                 for written in (house.horizon, face.horizon) if written)


def obstacles_of(house: House, face: RoofFace) -> tuple:
    return (*house.obstacles, *face.obstacles)


@lru_cache(maxsize=64)
def _factors(site, patch: Patch, horizons, screens: tuple[Screen, ...], through) -> ShadeFactors:
    sun = sun_path(*site)
    above = _read_only(is_open(horizons, sun.azimuth_deg, _altitude_deg(sun)).astype(float))
    sky_share_left = sky_share(horizons, patch.slope_deg, patch.azimuth_deg)
    if not screens:
        return ShadeFactors(above, sky_share_left, above, _read_only(np.full(len(above), sky_share_left)), above)
    hours, blocked, tops = _geometry(site, patch, screens)
    through = np.array(through)
    passes = np.ones(blocked.shape[1:])
    for is_dark, months in zip(blocked, through, strict=True):
        passes *= np.where(is_dark, months[MONTH_OF_HOUR[hours]], 1.0)
    share = np.ones(len(above))
    share[hours] = passes.mean(axis=0)
    skyline = horizon_deg(horizons, BIN_DEG)
    sky = np.minimum(sky_left(patch, tops, skyline, through), sky_share_left)
    return ShadeFactors(above, sky_share_left, _read_only(above * share), _read_only(sky[MONTH_OF_HOUR]),
                        _read_only(above * beam_held(share)))


@lru_cache(maxsize=64)
def _geometry(site, patch: Patch, screens: tuple[Screen, ...]):
    """(hours with the sun up and before the plane, (obstacles, points, those hours) whether it is hidden, tops at BIN_DEG).

    Apart from what leaves let through, so that another guess of that costs little.
    """
    sun, points = sun_path(*site), points_on(patch)
    altitude = _altitude_deg(sun)
    slope, turned = np.radians(patch.slope_deg), np.radians(sun.azimuth_deg - patch.azimuth_deg)
    up = np.radians(altitude)
    faces_it = np.sin(up) * np.cos(slope) + np.cos(up) * np.sin(slope) * np.cos(turned) > 0
    hours = np.flatnonzero((altitude > 0) & faces_it)
    blocked = np.empty((len(screens), len(points), len(hours)), dtype=bool)
    for row, screen in zip(blocked, screens):
        row[:] = top_deg(screen, points, sun.azimuth_deg[hours]) >= altitude[hours]
    tops = np.array([top_deg(screen, points, BIN_DEG) for screen in screens])
    return hours, _read_only(blocked), _read_only(tops)


def _altitude_deg(sun: SunPath) -> np.ndarray:
    return 90.0 - sun.apparent_zenith_deg


def _read_only(array: np.ndarray) -> np.ndarray:
    array.setflags(write=False)
    return array
