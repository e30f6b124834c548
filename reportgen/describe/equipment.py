"""Modules, inverters and losses as the house file describes them."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field, model_validator

from reportgen.describe.fields import Percent, Section, at_most_one


class Array(Section):
    array_kw: Annotated[float, Field(gt=0, le=1000)] | None = None
    """Rated power of all modules, kW DC."""
    module_count: Annotated[int, Field(ge=1, le=2000)] | None = None
    """Modules in all; instead of array_kw."""
    module_w: Annotated[float, Field(ge=50, le=1000)] | None = None
    """Rated power of one module, W DC."""
    module_noct_c: Annotated[float, Field(ge=35, le=60)] | None = None
    """Nominal operating cell temperature from the data sheet, °C."""
    power_coefficient_percent_per_c: Annotated[float, Field(ge=-1, le=0)] | None = None
    """Change of power per degree of cell temperature, %/°C, from the data sheet (negative)."""
    conversion: Literal["string inverter", "module-level"] | None = None
    """One inverter for all modules, or one small unit under each module."""
    inverter_kw: Annotated[float, Field(gt=0, le=1000)] | None = None
    """AC power limit of all inverters together, kW."""
    inverter_a: Annotated[float, Field(gt=0, le=4000)] | None = None
    """Continuous output current of all inverters together, A, from the data sheet."""
    inverter_efficiency_percent: Annotated[float, Field(ge=80, le=100)] | None = None
    """Weighted efficiency from the data sheet, %."""
    degradation_percent_per_year: Annotated[float, Field(ge=0, le=5)] | None = None
    """Output lost each year, %."""

    @model_validator(mode="after")
    def _check(self):
        at_most_one(self, "array_kw", "module_count")
        return self


class Losses(Section):
    """What is lost between sun and meter beyond shade, heat and conversion; each in percent of what is left."""
    dirt_percent: Percent | None = None
    """Dust, pollen and birds on the glass."""
    snow_percent: Percent | None = None
    """Energy lost over the year while snow lies on the modules."""
    unequal_modules_percent: Percent | None = None
    """Modules that differ hold each other back (mismatch)."""
    wiring_percent: Percent | None = None
    """Heat in the wires, DC and AC."""
    first_weeks_percent: Percent | None = None
    """Light-induced drop in the first weeks."""
    rating_percent: Percent | None = None
    """Modules that deliver less than their label says."""
    downtime_percent: Percent | None = None
    """Hours when the array is off: faults, repairs, grid outages."""
