"""The embedded table: what lies in tables/climate_atlas.npz, and how its numbers are packed. `build_atlas` writes it."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from importlib import resources

import numpy as np

FILE = "climate_atlas.npz"
CELL_DEG = 3.0
SOUTH_DEG, WEST_DEG = -57.0, -180.0      # centre of the first cell; rows run north, columns east
ROWS, COLUMNS = 44, 120
# Shares of the days of a month at which the daily ratio is kept; between them a straight line.
RATIO_AT = np.array([0.016, 0.10, 0.27, 0.50, 0.73, 0.90, 0.984])
CLEARNESS_STEPS, FACTOR_STEPS, RATIO_STEPS = 10_000, 10_000, 80
NO_SUN = 65_535                          # stands for a month of polar night


@dataclass(frozen=True, eq=False)
class Table:
    """The table unpacked. Cells without land nearby are not in it."""

    cell_at: np.ndarray          # (44, 120) row of the arrays below; -1 where there is no cell
    clearness: np.ndarray        # (cells, 12) mean sunlight / extraterrestrial, corrected; NaN in polar night
    factor: np.ndarray           # (cells,) what the raw sunlight was multiplied by; already in `clearness`
    ratios: np.ndarray           # (cells, 12, 7) daily clearness / the month's, at RATIO_AT
    city_name: np.ndarray
    city_latitude: np.ndarray    # [°]
    city_longitude: np.ndarray   # [°]
    city_elevation_m: np.ndarray
    city_clearness: np.ndarray   # (cities,) of the whole year, from hours of sunshine
    city_air_c: np.ndarray       # (cities, 12) mean air temperature of each month [°C]


def pack(cells, clearness, factor, ratios, city_name, city_latitude, city_longitude, city_elevation_m,
         city_clearness, city_air_c) -> dict[str, np.ndarray]:
    """Arrays as they go into the file. cells: (cells, 2) row and column; clearness not yet corrected; NaN for no sun."""
    whole = np.where(np.isfinite(clearness), np.round(np.nan_to_num(clearness) * CLEARNESS_STEPS), NO_SUN)
    return {
        "cells": np.asarray(cells, dtype=np.uint8),
        "clearness": whole.astype(np.uint16),
        "factor": np.round(factor * FACTOR_STEPS).astype(np.uint16),
        "ratios": np.clip(np.round(ratios * RATIO_STEPS), 0, 255).astype(np.uint8),
        "city_name": np.array([name.encode("utf-8") for name in city_name]),
        "city_latitude": np.asarray(city_latitude, dtype=np.float32),
        "city_longitude": np.asarray(city_longitude, dtype=np.float32),
        "city_elevation_m": np.asarray(city_elevation_m, dtype=np.int16),
        "city_clearness": np.asarray(city_clearness, dtype=np.float32),
        "city_air_c": np.asarray(city_air_c, dtype=np.float32),
    }


def unpack(stored) -> Table:
    cell_at = np.full((ROWS, COLUMNS), -1, dtype=int)
    cell_at[stored["cells"][:, 0], stored["cells"][:, 1]] = np.arange(len(stored["cells"]))
    factor = stored["factor"] / FACTOR_STEPS
    whole = stored["clearness"]
    clearness = np.where(whole == NO_SUN, np.nan, whole / CLEARNESS_STEPS) * factor[:, None]
    return Table(cell_at, clearness, factor, stored["ratios"] / RATIO_STEPS,
                 np.array([name.decode("utf-8") for name in stored["city_name"]]),
                 *(stored[key].astype(float) for key in ("city_latitude", "city_longitude", "city_elevation_m",
                                                         "city_clearness", "city_air_c")))


@cache
def table() -> Table:
    """The table that travels with the package, read once."""
    with (resources.files("reportgen") / "tables" / FILE).open("rb") as file, np.load(file) as stored:
        return unpack({key: stored[key] for key in stored.files})


def corners(latitude: float, longitude: float) -> list[tuple[int, int, float]]:
    """The four cell centres around a place as (row, column, weight); rows off the table are left out."""
    y, x = (latitude - SOUTH_DEG) / CELL_DEG, ((longitude - WEST_DEG) % 360.0) / CELL_DEG
    row, column = int(np.floor(y)), int(np.floor(x))
    up, right = y - row, x - column
    four = [(row, column, (1 - up) * (1 - right)), (row, column + 1, (1 - up) * right),
            (row + 1, column, up * (1 - right)), (row + 1, column + 1, up * right)]
    return [(r, c % COLUMNS, w) for r, c, w in four if 0 <= r < ROWS and w > 0]
