"""Modules, inverters and losses as the house file describes them."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field, model_validator

from reportgen.describe.fields import (
    MONTHS,
    Percent,
    Section,
    ShortText,
    TwelvePercents,
    at_most_one,
    exactly_one,
)
from reportgen.describe.module_table import generic_modules

Month = Literal[MONTHS]  # type: ignore[valid-type]
TwelveDays = Annotated[list[Annotated[float, Field(ge=0, le=31)]], Field(min_length=12, max_length=12)]
TwelveDepths = Annotated[list[Annotated[float, Field(ge=0, le=1500)]], Field(min_length=12, max_length=12)]
POWER_SLACK = 0.05   # of Vmp × Imp against the power: digits printed and tolerances; common practice, no source


class InverterInput(Section):
    """The DC side of one inverter, from its data sheet."""
    max_v: Annotated[float, Field(gt=0, le=1500)]
    """Highest input voltage, V DC."""
    min_v: Annotated[float, Field(gt=0, le=1500)]
    """Lowest voltage at which it follows the power (MPPT minimum) or starts, the higher of the two, V DC."""
    trackers: Annotated[int, Field(ge=1, le=24)] = 1
    """Inputs that follow the power of their own strings."""
    strings_per_tracker: Annotated[int, Field(ge=1, le=12)] = 1
    """Strings that one input takes side by side."""
    max_current_a: Annotated[float, Field(gt=0, le=200)] | None = None
    """Highest operating current of one input, A DC."""
    max_short_circuit_a: Annotated[float, Field(gt=0, le=300)] | None = None
    """Highest short-circuit current of one input, A DC."""

    @model_validator(mode="after")
    def _check(self):
        if self.min_v >= self.max_v:
            raise ValueError(f"min_v is {self.min_v:g} and max_v {self.max_v:g}; the first is always the smaller: look at the "
                             "data sheet again")
        return self


class Inverter(Section):
    name: ShortText = "inverter"
    """What you call it, for example "garage, east string"."""
    count: Annotated[int, Field(ge=1, le=100)] = 1
    """How many of this kind share the same faces."""
    limit_kw: Annotated[float, Field(gt=0, le=1000)]
    """AC power limit of one, kW."""
    output_a: Annotated[float, Field(gt=0, le=4000)] | None = None
    """Continuous output current of one, A, from the data sheet."""
    efficiency_percent: Annotated[float, Field(ge=80, le=100)] | None = None
    """Weighted efficiency from the data sheet, %."""
    faces: Annotated[list[ShortText], Field(min_length=1, max_length=24)] | None = None
    """Names of the roof faces that feed it; where missing, all faces that no other inverter names."""
    max_breaker_a: Annotated[float, Field(gt=0, le=4000)] | None = None
    """Largest breaker that its maker allows, A."""
    input: InverterInput | None = None
    """Its DC side."""


class Array(Section):
    array_kw: Annotated[float, Field(gt=0, le=1000)] | None = None
    """Rated power of all modules, kW DC."""
    module_count: Annotated[int, Field(ge=1, le=2000)] | None = None
    """Modules in all; instead of array_kw."""
    module: Literal[tuple(generic_modules())] | None = None  # type: ignore[valid-type]
    """A generic module for what no data sheet says; the one nearest in power where missing."""
    module_w: Annotated[float, Field(ge=50, le=1000)] | None = None
    """Rated power of one module, W DC."""
    module_voc_v: Annotated[float, Field(gt=0, le=300)] | None = None
    """Open-circuit voltage of one module, V, from the data sheet."""
    module_isc_a: Annotated[float, Field(gt=0, le=40)] | None = None
    """Short-circuit current of one module, A, from the data sheet."""
    module_vmp_v: Annotated[float, Field(gt=0, le=300)] | None = None
    """Voltage at full power, V, from the data sheet."""
    module_imp_a: Annotated[float, Field(gt=0, le=40)] | None = None
    """Current at full power, A, from the data sheet."""
    module_noct_c: Annotated[float, Field(ge=35, le=60)] | None = None
    """Nominal operating cell temperature from the data sheet, °C."""
    power_coefficient_percent_per_c: Annotated[float, Field(ge=-1, le=0)] | None = None
    """Change of power per degree of cell temperature, %/°C, from the data sheet (negative)."""
    voc_coefficient_percent_per_c: Annotated[float, Field(ge=-1, le=0)] | None = None
    """Change of open-circuit voltage per degree, %/°C, from the data sheet (negative)."""
    vmp_coefficient_percent_per_c: Annotated[float, Field(ge=-1, le=0)] | None = None
    """Change of the voltage at full power per degree, %/°C, from the data sheet (negative); decides how few modules a string
    may have. Where missing, the power's stands in for it."""
    module_long_mm: Annotated[float, Field(ge=200, le=4000)] | None = None
    """Long side of one module, mm."""
    module_short_mm: Annotated[float, Field(ge=200, le=4000)] | None = None
    """Short side of one module, mm."""
    module_weight_kg: Annotated[float, Field(gt=0, le=100)] | None = None
    """Weight of one module, kg."""
    module_max_fuse_a: Annotated[float, Field(gt=0, le=100)] | None = None
    """Maximum series fuse, A, from the data sheet."""
    module_max_system_v: Annotated[float, Field(ge=30, le=3000)] | None = None
    """Maximum system voltage of the module, V DC, from the data sheet."""
    conversion: Literal["string inverter", "module-level"] | None = None
    """One or several inverters that take whole faces, or one small unit under each module."""
    inverter_kw: Annotated[float, Field(gt=0, le=1000)] | None = None
    """AC power limit of all inverters together, kW."""
    inverter_a: Annotated[float, Field(gt=0, le=4000)] | None = None
    """Continuous output current of all inverters together, A, from the data sheet."""
    inverter_efficiency_percent: Annotated[float, Field(ge=80, le=100)] | None = None
    """Weighted efficiency from the data sheet, %."""
    inverters: Annotated[list[Inverter], Field(min_length=1, max_length=20)] | None = None
    """Several inverters, each with its own limit and faces; instead of inverter_kw and inverter_a."""
    inverter_max_breaker_a: Annotated[float, Field(gt=0, le=4000)] | None = None
    """Largest breaker that the inverter's maker allows, A."""
    inverter_input: InverterInput | None = None
    """The DC side of the one inverter."""
    dc_converters: bool = False
    """Whether each module has a DC-to-DC converter; then the maker's string limits hold instead of sums made here."""
    power_control_listed: bool = False
    """Whether the equipment is listed as a power control system (UL 1741 or UL 3141), by its data sheet."""
    power_control_setpoint_a: Annotated[float, Field(gt=0, le=4000)] | None = None
    """The current to which that system would be set, A."""
    units_per_branch: Annotated[int, Field(ge=1, le=60)] | None = None
    """Module-level: most units on one branch cable by the maker's limit."""
    unit_limit_w: Annotated[float, Field(gt=0, le=5000)] | None = None
    """Module-level: AC power limit of one unit, W; instead of inverter_kw."""
    unit_output_a: Annotated[float, Field(gt=0, le=20)] | None = None
    """Module-level: continuous output current of one unit, A, from the data sheet."""
    night_draw_w: Annotated[float, Field(ge=0, le=1000)] | None = None
    """Power that all inverters together take from the grid at night, W, from the data sheet."""
    degradation_percent_per_year: Annotated[float, Field(ge=0, le=5)] | None = None
    """Output lost each year, %."""

    @model_validator(mode="after")
    def _check(self):
        at_most_one(self, "array_kw", "module_count")
        for whole in ("inverter_kw", "inverter_a", "unit_limit_w", "unit_output_a"):
            at_most_one(self, "inverters", whole)
        at_most_one(self, "inverter_kw", "unit_limit_w")
        at_most_one(self, "inverter_a", "unit_output_a")
        if self.inverters is not None and self.conversion == "module-level":
            raise ValueError("inverters lists string inverters; for module-level units write unit_limit_w")
        for key in ("unit_limit_w", "unit_output_a"):
            if getattr(self, key) is not None and self.conversion != "module-level":
                raise ValueError(f"{key} belongs to conversion: module-level; write both")
        for key in ("inverter_max_breaker_a", "inverter_input"):
            if getattr(self, key) is not None and (self.inverters is not None or self.conversion == "module-level"):
                raise ValueError(f"{key} belongs to one string inverter; under inverters write "
                                 f"{key.removeprefix('inverter_')} for each")
        if self.units_per_branch is not None and self.conversion != "module-level":
            raise ValueError("units_per_branch belongs to conversion: module-level; write both")
        if self.power_control_setpoint_a is not None and not self.power_control_listed:
            raise ValueError("power_control_setpoint_a needs power_control_listed: true; only listed equipment may be counted")
        self._check_module()
        return self

    def _check_module(self):
        for most, least in (("module_voc_v", "module_vmp_v"), ("module_isc_a", "module_imp_a"),
                            ("module_long_mm", "module_short_mm")):
            high, low = getattr(self, most), getattr(self, least)
            if high is not None and low is not None and high < low:
                raise ValueError(f"{most} is {high:g} and {least} {low:g}; the first is never the smaller: "
                                 "look at the data sheet again")
        power, volts, amperes = self.module_w, self.module_vmp_v, self.module_imp_a
        if None not in (power, volts, amperes) and abs(volts * amperes - power) > POWER_SLACK * power:
            raise ValueError(f"module_vmp_v × module_imp_a is {volts * amperes:.0f} W and module_w {power:g}; "
                             "they belong together: look at the data sheet again")

    @property
    def inverters_name_efficiency(self) -> bool | None:
        """True where every listed inverter has its own efficiency, so that none is assumed; else None."""
        listed = self.inverters or ()
        return True if listed and all(i.efficiency_percent is not None for i in listed) else None


