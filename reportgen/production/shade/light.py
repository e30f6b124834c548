"""The light on one face, taken step by step: horizon, obstacles, shade by month, glass, string."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from reportgen.production.plane import FaceGeometry, PlaneLight
from reportgen.production.shade.factors import MONTH_OF_HOUR, ShadeFactors
from reportgen.production.shade.string import held_by_percent


@dataclass(frozen=True, eq=False)
class ShadedLight:
    """Irradiance [W/m²] through the year, each line after what the line before it lost."""

    plane_w_m2: np.ndarray          # nothing in the way
    past_horizon_w_m2: np.ndarray
    past_obstacles_w_m2: np.ndarray
    lit_w_m2: np.ndarray            # after shade by month as well
    behind_glass_w_m2: np.ndarray
    held_w_m2: np.ndarray           # what counts in a string; the same as behind the glass for module-level units


def shaded_light(light: PlaneLight, geometry: FaceGeometry, factors: ShadeFactors | None, percents,
                 in_strings: bool) -> ShadedLight:
    """factors: None where no horizon and no obstacle is written. percents: shade by month, twelve.

    The monthly share multiplies what horizon and obstacles leave, in every hour and for every part of the light.
    """
    plane = light.total
    clear = (1.0 - np.array(percents) / 100.0)[MONTH_OF_HOUR]
    if factors is None:
        past_horizon = past_obstacles = plane
        behind = held = light.behind_glass(geometry)
    else:
        past_horizon = light.shaded(factors.horizon_beam, factors.horizon_sky).total
        left = light.shaded(factors.beam, factors.sky)
        past_obstacles, behind = left.total, left.behind_glass(geometry)
        held = light.shaded(factors.string_beam, factors.sky).behind_glass(geometry)
    behind_glass = behind * clear
    counts = held * clear * held_by_percent(percents)[MONTH_OF_HOUR] if in_strings else behind_glass
    return ShadedLight(plane, past_horizon, past_obstacles, past_obstacles * clear, behind_glass, counts)
