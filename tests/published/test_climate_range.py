"""Does the printed band hold the truth? Sun on a plane of 25° from the embedded atlas against 39 weather files.

The files were not used to make the atlas; they disagree among themselves by some 6 % (see typical_year_sums.csv). An
eighty-per-cent band should hold eighty of a hundred places; between 70 and 90 is what 39 places can tell.
"""

from __future__ import annotations

import csv
from functools import cache
from pathlib import Path

import numpy as np

from reportgen.climate.read import read_year
from reportgen.production.chain import produce
from reportgen.production.spread import Z_NINE_IN_TEN
from tests.production.years import filled

FILE = Path(__file__).parent / "typical_year_sums.csv"


@cache
def compared() -> dict[str, np.ndarray]:
    """Error of the sun on the plane, sigma of the weather alone, and sigma of a year's output, as a house's report has them."""
    lines = [line for line in FILE.read_text(encoding="utf-8").splitlines() if not line.startswith("#")]
    rows, found = list(csv.DictReader(lines)), []
    for row in rows:
        place = {key: float(row[key]) for key in ("latitude", "longitude", "elevation_m")} | {"time_zone": "UTC"}
        facing = "south" if place["latitude"] >= 0 else "north"
        asked = filled(place=place, roof=[{"facing": facing, "slope_deg": 25, "shade_percent": 0}])
        year = read_year(asked, Path())
        made = produce(asked, year)
        found.append((made.faces[0].plane_of_array_kwh_m2 / float(row["poa_tilt25_kwh_m2_year"]) - 1.0,
                      year.weather_sigma, made.spread.one_year_sigma))
    german = np.array([row["kind"] == "TRY" for row in rows])
    weight = np.where(german, 1.0 / german.sum(), 1.0)       # thirteen German stations count as one place
    error, weather, whole = np.array(found).T
    return {"error": np.abs(error), "weather": weather, "whole": whole, "weight": weight / weight.sum()}


def held(sigma) -> tuple[float, float]:
    """Share of places inside the band: each counted once, and all of Germany as one."""
    inside = compared()["error"] <= Z_NINE_IN_TEN * sigma
    return float(inside.mean()), float(compared()["weight"] @ inside)


def test_the_band_of_the_weather_alone_holds_70_to_90_percent_of_places():
    assert all(0.70 <= share <= 0.90 for share in held(compared()["weather"]))


def test_the_whole_band_holds_at_least_85_percent():
    assert all(share >= 0.85 for share in held(compared()["whole"]))


def test_the_band_is_not_the_same_everywhere():
    assert len(set(np.round(compared()["weather"], 4))) > 1
