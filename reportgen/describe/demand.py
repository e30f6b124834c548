"""What the house asks of its service: floor area and appliances, or a year of measured peaks."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field, model_validator

from reportgen.describe.fields import FT_M, Section, ShortText, at_most_one

Va = Annotated[float, Field(gt=0, le=200_000)]


class Appliance(Section):
    name: ShortText
    """What it is, for example "range"."""
    rating_va: Va
    """Power on its nameplate, volt-amperes (watts)."""


class PlannedLoad(Appliance):
    kind: Literal["appliance", "car charger", "heat pump", "cooling", "electric heat"] = "appliance"
    """What may be added later; a car charger and heating count by rules of their own."""


class Demand(Section):
    floor_area_ft2: Annotated[float, Field(gt=0, le=100_000)] | None = None
    """Floor area by outside dimensions, square feet, without garage, porch and unfinished space."""
    floor_area_m2: Annotated[float, Field(gt=0, le=10_000)] | None = None
    """The same in square metres."""
    small_appliance_circuits: Annotated[int, Field(ge=2, le=20)] = 2
    """Kitchen and dining circuits for small appliances; at least two are counted."""
    laundry_circuits: Annotated[int, Field(ge=0, le=10)] = 1
    """Circuits for the laundry."""
    appliances: Annotated[list[Appliance], Field(max_length=60)] = Field(default_factory=list)
    """Fixed appliances by nameplate: range, oven, dryer, water heater, dishwasher, fixed motors, not heating or cooling."""
    appliances_complete: bool = False
    """Whether every fixed appliance is listed; until then a calculated load can only be too low."""
    car_charger_va: Va | None = None
    """Charger for an electric car that is there today, nameplate volt-amperes."""
    cooling_va: Va | None = None
    """Air conditioning, nameplate volt-amperes; a heat pump stands below and not here too."""
    heat_pump_va: Va | None = None
    """Heat pump, its compressor alone, nameplate volt-amperes."""
    strips_va: Va | None = None
    """Electric strips that help a heat pump or stand in its duct, volt-amperes."""
    electric_heat_va: Va | None = None
    """Electric heating of rooms, all together, volt-amperes."""
    electric_heat_controls: Annotated[int, Field(ge=1, le=60)] | None = None
    """How many thermostats control that heating."""
    storage_heat_va: Va | None = None
    """Electric storage heating, volt-amperes."""
    measured_peak_kw: Annotated[float, Field(gt=0, le=500)] | None = None
    """Highest demand measured at the meter, kW."""
    measured_over: Literal["15 minutes", "1 hour"] | None = None
    """The time over which that demand was averaged."""
    measured_days: Annotated[int, Field(ge=1, le=800)] | None = None
    """Days that the measurement covers; a year is asked for, 30 days under conditions."""
    measured_with_solar: bool = False
    """Whether an array was already feeding in behind the meter when it was measured."""
    planned: Annotated[list[PlannedLoad], Field(max_length=20)] = Field(default_factory=list)
    """What may be added later: a heat pump, a car charger."""

    @model_validator(mode="after")
    def _check(self):
        at_most_one(self, "floor_area_ft2", "floor_area_m2")
        if self.electric_heat_va is not None and self.electric_heat_controls is None:
            raise ValueError("electric_heat_va needs electric_heat_controls: how many thermostats control the heating")
        if self.measured_peak_kw is not None and (self.measured_over is None or self.measured_days is None):
            raise ValueError('measured_peak_kw needs measured_over ("15 minutes" or "1 hour") and measured_days')
        return self

    @property
    def floor_ft2(self) -> float | None:
        """Floor area [ft²]."""
        return self.floor_area_ft2 if self.floor_area_m2 is None else self.floor_area_m2 / FT_M ** 2
