"""What `production` hands on: kWh by hour, loss by loss, with a range."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from reportgen.figures import Figure
from reportgen.production.module import ModuleData


@dataclass(frozen=True, eq=False)
class FaceProduction:
    name: str
    azimuth_deg: float            # clockwise from true north
    slope_deg: float
    module_count: int
    dc_kw: float
    plane_of_array_kwh_m2: float  # sun on this plane in a year, before shade
    month_kwh: np.ndarray         # 12, AC
    year_kwh: float               # AC
    cut_off_kwh: float = 0.0      # at the inverters' limit, in the year


@dataclass(frozen=True)
class InverterShare:
    """`count` equal inverters and what they do in the year; of module-level units, those of one face."""
    name: str
    count: int
    limit_kw: float               # AC limit of one
    efficiency_percent: float     # weighted
    output_a: float | None        # continuous, of one
    faces: tuple[str, ...]
    dc_kw: float                  # rated power behind all of them
    highest_kw: float             # the most that one gives in any hour
    cut_off_kwh: float
    hours_at_limit: int
    module_level: bool = False

    @property
    def dc_ac_ratio(self) -> float:
        return self.dc_kw / (self.limit_kw * self.count)


@dataclass(frozen=True)
class LossStep:
    """One stair from sun to meter. The factors of all steps multiply to meter / sun exactly."""
    key: str                      # "dirt", "shade", "heat", "conversion", "limit", ...
    label: str                    # as the reader sees it: "Dirt on the glass"
    factor: float                 # 0.98: what is left of what came in; above 1 is a gain
    before_kwh: float
    after_kwh: float
    reason: str                   # the formula or the assumption
    source: str
    month_percent: tuple[float, ...] = ()   # twelve, what is lost of each month, where the months differ


@dataclass(frozen=True)
class SpreadPart:
    label: str
    sigma: float                  # one standard deviation, as a share
    source: str
    every_year_anew: bool         # True: averages out over the years (weather of one year)


@dataclass(frozen=True)
class Spread:
    """Parts of the uncertainty and what they make together (root of the sum of squares)."""
    parts: tuple[SpreadPart, ...]
    one_year_sigma: float
    mean_of_25_sigma: float


@dataclass(frozen=True, eq=False)
class ObstacleSeen:
    name: str
    kind: str
    top_deg: np.ndarray           # at the skyline's azimuths; 0 where it does not stand
    through_percent: float        # of the sun: in leaf for a tree, 0 for what lets nothing through
    bare_percent: float | None    # of a tree without leaves
    leaf_months: tuple[str, str] | None
    stands: str                   # "30 ft away, its top 18 ft above the middle of the face", in the file's own unit


@dataclass(frozen=True, eq=False)
class Skyline:
    """What stands round one or several faces, seen from the middle of each."""
    faces: tuple[tuple[str, float, float], ...]   # name, slope, azimuth [°]
    azimuth_deg: np.ndarray       # 0 to 360
    horizon_deg: np.ndarray       # altitude at these azimuths
    obstacles: tuple[ObstacleSeen, ...]


@dataclass(frozen=True, eq=False)
class Production:
    hours_kwh: np.ndarray         # 8,760, AC, first year; hour k as in TypicalYear
    month_kwh: np.ndarray         # 12, sums of hours_kwh
    year: Figure                  # value P50, low P90, high P10 of one year [kWh]
    mean_of_25: Figure            # the same for the mean of 25 years, degradation not in it [kWh]
    specific_yield: Figure        # [kWh/kW]
    performance_ratio: Figure     # AC energy / (sun on the planes × rated power) [%]
    faces: tuple[FaceProduction, ...]
    losses: tuple[LossStep, ...]
    spread: Spread
    hottest_cell_c: float
    dc_kw: float
    ac_limit_kw: float
    figures: tuple[Figure, ...]   # all of the above and whatever else a reader may question
    notes: tuple[str, ...] = ()
    inverters: tuple[InverterShare, ...] = ()
    module: ModuleData | None = None
    skylines: tuple[Skyline, ...] = ()