class Snowfall(Section):
    """Measured snow, from which a published model finds what snow takes. A typical year's snow column is not one."""
    source: ShortText
    """Where the snow was measured and over which years."""
    snow_cm: TwelveDepths | None = None
    """Snow that falls in each month, cm, January first; fresh snow added up, not depth on the ground."""
    snow_in: TwelveDepths | None = None
    """The same in inches."""
    snow_days: TwelveDays
    """Days of each month with more than 2.5 cm (1 inch) of fresh snow, January first."""
    relative_humidity_percent: TwelvePercents
    """Mean relative humidity: one number, or twelve from January."""
    lower_edge_m: Annotated[float, Field(ge=0, le=100)] | None = None
    """Height of the array's lower edge above where sliding snow comes to rest, in metres."""

    @model_validator(mode="after")
    def _check(self):
        exactly_one(self, "snow_cm", "snow_in")
        return self


class DirtBuildup(Section):
    """Dirt that grows by the day until rain or a cleaning takes it away."""
    percent_per_dry_day: Annotated[float, Field(ge=0, le=5)]
    """Output lost to one more dry day, percent."""
    rainy_days: TwelveDays
    """Days of each month with enough rain to rinse the glass (about 6 mm or a quarter inch), January first."""
    cleaned_in: Annotated[list[Month], Field(max_length=12)] = Field(default_factory=list)
    """Months on whose first day someone cleans the modules."""
    highest_percent: Percent = 30.0
    """Dirt never takes more than this, percent."""
    source: ShortText
    """Where the rain days and the loss a day come from."""


