"""A roof face as the house file describes it."""

from __future__ import annotations

import math
from typing import Annotated, Literal

from pydantic import Field, model_validator

from reportgen.describe.fields import COMPASS_DEG, Section, ShortText, TwelvePercents, at_most_one, exactly_one
from reportgen.describe.roof_shape import (
    CornerCut,
    KeepClear,
    OutlineFt,
    OutlineM,
    area_of,
    check_shape,
    corners_m,
    metres,
)
from reportgen.describe.shade import Horizon, Obstacle, check_horizon


class RoofFace(Section):
    name: ShortText = "roof face"
    """What you call this face, for example "garage, back"."""
    facing: Literal[tuple(COMPASS_DEG)] | None = None  # type: ignore[valid-type]
    """Where the face looks, downhill: a compass word."""
    azimuth_deg: Annotated[float, Field(ge=0, lt=360)] | None = None
    """The same as degrees clockwise from true north: east 90, south 180, west 270."""
    slope_deg: Annotated[float, Field(ge=0, le=90)] | None = None
    """Slope from level, in degrees."""
    slope: Annotated[str, Field(pattern=r"^\d+(\.\d+)?:12$")] | None = None
    """Slope as rise in 12, in quotes, for example "6:12"."""
    width_ft: Annotated[float, Field(gt=0, le=1000)] | None = None
    """Width along the eave, in feet."""
    width_m: Annotated[float, Field(gt=0, le=300)] | None = None
    """Width along the eave, in metres."""
    depth_ft: Annotated[float, Field(gt=0, le=1000)] | None = None
    """Depth along the slope from eave to ridge, in feet."""
    depth_m: Annotated[float, Field(gt=0, le=300)] | None = None
    """Depth along the slope from eave to ridge, in metres."""
    outline_ft: OutlineFt | None = None
    """The face as corners [x, y] in feet, instead of width and depth: x along the eave from the left seen from outside,
    y up the slope."""
    outline_m: OutlineM | None = None
    """The same in metres."""
    cuts: Annotated[list[CornerCut], Field(max_length=4)] = Field(default_factory=list)
    """Corners that hips or valleys cut off."""
    keep_clear: Annotated[list[KeepClear], Field(max_length=24)] = Field(default_factory=list)
    """Chimneys, vents, dormers and skylights on this face."""
    edge_margin_ft: Annotated[float, Field(ge=0, le=20)] | None = None
    """Kept clear along all edges of the face, in feet."""
    edge_margin_m: Annotated[float, Field(ge=0, le=6)] | None = None
    """Kept clear along all edges of the face, in metres."""
    eave_height_ft: Annotated[float, Field(ge=0, le=600)] | None = None
    """Height of the eave above the ground, in feet."""
    eave_height_m: Annotated[float, Field(ge=0, le=200)] | None = None
    """Height of the eave above the ground, in metres."""
    top_edge: Literal["ridge", "wall", "open"] | None = None
    """What lies along the upper edge: a ridge with a face beyond it, a wall, or nothing; a ridge where missing."""
    stands_on: Literal["house", "detached garage"] | None = None
    """A detached garage or shed needs no ways for the fire service; the house where missing."""
    module_direction: Literal["upright", "lying"] | None = None
    """upright: long sides up the slope. lying: long sides along the eave. Where missing, whichever fills better."""
    module_count: Annotated[int, Field(ge=0, le=2000)] | None = None
    """Modules on this face; where missing, the array is shared out over the faces."""
    mounting: Literal["close roof", "raised", "ground", "flat roof", "in the roof"] | None = None
    """How the modules sit: decides how hot they run."""
    shade_percent: TwelvePercents | None = None
    """Share of the sun that shade takes: one number, or twelve from January."""
    horizon: Horizon | None = None
    """What cuts off the sky all round: pairs [azimuth, altitude] in degrees, azimuth clockwise from true north."""
    obstacles: Annotated[list[Obstacle], Field(max_length=24)] = Field(default_factory=list)
    """Trees, walls, chimneys near this face; added to those of the whole house."""

    @model_validator(mode="after")
    def _check(self):
        exactly_one(self, "facing", "azimuth_deg")
        exactly_one(self, "slope_deg", "slope")
        at_most_one(self, "width_ft", "width_m")
        at_most_one(self, "depth_ft", "depth_m")
        at_most_one(self, "edge_margin_ft", "edge_margin_m")
        at_most_one(self, "eave_height_ft", "eave_height_m")
        check_shape(self)
        check_horizon(self.horizon)
        return self

    @property
    def facing_deg(self) -> float:
        """Azimuth of the face [°], clockwise from true north."""
        return COMPASS_DEG[self.facing] if self.azimuth_deg is None else self.azimuth_deg

    @property
    def tilt_deg(self) -> float:
        """Slope from level [°]."""
        if self.slope_deg is not None:
            return self.slope_deg
        return math.degrees(math.atan(float(self.slope.partition(":")[0]) / 12.0))

    @property
    def area_m2(self) -> float | None:
        """Whole face [m²], before anything is kept clear; None where a side is missing."""
        corners = corners_m(self)
        return None if corners is None else area_of(corners)

    @property
    def corners(self) -> tuple[tuple[float, float], ...] | None:
        """Corners [m], counter-clockwise or as written; None where a side is missing."""
        return corners_m(self)

    @property
    def edge_m(self) -> float | None:
        """Kept clear along all edges [m], as written."""
        return metres(self, "edge_margin")

    @property
    def eave_m(self) -> float | None:
        """Height of the eave above the ground [m]."""
        return metres(self, "eave_height")

    @property
    def in_feet(self) -> bool:
        """Whether the face was measured in feet."""
        return self.width_ft is not None or self.outline_ft is not None
