"""What the reader is told of shade: figures, sentences, parts of the range, and the skyline for the picture."""

from __future__ import annotations

from functools import lru_cache

import numpy as np

from reportgen.describe.models import House
from reportgen.describe.shade import TREES, Obstacle
from reportgen.figures import Figure, show
from reportgen.production.result import ObstacleSeen, Skyline, SpreadPart
from reportgen.production.shade import string
from reportgen.production.shade.factors import horizons_of, is_described, obstacles_of
from reportgen.production.shade.horizon import SKY_SOURCE, horizon_deg
from reportgen.production.shade.obstacles import ACROSS, ALONG, profile_deg, screen_of

UNSURE = 0.25             # of what shade takes, one standard deviation; common practice, no source
UNSURE_SOURCE = "a quarter of what shade takes; common practice, no source"
GIVEN = "horizon and obstacles as the house file gives them"
STRING_TOLD_PERCENT = 1.0
AROUND_DEG = np.arange(0.0, 360.5, 0.5)
AROUND_DEG.setflags(write=False)


def spread_parts(energy) -> tuple[SpreadPart, ...]:
    """How unsure shade makes the year. energy: `losses.YearEnergy`."""
    parts = []
    if (shade := taken(energy)) > 0:
        parts.append(SpreadPart("Shade", UNSURE * shade, UNSURE_SOURCE, False))
    if (held := held_back(energy)) > 0:
        parts.append(SpreadPart("String held back by shade", string.UNSURE * held,
                                f"half of what it takes; common practice, no source. {string.SOURCE}", False))
    return tuple(parts)


def taken(energy) -> float:
    """Share of the sun on the planes that all shade takes."""
    return 1.0 - energy.after_shade / energy.sun if energy.sun > 0 else 0.0


def held_back(energy) -> float:
    """Share of the light behind the glass that strings lose beyond their shaded area."""
    return 1.0 - energy.after_string / energy.after_reflection if energy.after_reflection > 0 else 0.0


def figures(found):
    """found: `workings.Found`."""
    energy = found.energy
    if energy.after_obstacles != energy.sun:
        lost = 100.0 * (1.0 - energy.after_obstacles / energy.sun)
        yield Figure("production.skyline_percent", "Sun on the planes that horizon and obstacles take", lost, "%",
                     lost * (1 - UNSURE), lost * (1 + UNSURE),
                     f"1 − {show(energy.after_obstacles, 'kWh', 0)} / {show(energy.sun, 'kWh', 0)} = {show(lost, '%', 1)}; "
                     f"ends: {UNSURE_SOURCE}", (GIVEN, SKY_SOURCE))
    for number, (face, light) in enumerate(zip(found.faces, found.face_lights, strict=True), start=1):
        if face.dc_kw == 0 or not is_described(found.house, found.house.roof[number - 1]):
            continue
        plane, left = (float(hours.sum()) / 1000.0 for hours in (light.plane_w_m2, light.past_obstacles_w_m2))
        lost = 100.0 * (1.0 - left / plane) if plane > 0 else 0.0
        yield Figure(f"production.face_{number}.skyline_percent",
                     f"Sun on the plane that horizon and obstacles take: {face.name}", lost, "%", None, None,
                     f"1 − {show(left, 'kWh/m²')} / {show(plane, 'kWh/m²')} = {show(lost, '%', 1)}; seen from "
                     f"{ACROSS * ALONG} points all over the face", (GIVEN, SKY_SOURCE))
    if (held := 100.0 * held_back(energy)) > 0:
        yield Figure("production.string_percent", "Held back in strings by shade", held, "%",
                     held * (1 - string.UNSURE), held * (1 + string.UNSURE),
                     f"1 − {show(energy.after_string, 'kWh', 0)} / {show(energy.after_reflection, 'kWh', 0)} = "
                     f"{show(held, '%', 1)}; ends: half as much less or more, common practice, no source",
                     (string.SOURCE,))


def notes(found):
    """Sentences for the reader. found: `workings.Found`."""
    house, carrying = found.house, [i for i, face in enumerate(found.faces) if face.dc_kw > 0]
    by_month = max(float(np.mean(house.roof[i].shade_percent)) for i in carrying)
    described = any(is_described(house, house.roof[i]) for i in carrying)
    if described:
        yield ("Horizon and obstacles are taken hour by hour from the sun's ray and once from the sky's light. Each obstacle "
               "counts as dark from its top down to the ground; its own glow, and light under a crown, are left out.")
    if by_month > 0:
        yield ("Shade by month is a share of each month's sun, taken from direct light and from the sky's alike, whatever "
               f"the hour{', from what horizon and obstacles leave' if described else ''}. A measurement on the roof can "
               "tell the hours apart.")
    if (held := 100.0 * held_back(found.energy)) >= STRING_TOLD_PERCENT:
        yield (f"Shade on one module also holds back the others of its string: {show(held, '%', 1)} of the output is "
               "counted for that, and half of it or half as much again is possible. "
               "In a test, units under each module gave 3.7, 7.8 and 12.3 % more in a year under light, moderate and "
               "heavy shade (NREL/TP-5200-54876, 2012, abstract; two identical 8 kW arrays).")


def skylines(house: House, faces) -> tuple[Skyline, ...]:
    """One for each set of faces that see the same; faces without modules or without anything described are left out."""
    found: dict = {}
    for face, made in zip(house.roof, faces, strict=True):
        if made.dc_kw > 0 and is_described(house, face):
            key = (horizons_of(house, face), _keys(obstacles_of(house, face)))
            found.setdefault(key, (obstacles_of(house, face), []))[1].append(face)
    return tuple(
        Skyline(tuple((face.name, face.tilt_deg, face.facing_deg) for face in alike), AROUND_DEG, _skyline(horizons),
                tuple(_seen(o) for o in obstacles))
        for (horizons, _), (obstacles, alike) in found.items())


def _keys(obstacles) -> tuple:
    return tuple((o.name, o.kind, screen_of(o), o.leaf_from, o.leaf_until, o.through_leaves_percent,
                  o.through_branches_percent) for o in obstacles)


@lru_cache(maxsize=64)
def _skyline(horizons) -> np.ndarray:
    return _read_only(horizon_deg(horizons, AROUND_DEG))


def _seen(obstacle: Obstacle) -> ObstacleSeen:
    months = (obstacle.leaf_from, obstacle.leaf_until) if obstacle.kind == "tree" else None
    return ObstacleSeen(obstacle.name, obstacle.kind, _profile(screen_of(obstacle)),
                        obstacle.through_leaves_percent if obstacle.kind in TREES else 0.0,
                        obstacle.through_branches_percent if months else None, months, _stands(obstacle))


def _stands(obstacle: Obstacle) -> str:
    """Where it was said to stand, so that the picture can be checked."""
    def length(key: str) -> str:
        feet = getattr(obstacle, f"{key}_ft")
        return show(abs(feet), "ft") if feet is not None else show(abs(getattr(obstacle, f"{key}_m")), "m")
    side = "above" if obstacle.metres("above_roof") >= 0 else "below"
    return f"{length('distance')} away, its top {length('above_roof')} {side} the middle of the face"


@lru_cache(maxsize=256)
def _profile(screen) -> np.ndarray:
    return _read_only(profile_deg(screen, AROUND_DEG))


def _read_only(array: np.ndarray) -> np.ndarray:
    array.setflags(write=False)
    return array