class Losses(Section):
    """What is lost between sun and meter beyond shade, heat and conversion; each in percent of what is left."""
    dirt_percent: TwelvePercents | None = None
    """Dust, pollen and birds on the glass: one number, or twelve from January."""
    dirt_buildup: DirtBuildup | None = None
    """Dirt by dry days, rain and cleaning; instead of dirt_percent."""
    snow_percent: TwelvePercents | None = None
    """Output lost while snow lies on the modules: one number for every month, or twelve from January."""
    snowfall: Snowfall | None = None
    """Measured snow, from which a published model finds the loss; instead of snow_percent."""
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

    @model_validator(mode="after")
    def _check(self):
        at_most_one(self, "dirt_percent", "dirt_buildup")
        at_most_one(self, "snow_percent", "snowfall")
        return self


def check_inverter_faces(array: Array, faces) -> None:
    """Every roof face feeds an inverter, and every inverter has a face. Errors: ValueError in plain words."""
    if array.inverters is None:
        return
    names = [face.name for face in faces]
    named = [name for inverter in array.inverters for name in inverter.faces or ()]
    for name in named:
        if names.count(name) == 0:
            raise ValueError(f'array.inverters names a face "{name}"; the roof has {", ".join(names)}')
        if names.count(name) > 1:
            raise ValueError(f'array.inverters names the face "{name}", and several faces are called so; '
                             "give each face its own name")
    for inverter in array.inverters:
        if inverter.faces is not None and len(set(inverter.faces)) < len(inverter.faces):
            raise ValueError(f'inverter "{inverter.name}" names a face twice')
    free = [face.name for face in faces if face.name not in named]
    takers = [inverter for inverter in array.inverters if inverter.faces is None]
    if takers and not free:
        raise ValueError(f'inverter "{takers[0].name}" has no face left; name its faces')
    bare = [face.name for face in faces if face.name in free and face.module_count != 0]
    if bare and not takers:
        raise ValueError(f'no inverter takes the face "{bare[0]}"; name it under one of array.inverters')
