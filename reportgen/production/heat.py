"""How hot the cells run, and what that costs."""

from __future__ import annotations

import numpy as np
from pvlib import temperature

# Heat loss of an open rack: Faiman, Progress in Photovoltaics 16, 2008, pp. 307-315 (seven silicon modules).
OPEN_RACK_STILL = 25.0        # [W/(m² K)]
OPEN_RACK_WIND = 6.84         # [W/(m² K) per m/s]
NOCT_SUN_W_M2, NOCT_AIR_C, NOCT_WIND_M_S = 800.0, 20.0, 1.0   # definition in IEC 61215, from memory
RATED_CELL_C = 25.0           # temperature at which the label's power is measured

# Kelvin on top of the open-rack temperature for the gap behind the modules: 11 K for about 1 inch, 6 K for 2 inches,
# 2 K for 3 inches, nothing above 3.5, 18 K for less than half an inch. Rows of the stand-off table of SAND85-0330 as pvlib carries them.
# Which gap a mounting has is common practice, no source.
STAND_OFF = {
    "in the roof": (18.0, "no air behind the modules"),
    "close roof": (6.0, "about 2 inches (5 cm) behind the modules"),
    "flat roof": (2.0, "about 3 inches (8 cm) behind the modules"),
    "raised": (0.0, "more than 3.5 inches (9 cm) behind the modules"),
    "ground": (0.0, "open behind"),
}
SOURCE = ("Faiman, Progress in Photovoltaics 16, 2008, both coefficients scaled to the data sheet's NOCT "
          "(definition in IEC 61215, from memory)")
STAND_OFF_SOURCE = ("Stand-off table of SAND85-0330, as carried by pvlib; which gap a mounting has is common practice, "
                    "no source")


def installed_noct_c(noct_c: float, mounting: str) -> float:
    """Nominal operating cell temperature as mounted [°C]."""
    return noct_c + STAND_OFF[mounting][0]


def heat_loss(noct_c: float, mounting: str) -> tuple[float, float]:
    """Faiman's pair (in still air [W/(m² K)], per m/s of wind), scaled to give the installed NOCT as it is defined."""
    rise = installed_noct_c(noct_c, mounting) - NOCT_AIR_C
    scale = NOCT_SUN_W_M2 / rise / (OPEN_RACK_STILL + OPEN_RACK_WIND * NOCT_WIND_M_S)
    return OPEN_RACK_STILL * scale, OPEN_RACK_WIND * scale


def cell_temperature_c(light_w_m2, air_c, wind_m_s, noct_c: float, mounting: str):
    """Cell temperature [°C] under `light_w_m2` on the plane. At night the cells take the air's temperature.

    Clear nights chill modules some 4 K below the air; nothing is produced then, so it is left out.
    """
    still, per_wind = heat_loss(noct_c, mounting)
    return temperature.faiman(light_w_m2, air_c, wind_m_s, still, per_wind)


def heat_factor(cell_c, power_coefficient_percent_per_c: float):
    """Power at this cell temperature against the label's; above 1 when cold, never below 0."""
    return np.maximum(1.0 + power_coefficient_percent_per_c / 100.0 * (cell_c - RATED_CELL_C), 0.0)
