"""The sun's paths over the year, and what stands before them: horizon, trees, walls, and the face's own back."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

import numpy as np
import pandas as pd

from reportgen.assessment import Assessment
from reportgen.climate.sun import sun_at
from reportgen.climate.typical_year import MODEL_YEAR
from reportgen.describe.fields import MONTHS
from reportgen.figures import show
from reportgen.production.result import ObstacleSeen, Skyline
from reportgen.report.charts.canvas import WIDTH, Canvas, box
from reportgen.report.charts.key import Mark, draw_key, key_height
from reportgen.report.charts.lettering import LINE, room, shortened, wrapped
from reportgen.report.charts.placing import Labels
from reportgen.report.charts.scale import Scale
from reportgen.report.palette import GREY, INK, RULE, SUN, SUN_TEXT

MOST = 4                          # pictures; more are told in words
_MONTHS = (12, 2, 3, 4, 6)        # the other months' paths lie between or nearly on these
_STEP_MIN = 15
_TROPIC_DEG = 23.44
_PER_DEG = 1.8                    # height of the picture, points for a degree of altitude
_WORDS = {0: "north", 90: "east", 180: "south", 270: "west"}


@dataclass(frozen=True, eq=False)
class _Day:
    """One day's sun every quarter of an hour: degrees from the picture's middle, and altitude."""

    month: int
    aside_deg: np.ndarray
    altitude_deg: np.ndarray


def draw_sunpath(assessment: Assessment, number: int = 1) -> str | None:
    """What hides the sun, and when, for the faces of one skyline; None where there is no skyline of this number.

    There is none at all where neither a horizon nor an obstacle is written.
    """
    skylines = assessment.production.skylines
    if number > min(len(skylines), MOST):
        return None
    skyline = skylines[number - 1]
    middle = 180.0 if assessment.year.latitude >= 0 else 0.0
    days = _days(assessment, middle)
    half = _half_width(assessment.year.latitude, days)
    highest = min(90.0, max(float(d.altitude_deg.max()) for d in days) + 6.0)
    x0 = room("90°") + 5
    marks = _marks(skyline)
    top = key_height(marks) + 2
    listed = _listed(skyline, middle, half)
    plot = highest * _PER_DEG
    more = len(skylines) - MOST if number == MOST else 0
    foot = top + LINE + 8 + plot
    canvas = Canvas(foot + LINE * (2 + len(listed) + (more > 0)) + 12)
    draw_key(canvas, marks)
    canvas.text(0, top + LINE - 3, _face_names(skyline), semibold=True)
    _draw_panel(canvas, skyline, days, Scale(-half, half, x0, WIDTH - 2), Scale(0.0, highest, foot, foot - plot), middle,
                top + LINE)
    for k, words in enumerate(listed):
        canvas.text(0, foot + LINE * (k + 2) + 1, words)
    if more > 0:
        canvas.text(0, canvas.height - LINE - 4, f"{more} more, not drawn", GREY)
    canvas.text(0, canvas.height - 4, "Hours in local standard time (no summer time). Height in degrees above level.", GREY)
    return canvas.svg("sunpath" if number == 1 else f"sunpath-{number}", _title(assessment, skyline))


def _face_names(skyline: Skyline) -> str:
    return shortened(", ".join(name for name, _, _ in skyline.faces), WIDTH)


def _title(assessment: Assessment, skyline: Skyline) -> str:
    lost = assessment.figures.get("production.skyline_percent")
    names = ", ".join(o.name for o in skyline.obstacles) or "the horizon"
    took = f" All faces together lose {lost.text()} of the sun to it, {lost.span_text()} with what is not sure." if lost else ""
    return f"The sun's paths on the 21st of five months as {_face_names(skyline)} sees them, and what stands before them: {names}.{took}"


def _marks(skyline: Skyline) -> list[Mark]:
    marks = [Mark("line", SUN, "sun on the 21st", SUN_TEXT)]
    if skyline.horizon_deg.max() > 0:
        marks.append(Mark("solid", RULE, "horizon"))
    if any(o.through_percent == 0 for o in skyline.obstacles):
        marks.append(Mark("hatched", INK, "lets nothing through"))
    if any(o.through_percent > 0 for o in skyline.obstacles):
        marks.append(Mark("hatched", RULE, "tree"))
    return [*marks, Mark("dashed", GREY, "below it the sun is behind the face")]


def _days(assessment: Assessment, middle: float) -> list[_Day]:
    year, found = assessment.year, []
    minutes = np.arange(0, 24 * 60 + 1, _STEP_MIN)
    for month in _MONTHS:
        local = pd.Timestamp(year=MODEL_YEAR, month=month, day=21) + pd.to_timedelta(minutes, unit="min")
        sun = sun_at(local - pd.Timedelta(minutes=round(year.utc_offset_h * 60)), year.latitude, year.longitude,
                     year.elevation_m)
        aside = (sun.azimuth_deg - middle + 180.0) % 360.0 - 180.0
        found.append(_Day(month, aside, 90.0 - sun.apparent_zenith_deg))
    return [day for day in found if day.altitude_deg.max() > 0]


def _half_width(latitude: float, days: list[_Day]) -> float:
    if abs(latitude) <= _TROPIC_DEG:
        return 180.0
    widest = max(float(np.abs(d.aside_deg[d.altitude_deg > 0]).max()) for d in days)
    return float(min(180.0, 15.0 * np.ceil((widest + 5.0) / 15.0)))


def _draw_panel(canvas: Canvas, skyline: Skyline, days: list[_Day], x: Scale, y: Scale, middle: float, top: float) -> None:
    labels = Labels(canvas, x.at_low, top, y(0) - 1)
    _draw_axes(canvas, x, y, middle)
    aside = (skyline.azimuth_deg - middle + 180.0) % 360.0 - 180.0
    order = np.argsort(aside[:-1], kind="stable")     # the last azimuth is the first again
    aside = aside[:-1][order]
    inside = np.abs(aside) <= x.high + 1e-9
    aside, horizon = aside[inside], skyline.horizon_deg[:-1][order][inside]
    _draw_horizon(canvas, labels, aside, horizon, x, y)
    shown = [(o, o.top_deg[:-1][order][inside]) for o in skyline.obstacles]
    numbered = _draw_obstacles(canvas, labels, aside, shown, x, y)
    lines = [line for day in days for line in _path(day, x, y)]
    for line in lines:
        canvas.line(line, SUN, 1.2)
        labels.cross(line)
    hours = _draw_hours(canvas, labels, days, x, y)
    backs = [_draw_back(canvas, labels, aside, face, middle, x, y) for face in skyline.faces]
    for number, places in numbered:
        labels.put(number, places, INK, semibold=True)
    for day in days:
        labels.put(f"21 {MONTHS[day.month - 1][:3]}", _over_noon(day, x, y), SUN_TEXT)
    for hour, (px, py) in hours:
        side = ("right", -4.0) if px < x(0) else ("left", 4.0)
        labels.put(f"{hour} h", [(px, py - 4, "center"), (px + side[1], py - 1, side[0]), (px + side[1], py + 7, side[0]),
                                 (px - side[1], py + 9, "left" if side[0] == "right" else "right")], GREY)
    for name, places in backs:
        labels.put(f"behind {shortened(name, 90.0)}" if len(skyline.faces) > 1 else "behind the face", places, GREY)


def _draw_axes(canvas: Canvas, x: Scale, y: Scale, middle: float) -> None:
    for altitude in range(0, int(y.high) + 1, 15 if y.high <= 45 else 30):
        canvas.line(((x.at_low, y(altitude)), (x.at_high, y(altitude))), INK if altitude == 0 else RULE, 0.8 if altitude == 0 else 0.5)
        canvas.text(x.at_low - 5, y(altitude) + 3, f"{altitude}°", GREY, "right")
    for aside in range(-180, 181, 45):
        if abs(aside) > x.high:
            continue
        azimuth = round(aside + middle) % 360
        words = _WORDS.get(azimuth, f"{azimuth}°")
        at = x(aside)
        canvas.line(((at, y(0)), (at, y(0) + 3)), INK, 0.6)
        half = room(words) / 2
        canvas.text(min(max(at, half + x.at_low - 12), WIDTH - half), y(0) + LINE, words, GREY, "center")


def _draw_horizon(canvas: Canvas, labels: Labels, aside, horizon, x: Scale, y: Scale) -> None:
    """In narrow strips, so that a label may stand close over a low part of it; they overlap a little against seams."""
    if horizon.max() <= 0:
        return
    up = np.minimum(horizon, y.high)
    for start in range(0, len(aside) - 1, 16):
        part = slice(start, min(start + 17, len(aside)))
        if up[part].max() <= 0:
            continue
        edge = _without_between([(x(a), y(h)) for a, h in zip(aside[part], up[part])])
        strip = [(edge[0][0], y(0)), *edge, (min(edge[-1][0] + 0.4, x.at_high), edge[-1][1]),
                 (min(edge[-1][0] + 0.4, x.at_high), y(0))]
        canvas.solid(strip, RULE)
        labels.take(strip)
    canvas.line(_without_between([(x(a), y(h)) for a, h in zip(aside, up)]), GREY, 0.8)


def _draw_obstacles(canvas: Canvas, labels: Labels, aside, shown, x: Scale, y: Scale):
    """Dark ones hatched in ink, trees lighter; the number of each with the places where it may stand."""
    numbered, shapes = [], {True: [], False: []}
    for number, (obstacle, tops) in enumerate(shown, start=1):
        runs = _runs(tops)
        for run in runs:
            edge = [(x(a), y(min(h, y.high))) for a, h in zip(aside[run], tops[run])]
            edge = _without_between(edge[::3] if len(edge) > 12 else edge) + [edge[-1]]
            shape = [(edge[0][0], y(0)), *edge, (edge[-1][0], y(0))]
            shapes[obstacle.through_percent == 0].append((shape, obstacle))
            labels.take(shape)
        if runs:
            widest = max(runs, key=lambda run: float(tops[run].max()))
            left, right = x(aside[widest][0]), x(aside[widest][-1])
            over, mid = y(min(float(tops[widest].max()), y.high)) - 3.5, (left + right) / 2
            numbered.append((str(number), [*((mid + dx, over - up, "center") for up in (0, 4, 8) for dx in (0, -6, 6, -12, 12)),
                                           (left - 3, over + 13, "right"), (right + 3, over + 13, "left"),
                                           (left, over, "center"), (right, over, "center"),
                                           *((mid, over - 10 * k, "center") for k in range(2, 6))]))
    for dark, color in ((False, RULE), (True, INK)):
        canvas.hatched(color, *(shape for shape, _ in shapes[dark]))
    for shape, obstacle in shapes[False]:
        canvas.outlined(shape, GREY, 0.9, dashed=obstacle.bare_percent is not None)
    return numbered


def _without_between(points) -> list[tuple[float, float]]:
    """The same line without the points that lie straight between their neighbours."""
    kept = points[:1]
    for before, now, after in zip(points, points[1:], points[2:]):
        if abs((now[1] - before[1]) * (after[0] - now[0]) - (after[1] - now[1]) * (now[0] - before[0])) > 1e-3:
            kept.append(now)
    return [*kept, *points[-1:]] if len(points) > 1 else kept


def _runs(tops) -> list[slice]:
    """Stretches of at least two azimuths where something stands."""
    stands = np.concatenate(([False], tops > 0, [False]))
    ends = np.flatnonzero(stands[1:] != stands[:-1])
    return [slice(a, b) for a, b in zip(ends[::2], ends[1::2]) if b - a > 1]


def _path(day: _Day, x: Scale, y: Scale) -> list[list[tuple[float, float]]]:
    """The part of the day's path above level, broken where it leaves the picture at one side and comes in at the other."""
    lines, now = [], []
    points = list(zip(day.aside_deg, day.altitude_deg))
    for (a, h), (b, k) in pairwise(points):
        wraps = abs(b - a) > 180.0
        if h <= 0 < k and not wraps:
            now = [(x(a + (b - a) * -h / (k - h)), y(0))]
        if k > 0 and not wraps:
            now = [*(now or ([(x(a), y(h))] if h > 0 else [])), (x(b), y(k))]
            continue
        if h > 0 >= k and not wraps:
            now.append((x(a + (b - a) * h / (h - k)), y(0)))
        if len(now) > 1:
            lines.append(now)
        now = []
    return lines + ([now] if len(now) > 1 else [])


