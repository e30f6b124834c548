"""TypicalYear: 8,760 hours of sun and air at one place, and how sure they are. What `climate` hands to `production`."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from reportgen.figures import Figure

HOURS = 8760
MODEL_YEAR = 2023  # any year of 365 days; the sun's path differs by minutes of arc between years


@dataclass(frozen=True, eq=False)
class TypicalYear:
    """Hour k covers the time from k to k + 1 hours after 1 January 00:00, local standard time (fixed UTC offset).

    The sun stands for the hour at its middle, k + 0.5. Arrays have 8,760 values and are read-only.
    """

    latitude: float               # [°], north positive
    longitude: float              # [°], east positive
    elevation_m: float            # [m]
    utc_offset_h: float           # [h], local standard time = UTC + this
    ghi_w_m2: np.ndarray          # global horizontal, mean over the hour [W/m²]
    dni_w_m2: np.ndarray          # direct normal [W/m²]
    dhi_w_m2: np.ndarray          # diffuse horizontal [W/m²]
    air_c: np.ndarray             # air temperature at 2 m [°C]
    wind_m_s: np.ndarray          # wind at module height [m/s]
    name: str                     # what it is, as the report says it, e.g. "embedded worldwide atlas"
    sources: tuple[str, ...]      # data, licence, years
    weather_sigma: float          # one standard deviation of the year's sum from the source alone, as a share (0.08)
    year_to_year_sigma: float     # one standard deviation between single years, as a share
    air_error_k: float            # one standard deviation of the annual mean air temperature [K]
    notes: tuple[str, ...] = ()   # sentences for the reader: what is special about this place or file
    sigma_is: str = ""            # where weather_sigma comes from
    year_to_year_is: str = ""     # where year_to_year_sigma comes from
    figures: tuple[Figure, ...] = ()  # what a reader may question about it: climate.calibration, ...

    def brighter(self, factor: float) -> TypicalYear:
        """The same year with all irradiance multiplied by `factor` (to see what the source's error does)."""
        return replace(self, ghi_w_m2=self.ghi_w_m2 * factor, dni_w_m2=self.dni_w_m2 * factor,
                       dhi_w_m2=self.dhi_w_m2 * factor)

    def warmer(self, kelvin: float) -> TypicalYear:
        """The same year with the air `kelvin` warmer."""
        return replace(self, air_c=self.air_c + kelvin)
