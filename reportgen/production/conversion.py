"""From DC to AC: efficiency by load, and the hard limit."""

from __future__ import annotations

import numpy as np

from reportgen.describe.models import House

# Efficiency by load at nominal voltage: one accredited laboratory's set of 126 points, as carried in pvlib's test data
# (inverter_fit_snl_meas.csv). Only the shape is used; the level is the house's weighted efficiency.
LOAD = np.array([0.10, 0.20, 0.30, 0.50, 0.75, 1.00])
EFFICIENCY = np.array([0.954, 0.970, 0.976, 0.976, 0.974, 0.973])
# Weights of the six loads in the weighted efficiency on US data sheets; from memory.
WEIGHT = np.array([0.04, 0.05, 0.12, 0.21, 0.53, 0.05])
SOURCE = ("Shape by load: laboratory measurements as carried in pvlib's test data (inverter_fit_snl_meas.csv); "
          "weights 0.04, 0.05, 0.12, 0.21, 0.53, 0.05 from memory; level: the house's weighted efficiency")


# Drawn at night by one string inverter and by one unit under a module [W].
NIGHT_DRAW_W = {"string inverter": 2.0, "module-level": 0.05}
NIGHT_SOURCE = ("common practice, no source; the lowest minutes of two inverters at the NIST net-zero test house in 2015 "
                "were 65 to 107 W, which are extremes and no mean")


def _loss_curve() -> tuple[np.ndarray, np.ndarray]:
    """Load and loss, both as shares of full load: straight between the measured points, carried on at both ends."""
    loss = LOAD * (1.0 - EFFICIENCY)
    idle = loss[0] - (loss[1] - loss[0]) / (LOAD[1] - LOAD[0]) * LOAD[0]
    far = 20.0   # beyond any array; the limit cuts this off
    return np.concatenate(([0.0], LOAD, [far])), np.concatenate(([idle], loss, [far * (1.0 - EFFICIENCY[-1])]))


_LOADS, _LOSSES = _loss_curve()
_WEIGHTED_LOSS = 1.0 - float(WEIGHT @ EFFICIENCY)


def convert(dc_kw, limit_kw: float, weighted_efficiency_percent: float):
    """AC power before any limit [kW], never negative and never above `dc_kw`.

    The measured losses are scaled, so that the weighted efficiency over the six loads is the given one. Full load is
    the DC power which that efficiency turns into `limit_kw`. What is drawn at night is stated apart, see `night_draw_w`.
    """
    full_load_kw = limit_kw / (weighted_efficiency_percent / 100.0)
    scale = (1.0 - weighted_efficiency_percent / 100.0) / _WEIGHTED_LOSS
    load = dc_kw / full_load_kw
    loss = scale * np.interp(load, _LOADS, _LOSSES)
    return np.maximum(load - loss, 0.0) * full_load_kw


def night_draw_w(house: House, inverter_count: int) -> float:
    """What all inverters together take from the grid in the dark [W]: as written, else a usual value for each."""
    if house.array.night_draw_w is not None:
        return house.array.night_draw_w
    return NIGHT_DRAW_W[house.array.conversion] * inverter_count


def limited(ac_kw, limit_kw: float):
    """AC power cut off at the limit [kW]."""
    return np.minimum(ac_kw, limit_kw)