def _draw_hours(canvas: Canvas, labels: Labels, days: list[_Day], x: Scale, y: Scale):
    """A mark at every whole hour, thin lines from month to month; the marks of the longest day, to be labelled."""
    per_hour = 60 // _STEP_MIN
    longest = max(days, key=lambda d: int((d.altitude_deg > 0).sum()))
    named, dots = [], []
    for hour in range(24):
        places = [(day, float(day.aside_deg[hour * per_hour]), float(day.altitude_deg[hour * per_hour])) for day in days]
        up = [(day, a, h) for day, a, h in places if h > 0]
        spots = [(x(a), y(h)) for _, a, h in up]
        for (p, (_, a, _)), (q, (_, b, _)) in pairwise(zip(spots, up)):
            if abs(a - b) < 90.0:
                canvas.line((p, q), RULE, 0.5)
        for (px, py), (day, _, _) in zip(spots, up):
            dot = box(px - 1.3, py - 1.3, px + 1.3, py + 1.3)
            dots.append(dot)
            labels.take(dot)
            if day is longest:
                named.append((hour, (px, py)))
    canvas.solids(SUN, *dots)
    return named


def _draw_back(canvas: Canvas, labels: Labels, aside, face: tuple[str, float, float], middle: float, x: Scale, y: Scale):
    """Below this line the sun stands behind the face's plane. Gives the name and the places for its label."""
    name, slope, facing = face
    toward = np.cos(np.radians(aside + middle - facing))
    edge = np.degrees(np.arctan2(-np.sin(np.radians(slope)) * toward, np.cos(np.radians(slope))))
    places = []
    for run in _runs(np.where(edge < y.high, edge, 0.0)):
        line = [(x(a), y(h)) for a, h in zip(aside[run], edge[run])][::6]
        if len(line) < 2:
            continue
        canvas.line(line, GREY, 1.0, dashed=True)
        labels.cross(line)
        for share in (0.5, 0.3, 0.7, 0.15, 0.85, 0.0, 1.0):
            px, py = line[int(share * (len(line) - 1))]
            places += [(px + dx, py + dy, anchor) for dy in (-4, 12, -10, 18) for anchor, dx in
                       (("center", 0), ("left", 4), ("right", -4))]
    return name, places


