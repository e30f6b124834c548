"""The building that carries the array: its roof as a whole, what holds the modules, who may need a way over it."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field, model_validator

from reportgen.describe.fields import FT_M, Section, ShortText, at_most_one

LB_KG = 0.45359237


class FireAccess(Section):
    apply: bool
    """true: ways for the fire service stay clear on the drawing, as the US model code asks. false: they do not."""
    reason: ShortText | None = None
    """Why they are not kept clear; printed in the report. Needed with apply: false."""

    @model_validator(mode="after")
    def _check(self):
        if not self.apply and self.reason is None:
            raise ValueError("apply: false needs a reason, which the report prints, such as "
                             '"waived by the fire marshal, letter of 3 May 2026"')
        return self


class Building(Section):
    kind: Literal["one family", "two families", "three families or more", "other building"] | None = None
    """What kind of building carries the array; one family where nothing is written."""
    roof_covering: ShortText | None = None
    """What covers the roof, for example "asphalt shingle"."""
    roof_years_left: Annotated[float, Field(ge=0, le=100)] | None = None
    """Years until the covering must be renewed, by a roofer's word."""
    roof_work_days: Annotated[float, Field(ge=0, le=365)] | None = None
    """Days without output while the array is off the roof for a new covering."""
    whole_roof_plan_ft2: Annotated[float, Field(gt=0, le=1_000_000)] | None = None
    """Area of the whole roof seen from straight above, all faces, in square feet."""
    whole_roof_plan_m2: Annotated[float, Field(gt=0, le=100_000)] | None = None
    """The same in square metres."""
    fire_access: FireAccess | None = None
    """Whether ways for the fire service are kept clear; in the United States they are where nothing is written."""
    attachment_count: Annotated[int, Field(ge=1, le=10_000)] | None = None
    """Points in all at which the array is fixed to the roof."""
    attachment_spacing_ft: Annotated[float, Field(gt=0, le=20)] | None = None
    """Distance between two such points along a rail, in feet; instead of attachment_count."""
    attachment_spacing_m: Annotated[float, Field(gt=0, le=6)] | None = None
    """The same in metres."""
    rail_weight_lb_per_ft: Annotated[float, Field(ge=0, le=20)] | None = None
    """Weight of one foot of rail with its clamps, in pounds."""
    rail_weight_kg_per_m: Annotated[float, Field(ge=0, le=30)] | None = None
    """Weight of one metre of rail with its clamps, in kilograms."""

    @model_validator(mode="after")
    def _check(self):
        at_most_one(self, "whole_roof_plan_ft2", "whole_roof_plan_m2")
        at_most_one(self, "attachment_count", "attachment_spacing_ft", "attachment_spacing_m")
        at_most_one(self, "rail_weight_lb_per_ft", "rail_weight_kg_per_m")
        return self

    @property
    def whole_plan_m2(self) -> float | None:
        """Plan area of the whole roof [m²]; None where it was not said."""
        if self.whole_roof_plan_m2 is not None:
            return self.whole_roof_plan_m2
        return None if self.whole_roof_plan_ft2 is None else self.whole_roof_plan_ft2 * FT_M ** 2

    @property
    def spacing_m(self) -> float | None:
        """Distance between attachments along a rail [m]."""
        if self.attachment_spacing_m is not None:
            return self.attachment_spacing_m
        return None if self.attachment_spacing_ft is None else self.attachment_spacing_ft * FT_M

    @property
    def rail_kg_per_m(self) -> float | None:
        """Weight of rails and clamps [kg/m]."""
        if self.rail_weight_kg_per_m is not None:
            return self.rail_weight_kg_per_m
        return None if self.rail_weight_lb_per_ft is None else self.rail_weight_lb_per_ft * LB_KG / FT_M

    @property
    def attachments_said(self) -> bool | None:
        """True where the file tells the attachments, so that no spacing is assumed; else None."""
        return True if self.attachment_count is not None or self.spacing_m is not None else None

    @property
    def rail_weight_said(self) -> bool | None:
        """True where the file tells the rails' weight; else None."""
        return True if self.rail_kg_per_m is not None else None
