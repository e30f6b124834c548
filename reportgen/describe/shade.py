"""What stands between a roof and the sun, as the house file describes it: a horizon, and single obstacles."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field, model_validator

from reportgen.describe.fields import COMPASS_DEG, FT_M, MONTHS, Percent, Section, ShortText, exactly_one

TREES = ("tree", "evergreen")
Pair = Annotated[list[Annotated[float, Field(ge=0, le=360)]], Field(min_length=2, max_length=2)]
Horizon = Annotated[list[Pair], Field(min_length=2, max_length=360)]


class Obstacle(Section):
    name: ShortText
    """What you call it, for example "the maple"."""
    kind: Literal["tree", "evergreen", "wall", "chimney", "building", "other"]
    """tree: sheds its leaves. evergreen: keeps them. All others let nothing through."""
    direction: Literal[tuple(COMPASS_DEG)] | None = None  # type: ignore[valid-type]
    """Where it stands, seen from the middle of the roof face: a compass word."""
    direction_deg: Annotated[float, Field(ge=0, lt=360)] | None = None
    """The same as degrees clockwise from true north: east 90, south 180, west 270."""
    distance_ft: Annotated[float, Field(gt=0, le=10_000)] | None = None
    """Level distance from the middle of the roof face to its middle, in feet."""
    distance_m: Annotated[float, Field(gt=0, le=3_000)] | None = None
    """Level distance from the middle of the roof face to its middle, in metres."""
    width_ft: Annotated[float, Field(gt=0, le=3_000)] | None = None
    """Width, seen from the roof face, in feet."""
    width_m: Annotated[float, Field(gt=0, le=1_000)] | None = None
    """Width, seen from the roof face, in metres."""
    above_roof_ft: Annotated[float, Field(ge=-300, le=1_000)] | None = None
    """How far its top stands above the middle of the roof face, in feet."""
    above_roof_m: Annotated[float, Field(ge=-100, le=300)] | None = None
    """How far its top stands above the middle of the roof face, in metres."""
    leaf_from: Literal[MONTHS] | None = None  # type: ignore[valid-type]
    """tree: the first month in which it carries leaves."""
    leaf_until: Literal[MONTHS] | None = None  # type: ignore[valid-type]
    """tree: the last month in which it carries leaves."""
    through_leaves_percent: Percent | None = None
    """tree, evergreen: share of the sun that comes through the crown in leaf."""
    through_branches_percent: Percent | None = None
    """tree: share of the sun that comes through the bare crown."""

    @model_validator(mode="after")
    def _check(self):
        exactly_one(self, "direction", "direction_deg")
        exactly_one(self, "distance_ft", "distance_m")
        exactly_one(self, "width_ft", "width_m")
        exactly_one(self, "above_roof_ft", "above_roof_m")
        sheds = self.kind == "tree"
        if sheds and (self.leaf_from is None or self.leaf_until is None):
            raise ValueError("a tree needs leaf_from and leaf_until, the months in which it carries leaves; "
                             "one that keeps them is kind: evergreen")
        for key in ("leaf_from", "leaf_until", "through_branches_percent"):
            if getattr(self, key) is not None and not sheds:
                raise ValueError(f"{key} belongs to kind: tree; leave it out for kind: {self.kind}")
        if self.through_leaves_percent is not None and self.kind not in TREES:
            raise ValueError("through_leaves_percent belongs to kind: tree or evergreen; "
                             f"leave it out for kind: {self.kind}")
        return self

    @property
    def azimuth_deg(self) -> float:
        """Direction from the middle of the face [°], clockwise from true north."""
        return COMPASS_DEG[self.direction] if self.direction_deg is None else self.direction_deg

    def metres(self, key: str) -> float:
        """One of "distance", "width", "above_roof", in metres."""
        metric = getattr(self, f"{key}_m")
        return metric if metric is not None else getattr(self, f"{key}_ft") * FT_M

    @property
    def in_leaf(self) -> tuple[bool, ...]:
        """Twelve, January first: whether it carries leaves. Only for kind tree."""
        first, last = MONTHS.index(self.leaf_from), MONTHS.index(self.leaf_until)
        return tuple((month - first) % 12 <= (last - first) % 12 for month in range(12))


def check_horizon(horizon: list | None) -> None:
    """Altitudes from 0 to 90, each azimuth once. Errors: ValueError in plain words."""
    seen = set()
    for azimuth, altitude in horizon or ():
        if altitude > 90:
            raise ValueError(f"the horizon at azimuth {azimuth:g} is written as {altitude:g} degrees high; each pair is "
                             "[azimuth, altitude], and no altitude is above 90")
        if azimuth % 360 in seen:
            raise ValueError(f"the horizon gives azimuth {azimuth:g} twice (0 and 360 are one); keep one of them")
        seen.add(azimuth % 360)
