"""How the array is shared out over the roof faces."""

from __future__ import annotations

from dataclasses import dataclass
from math import floor

from reportgen.describe.models import House
from reportgen.sizing import dc_kw, module_total


@dataclass(frozen=True)
class FaceShare:
    module_count: int
    dc_kw: float                  # rated power on this face [kW]


def share_modules(house: House) -> tuple[FaceShare, ...]:
    """Modules and rated power of each face, in the order of `house.roof`.

    Counts written at the faces stand as they are, and a face without one then carries none. Otherwise the array is
    shared in proportion to the faces' areas where all are known, else equally, in whole modules by largest remainder.
    A power written as `array_kw` is kept and shared in proportion to the modules.
    The house model refuses counts that come to no module at all.
    """
    counts = _counts(house)
    total, power = sum(counts), dc_kw(house)
    return tuple(FaceShare(count, power * count / total) for count in counts)


def _counts(house: House) -> tuple[int, ...]:
    written = [face.module_count for face in house.roof]
    if any(count is not None for count in written):
        return tuple(count or 0 for count in written)
    areas = [face.area_m2 for face in house.roof]
    weights = [1.0] * len(areas) if any(area is None for area in areas) else areas
    return _whole_shares(module_total(house), weights)


def _whole_shares(total: int, weights: list[float]) -> tuple[int, ...]:
    """`total` in whole numbers in proportion to `weights`, by largest remainder; the earlier face wins a tie."""
    exact = [total * weight / sum(weights) for weight in weights]
    counts = [floor(share) for share in exact]
    order = sorted(range(len(exact)), key=lambda i: (counts[i] - exact[i], i))
    for i in order[: total - sum(counts)]:
        counts[i] += 1
    return tuple(counts)
