"""Rows of equal modules in a clear area: as many as fit, the largest even block, and a wanted number of them.

Rows lie along the eave. Their heights are tried on a fine grid that starts at the upper end of `span`, a fixed part of
the row's pitch apart, so that the same heights are tried whatever is kept clear: keeping more clear can then never give
room to more modules.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise
from math import floor

STEPS = 32          # heights tried in one pitch of rows
SKIN = 1e-6         # cuts are looked at this far inside a row [m]
SLACK = 2e-5        # a module fits where it lacks less than this [m]

Stretch = tuple[float, float]


@dataclass(frozen=True)
class Placed:
    """One module, as a rectangle in the face's coordinates [m]."""

    left: float
    low: float
    right: float
    high: float


class Rows:
    """The clear area cut into rows.

    area: a shapely polygon or several. span: lowest and highest y that rows may take [m]. width_m, depth_m: one module,
    along the eave and up the slope. gap_m: between two modules.
    """

    def __init__(self, area, span: Stretch, width_m: float, depth_m: float, gap_m: float):
        self.width, self.depth, self.gap = width_m, depth_m, gap_m
        self._sides = _sides(area)
        self._levels = sorted({y for side in self._sides for y in (side[1], side[3])})
        self._cuts: dict[float, list[Stretch]] = {}
        step, low = (depth_m + gap_m) / STEPS, span[0]
        top = span[1] - depth_m
        tried = max(0, floor((top - low) / step + 1e-6) + 1) if self._sides else 0
        self.heights = [top - k * step for k in range(tried)]
        self.free = [self._free(y) for y in self.heights]
        self.counts = [sum(self.fits(s) for s in stretches) for stretches in self.free]

    def fits(self, stretch: Stretch) -> int:
        """Modules side by side in a stretch of a row."""
        return max(0, floor((stretch[1] - stretch[0] + self.gap + SLACK) / (self.width + self.gap)))

    def length(self, count: int) -> float:
        return count * (self.width + self.gap) - self.gap

    def _free(self, y: float) -> list[Stretch]:
        """Stretches of the row [y, y + depth] in which no point is kept clear.

        Sides are straight, so a row's stretch is narrowest at one of its ends or where a corner lies in it.
        """
        found = self._cut(y + SKIN)
        for level in self._levels:
            if y + SKIN < level < y + self.depth - SKIN:
                for side in (level - SKIN, level + SKIN):
                    if side not in self._cuts:
                        self._cuts[side] = self._cut(side)
                    found = shared(found, self._cuts[side])
        found = shared(found, self._cut(y + self.depth - SKIN))
        return [s for s in found if s[1] - s[0] + SLACK >= self.width]

    def _cut(self, y: float) -> list[Stretch]:
        """Where the line at y lies inside the area: it enters and leaves by turns."""
        at = sorted(x0 + (x1 - x0) * (y - y0) / (y1 - y0) for x0, y0, x1, y1 in self._sides if y0 <= y < y1)
        return list(zip(at[::2], at[1::2]))

    def most(self) -> list[tuple[int, list[tuple[Stretch, int]]]]:
        """The rows that hold the most modules: (index of the height, [(stretch, count), ...]), from the top down.

        Of equals the one with the fewest stretches, and then the one nearest the top.
        """
        n = len(self.heights)
        best: list[tuple[int, int]] = [(0, 0)] * (n + STEPS + 1)
        taken = [False] * n
        for k in range(n - 1, -1, -1):
            parts = sum(self.fits(s) > 0 for s in self.free[k])
            here = (self.counts[k] + best[k + STEPS][0], best[k + STEPS][1] - parts)
            taken[k] = self.counts[k] > 0 and here >= best[k + 1]
            best[k] = here if taken[k] else best[k + 1]
        rows, k = [], 0
        while k < n:
            if taken[k]:
                rows.append((k, [(s, self.fits(s)) for s in self.free[k] if self.fits(s)]))
            k += STEPS if taken[k] else 1
        return rows

    def blocks(self) -> dict[int, tuple[int, int, Stretch]]:
        """For each number of rows that touch: the longest even block, as (columns, index of the top row, stretch)."""
        best: dict[int, tuple[int, int, Stretch]] = {}
        for k in range(len(self.heights)):
            stretches, row, rows = self.free[k], k, 0
            while stretches:
                rows += 1
                widest = max(stretches, key=lambda s: (self.fits(s), s[1] - s[0]))
                if self.fits(widest) == 0:
                    break
                if rows not in best or self.fits(widest) > best[rows][0]:
                    best[rows] = (self.fits(widest), k, widest)
                row += STEPS
                stretches = shared(stretches, self.free[row]) if row < len(self.heights) else []
        return best


def shared(one: list[Stretch], other: list[Stretch]) -> list[Stretch]:
    """What lies in both lists of stretches."""
    found, i, j = [], 0, 0
    while i < len(one) and j < len(other):
        low, high = max(one[i][0], other[j][0]), min(one[i][1], other[j][1])
        if high > low:
            found.append((low, high))
        if one[i][1] < other[j][1]:
            i += 1
        else:
            j += 1
    return found


def _sides(area) -> list[tuple[float, float, float, float]]:
    """Sides that are not level, the lower end first, of all rings."""
    polygons = [p for p in getattr(area, "geoms", [area]) if not p.is_empty]
    found = []
    for ring in (r for p in polygons for r in (p.exterior, *p.interiors)):
        points = list(ring.coords)
        for (x0, y0), (x1, y1) in pairwise(points):
            if abs(y0 - y1) > 1e-9:
                found.append((x0, y0, x1, y1) if y0 < y1 else (x1, y1, x0, y0))
    return found