def _over_noon(day: _Day, x: Scale, y: Scale):
    top = int(np.argmax(day.altitude_deg))
    reach = 60 // _STEP_MIN
    spots = [min(max(top + k * reach // 2, 0), len(day.aside_deg) - 1) for k in (0, 1, -1, 2, -2, 3, -3, 4, -4, 5, -5, 6, -6)]
    return [(x(float(day.aside_deg[i])), y(float(day.altitude_deg[i])) + dy, "center")
            for dy in (-4.0, 12.0, -8.0) for i in spots if day.altitude_deg[i] > 0]


def _listed(skyline: Skyline, middle: float, half: float) -> list[str]:
    lines, inside = [], np.abs((skyline.azimuth_deg - middle + 180.0) % 360.0 - 180.0) <= half
    for number, obstacle in enumerate(skyline.obstacles, start=1):
        outside = "" if (obstacle.top_deg[inside] > 0).any() else ", where the sun never stands"
        lines += wrapped(f"{number}\u00a0 {obstacle.name}, {obstacle.stands}{_through(obstacle)}{outside}", WIDTH)
    return lines


def _through(obstacle: ObstacleSeen) -> str:
    if obstacle.leaf_months:
        first, last = obstacle.leaf_months
        return (f": {show(obstacle.through_percent, '%', 0)} of the sun comes through from {first} to {last}, "
                f"{show(obstacle.bare_percent, '%', 0)} in the other months")
    if obstacle.through_percent > 0:
        return f": {show(obstacle.through_percent, '%', 0)} of the sun comes through"
    return f" ({obstacle.kind})" if obstacle.kind not in ("other", obstacle.name) else ""
