"""A wire as the house file describes it: what is printed on it, what it lies in, how long it is."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field, model_validator

from reportgen.describe.fields import FT_M, Section, at_most_one

SIZES = ("14", "12", "10", "8", "6", "4", "3", "2", "1", "1/0", "2/0", "3/0", "4/0")
MM_IN = 25.4
Length = Annotated[float, Field(gt=0, le=3000)]


class Conductor(Section):
    size: Literal[SIZES] | None = None  # type: ignore[valid-type]
    """Size printed on the wire, in quotes, AWG: "10", "1/0"."""
    metal: Literal["copper", "aluminum"] | None = None
    """What the wire is made of."""
    insulation_c: Literal[60, 75, 90] | None = None
    """Temperature rating of the insulation, °C, printed on the wire."""
    terminals_c: Literal[60, 75] | None = None
    """Temperature marking of the terminals at both ends, °C; the lower of the two."""
    current_carrying: Annotated[int, Field(ge=1, le=60)] | None = None
    """Wires that carry current in the same pipe or cable, spares too, the equipment ground not."""
    hottest_air_c: Annotated[float, Field(ge=-20, le=80)] | None = None
    """Hottest air around the wire, °C: an attic in summer may reach 50 and more."""
    above_roof_mm: Annotated[float, Field(ge=0, le=2000)] | None = None
    """Height of the pipe above the roof, mm; leave out where it does not lie on a roof."""
    above_roof_in: Annotated[float, Field(ge=0, le=80)] | None = None
    """The same in inches."""
    insulation_xhhw2: bool = False
    """Whether the wire is marked XHHW-2, which the addition for roofs spares."""
    pipe_length_in: Annotated[float, Field(gt=0, le=40_000)] | None = None
    """Length of the pipe, inches; one of 24 in or less needs no factor for the number of wires."""
    length_ft: Length | None = None
    """Length one way, feet."""
    length_m: Annotated[float, Field(gt=0, le=1000)] | None = None
    """The same in metres."""

    @model_validator(mode="after")
    def _check(self):
        at_most_one(self, "length_ft", "length_m")
        at_most_one(self, "above_roof_mm", "above_roof_in")
        if self.size == "14" and self.metal == "aluminum":
            raise ValueError('aluminum wire of size "14" is in no table; read the wire again')
        return self

    @property
    def feet(self) -> float | None:
        """Length one way [ft]."""
        return self.length_ft if self.length_m is None else self.length_m / FT_M

    @property
    def over_roof_mm(self) -> float | None:
        """Height of the pipe above the roof [mm]; None where it does not lie on one."""
        return self.above_roof_mm if self.above_roof_in is None else self.above_roof_in * MM_IN


class Trunk(Conductor):
    """The cable that module-level units hang on, one after the other."""

    unit_spacing_ft: Annotated[float, Field(gt=0, le=30)] | None = None
    """Distance between two units along the cable, feet."""
    unit_spacing_m: Annotated[float, Field(gt=0, le=10)] | None = None
    """The same in metres."""

    @model_validator(mode="after")
    def _check_spacing(self):
        at_most_one(self, "unit_spacing_ft", "unit_spacing_m")
        return self

    @property
    def spacing_feet(self) -> float | None:
        """Distance between two units [ft]."""
        return self.unit_spacing_ft if self.unit_spacing_m is None else self.unit_spacing_m / FT_M


class Tap(Conductor):
    """The wires by which the array joins a feeder along its way."""


class Feeder(Conductor):
    """The wires that bring power to a panel from the next one nearer the meter."""

    breaker_a: Annotated[float, Field(gt=0, le=4000)] | None = None
    """Breaker at the supply end of the feeder, A."""
    array_joins: Literal["in the panel", "along the feeder"] = "in the panel"
    """Whether the array is connected in the panel that the feeder serves, or to the feeder itself on its way there."""
    device_past_joint_a: Annotated[float, Field(gt=0, le=4000)] | None = None
    """Breaker or fuses just past the place where the array joins the feeder, A, where there is one."""
    tap: Tap | None = None
    """The wires from the array's breaker or fuses to the feeder, where it joins along the way."""

    @model_validator(mode="after")
    def _check_joint(self):
        if self.array_joins == "in the panel" and (self.tap is not None or self.device_past_joint_a is not None):
            raise ValueError('tap and device_past_joint_a belong to array_joins: "along the feeder"; write both')
        return self
