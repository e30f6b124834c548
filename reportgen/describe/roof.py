"""A roof face as the house file describes it."""

from __future__ import annotations

import math
from typing import Annotated, Literal

from pydantic import Field, model_validator

from reportgen.describe.fields import COMPASS_DEG, FT_M, Section, ShortText, TwelvePercents, at_most_one, exactly_one


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
    module_count: Annotated[int, Field(ge=0, le=2000)] | None = None
    """Modules on this face; where missing, the array is shared out over the faces."""
    mounting: Literal["close roof", "raised", "ground", "flat roof"] | None = None
    """How the modules sit: decides how hot they run."""
    shade_percent: TwelvePercents | None = None
    """Share of the sun that shade takes: one number, or twelve from January."""

    @model_validator(mode="after")
    def _check(self):
        exactly_one(self, "facing", "azimuth_deg")
        exactly_one(self, "slope_deg", "slope")
        at_most_one(self, "width_ft", "width_m")
        at_most_one(self, "depth_ft", "depth_m")
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
        width = self.width_m if self.width_m is not None else None if self.width_ft is None else self.width_ft * FT_M
        depth = self.depth_m if self.depth_m is not None else None if self.depth_ft is None else self.depth_ft * FT_M
        return None if width is None or depth is None else width * depth
