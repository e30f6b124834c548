"""Where the year of sun and air comes from, and what is known of the sun nearby, as the house file says it."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field, model_validator

from reportgen.describe.fields import COMPASS_DEG, Section, ShortText, exactly_one

FIRST_SATELLITE_YEAR, MOST_YEARS = 2001, 30


class NearbyArray(Section):
    """A metered array within some kilometres: its year says how bright the sky really is."""

    name: ShortText | None = None
    """What you call it; no address, no family name."""
    power_kw: Annotated[float, Field(gt=0, le=1000)]
    """Rated power of its modules, kW DC."""
    facing: Literal[tuple(COMPASS_DEG)] | None = None  # type: ignore[valid-type]
    """Where it looks, downhill: a compass word."""
    azimuth_deg: Annotated[float, Field(ge=0, lt=360)] | None = None
    """The same as degrees clockwise from true north: east 90, south 180, west 270."""
    slope_deg: Annotated[float, Field(ge=0, le=90)]
    """Slope from level, in degrees."""
    mounting: Literal["close roof", "raised", "ground", "flat roof"] | None = None
    """How its modules sit; close to the roof where left out."""
    year_kwh: Annotated[float, Field(gt=0, le=10_000_000)]
    """What its meter counted in that year, kWh AC."""
    year: Annotated[int, Field(ge=1990, le=2100)]
    """The year, all twelve months of it."""

    @model_validator(mode="after")
    def _check(self):
        exactly_one(self, "facing", "azimuth_deg")
        return self

    @property
    def facing_deg(self) -> float:
        """Azimuth [°], clockwise from true north."""
        return COMPASS_DEG[self.facing] if self.azimuth_deg is None else self.azimuth_deg


class Weather(Section):
    source: Literal["atlas", "file", "satellite"] = "atlas"
    """The embedded worldwide table, a weather file beside the house file, or satellite hours fetched over the network once."""
    file: ShortText | None = None
    """Path of the weather file, inside the batch folder (TMY3, TMY2, EPW or NSRDB CSV)."""
    years: Annotated[list[int], Field(min_length=2, max_length=2)] | None = None
    """satellite: first and last year, both whole, for example [2014, 2023]; ten years where left out."""
    nearby_arrays: Annotated[list[NearbyArray], Field(max_length=20)] = Field(default_factory=list)
    """Metered arrays nearby, one entry a year of readings; they set the level of the sun and narrow the range."""
    annual_horizontal_kwh_m2: Annotated[float, Field(ge=300, le=3000)] | None = None
    """Sunlight on level ground in a usual year, kWh/m², where a station or an atlas of the country gives it."""

    @model_validator(mode="after")
    def _check(self):
        if (self.source == "file") != (self.file is not None):
            raise ValueError('write source: file together with file: "weather/NAME", or neither')
        if self.years is not None:
            if self.source != "satellite":
                raise ValueError("years belongs to source: satellite; leave it out otherwise")
            first, last = self.years
            if not FIRST_SATELLITE_YEAR <= first <= last or last - first >= MOST_YEARS:
                raise ValueError(f"years are the first and the last, from {FIRST_SATELLITE_YEAR} on and at most {MOST_YEARS} "
                                 "of them, for example [2014, 2023]")
        return self
