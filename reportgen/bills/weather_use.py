"""What electric heating and air conditioning take: hours of the house's own weather, weighed by degrees.

Heating counts degrees of outdoor air below 18 °C, cooling degrees above 21 °C: common practice, no source.
"""

from __future__ import annotations

from itertools import chain, combinations

import numpy as np

HEATING_BELOW_C, COOLING_ABOVE_C = 18.0, 21.0
# A heat pump gives 3.2 kWh of heat for one at 0 °C, 0.08 more for each degree above, within 1.5 and 5: common practice, no source.
HEAT_PUMP_AT_ZERO, HEAT_PUMP_PER_C, HEAT_PUMP_LEAST, HEAT_PUMP_MOST = 3.2, 0.08, 1.5, 5.0
# Where only a year's sum is known: kWh for each degree and hour, and the most that both may take of the year. No source.
HEAT_LOSS_KW_PER_C, COOLING_KW_PER_C, MOST_OF_A_YEAR = 0.15, 0.10, 0.6


def heating_weights(air_c: np.ndarray, heating: str) -> np.ndarray:
    """Electric power for heat in each hour, up to a factor: degree-hours, for a heat pump divided by what it gives."""
    degrees = np.maximum(HEATING_BELOW_C - np.asarray(air_c), 0.0)
    if heating != "heat pump":
        return degrees
    gives = np.clip(HEAT_PUMP_AT_ZERO + HEAT_PUMP_PER_C * np.asarray(air_c), HEAT_PUMP_LEAST, HEAT_PUMP_MOST)
    return degrees / gives


def cooling_weights(air_c: np.ndarray) -> np.ndarray:
    return np.maximum(np.asarray(air_c) - COOLING_ABOVE_C, 0.0)


def fitted_shares(kwh: np.ndarray, parts: np.ndarray) -> np.ndarray:
    """Factors of base, heating and cooling, none below zero, that come nearest to the bills (least squares).

    kwh: each bill's. parts: (bills, 1 + weather parts), each bill's sum of weights; the first column is the base, which is
    always kept.
    """
    weather = range(1, parts.shape[1])
    best, least = np.zeros(parts.shape[1]), np.inf
    for chosen in chain.from_iterable(combinations(weather, n) for n in range(parts.shape[1])):
        columns = [0, *chosen]
        factors = np.linalg.lstsq(parts[:, columns], kwh, rcond=None)[0]
        if (factors < 0).any():
            continue
        rest = float(np.sum((parts[:, columns] @ factors - kwh) ** 2))
        if rest < least * (1 - 1e-9):
            best, least = np.zeros(parts.shape[1]), rest
            best[columns] = factors
    return best


def assumed_shares(year_kwh: float, base_sum: float, weather_sums: np.ndarray, per_degree_kw: np.ndarray) -> np.ndarray:
    """Factors of base, heating and cooling where only a year's sum is known: kW per degree, at most 60 % of the year."""
    weather = per_degree_kw * weather_sums
    most = MOST_OF_A_YEAR * year_kwh
    cut = min(1.0, most / weather.sum()) if weather.sum() > 0 else 1.0
    return np.concatenate([[(year_kwh - cut * weather.sum()) / base_sum], cut * per_degree_kw])
