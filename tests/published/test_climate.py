"""The embedded atlas against typical-year weather files that were not used to make it."""

from __future__ import annotations

import csv
from functools import cache
from pathlib import Path

import numpy as np
import pytest

from reportgen.climate.daylight import MONTH_DAYS
from reportgen.climate.read import read_year
from tests.houses import house

FILE = Path(__file__).parent / "typical_year_sums.csv"   # its head says where the sums come from
MONTH_OF_HOUR = np.repeat(np.arange(12), MONTH_DAYS * 24)


@cache
def compared() -> dict[str, np.ndarray]:
    """Errors of the atlas at each place, through a house and `read_year`, and the weight of each place."""
    lines = [line for line in FILE.read_text(encoding="utf-8").splitlines() if not line.startswith("#")]
    found = []
    rows = list(csv.DictReader(lines))
    for row in rows:
        place = {key: float(row[key]) for key in ("latitude", "longitude", "elevation_m")}
        # A fixed zone spares the search for the clock; the sums of months do not hang on it.
        year = read_year(house(place={**place, "time_zone": "UTC"}), Path())
        months = np.bincount(MONTH_OF_HOUR, year.ghi_w_m2) / 1000.0
        truth = np.array([float(row[f"ghi_{m:02d}"]) for m in range(1, 13)])
        found.append((months.sum() / float(row["ghi_kwh_m2_year"]) - 1.0,
                      np.sqrt(np.mean((months - truth) ** 2)) / truth.mean(),
                      year.air_c.mean() - float(row["air_c_mean"]), year.weather_sigma, year.air_error_k))
    german = np.array([row["kind"] == "TRY" for row in rows])
    weight = np.where(german, 1.0 / german.sum(), 1.0)       # thirteen German stations count as one place
    columns = np.array(found).T
    return {"weight": weight / weight.sum(), **dict(zip(("year", "month", "air", "sigma", "air_sigma"), columns,
                                                        strict=True))}


def mean(values) -> float:
    return float(compared()["weight"] @ values)


def test_the_file_holds_39_places_of_which_13_german():
    assert len(compared()["year"]) == 39
    assert np.isclose(compared()["weight"].min() * 13 * 27, 1.0)


def test_the_year_is_right_on_average_within_5_percent():
    assert abs(mean(compared()["year"])) <= 0.05


def test_the_year_scatters_by_at_most_8_5_percent():
    error = compared()["year"]
    assert mean((error - mean(error)) ** 2) ** 0.5 <= 0.085


def test_half_the_places_have_months_within_12_percent():
    order = np.argsort(compared()["month"])
    middle = np.searchsorted(np.cumsum(compared()["weight"][order]), 0.5)
    assert compared()["month"][order][middle] <= 0.12


def test_the_stated_uncertainty_of_the_sun_covers_the_errors():
    """Two thirds within one sigma would be a normal spread; the files themselves disagree by some 6 %."""
    inside = np.abs(compared()["year"]) <= compared()["sigma"]
    assert mean(inside) >= 0.55
    assert mean(np.abs(compared()["year"]) <= 2 * compared()["sigma"]) >= 0.95


def test_air_is_right_within_the_spread_of_interpolation():
    """Mean within 0.5 K, scatter within 1.5 K; a year of a file is itself 0.5 K off the normal (common practice)."""
    assert abs(mean(compared()["air"])) <= 0.5
    assert mean((compared()["air"] - mean(compared()["air"])) ** 2) ** 0.5 <= 1.5


def test_the_stated_uncertainty_of_the_air_is_no_smaller_than_the_errors_by_half():
    assert mean((compared()["air"] / compared()["air_sigma"]) ** 2) ** 0.5 <= 1.5


@pytest.mark.parametrize(("place", "lowest", "highest"), [
    # Textbook orders of magnitude, common practice, no source: nothing here may be a factor off.
    ({"latitude": 51.2, "longitude": -0.2, "elevation_m": 62}, 900, 1200),     # southern England
    ({"latitude": 33.4, "longitude": -112.0, "elevation_m": 340}, 1900, 2300), # Arizona desert
    ({"latitude": 64.1, "longitude": -21.9, "elevation_m": 20}, 650, 950),     # Iceland's coast
])
def test_the_year_lies_in_the_range_that_is_known_for_the_region(place, lowest, highest):
    year = read_year(house(place={**place, "time_zone": "UTC"}), Path())
    assert lowest <= year.ghi_w_m2.sum() / 1000.0 <= highest
