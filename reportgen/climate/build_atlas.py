"""Make tables/climate_atlas.npz from packages of public registries: python -m reportgen.climate.build_atlas

Run it in an environment of its own, after
    pip install gsee-climate-data==1.0.0 sunshine-hours-by-city==0.1.0 world-temperature-data==0.1.0 numpy pvlib==0.16.1
It draws no random numbers and reads nothing else: run twice, it writes the same bytes. It prints the errors found by
leaving cities out. Licences and changes: tables/NOTICE.climate_atlas.md.
"""

from __future__ import annotations

import csv
import sys
from importlib import resources
from pathlib import Path

import numpy as np

from reportgen.climate import table, temperature
from reportgen.climate.daylight import MONTH_DAYS, extraterrestrial_months, sunshine_clearness
from reportgen.climate.kriging import Field, distance_km, leave_one_out
from reportgen.climate.site import elevation_of

OUTPUT = Path(__file__).parents[1] / "tables" / table.FILE
IRRADIANCE = ("gsee_climate_data", "data/merra2_rad3x3_2011-2015_pdfs_land_prox.npz")
SUNSHINE = ("sunshine_hours_by_city", "sunshine-hours.csv")
AIR = ("world_temperature_data", "world-temperature.csv")
MONTH_KEYS = ("jan_c", "feb_c", "mar_c", "apr_c", "may_c", "jun_c", "jul_c", "aug_c", "sep_c", "oct_c", "nov_c", "dec_c")
# The daily densities are smoothed histograms of n = 31 days x 5 years; the usual kernel (width n^-1/5 of the standard
# deviation, Scott's rule, assumed) widens them by sqrt(1 + n^-2/5).
NARROWER = 1.0 / np.sqrt(1.0 + (31 * 5) ** -0.4)
CORRECTION_KM, CORRECTION_NOISE = 1000.0, 0.5
DARK_W_M2 = 1.0      # months with less than this outside the air count as polar night
NEIGHBOURS_KM, FAR_KM = 100.0, 500.0


def main() -> int:
    cells, clearness, ratios = read_irradiance()
    cities, air = read_rows(SUNSHINE), read_rows(AIR)
    if [(r["city"], r["lat"], r["lon"]) for r in cities] != [(r["city"], r["lat"], r["lon"]) for r in air]:
        raise SystemExit("the two city lists no longer name the same places in the same order")
    latitude, longitude = (np.array([float(r[key]) for r in cities]) for key in ("lat", "lon"))
    elevation = np.array([elevation_of(a, b) for a, b in zip(latitude, longitude, strict=True)])
    city_clearness = sunshine_clearness(latitude, [float(r["annual_hours"]) for r in cities])
    air_c = np.array([[float(r[key]) for key in MONTH_KEYS] for r in air])

    factor = correction(cells, clearness, latitude, longitude, city_clearness)
    packed = table.pack(cells, clearness, factor, ratios, [r["city"] for r in cities], latitude, longitude,
                        elevation, city_clearness, air_c)
    np.savez_compressed(OUTPUT, **packed)
    report_air(latitude, longitude, elevation, air_c)
    print(f"{OUTPUT}: {OUTPUT.stat().st_size / 1024:.0f} KiB, {len(cells)} cells, {len(cities)} cities, "
          f"factor {factor.min():.2f} to {factor.max():.2f}")
    return 0


def read_rows(where) -> list[dict[str, str]]:
    text = (resources.files(where[0]) / where[1]).read_text(encoding="utf-8")
    return list(csv.DictReader(text.splitlines()))


def read_irradiance() -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Cells (n, 2), monthly clearness (n, 12) with NaN in polar night, and daily ratios (n, 12, 7)."""
    with (resources.files(IRRADIANCE[0]) / IRRADIANCE[1]).open("rb") as file, np.load(file) as stored:
        latitude, longitude = stored["lat"], stored["lon"]
        value, density = stored["xk"].astype(float), stored["pk"].astype(float)
    expected = (table.SOUTH_DEG + table.CELL_DEG * np.arange(table.ROWS),
                table.WEST_DEG + table.CELL_DEG * np.arange(table.COLUMNS))
    if not (np.array_equal(latitude, expected[0]) and np.array_equal(longitude, expected[1])):
        raise SystemExit("the cells of the irradiance package are not where they were")
    known = np.isfinite(density).all(axis=-1) & np.isfinite(value).all(axis=-1) & (np.nansum(density, axis=-1) > 0)
    cells = np.argwhere(known.any(axis=-1))
    outside = extraterrestrial_months(latitude)[cells[:, 0]]
    known = known[cells[:, 0], cells[:, 1]] & (outside > DARK_W_M2)
    value, density = value[cells[:, 0], cells[:, 1]], density[cells[:, 0], cells[:, 1]]
    clearness, ratios = np.full(known.shape, np.nan), np.ones((*known.shape, len(table.RATIO_AT)))
    for cell, month in np.argwhere(known):
        mean, quantiles = describe_days(value[cell, month], density[cell, month])
        clearness[cell, month] = min(mean / outside[cell, month], 0.9)
        ratios[cell, month] = np.maximum(1.0 + NARROWER * (quantiles / mean - 1.0), 0.02)
    return cells, clearness, ratios


def describe_days(value, density) -> tuple[float, np.ndarray]:
    """Mean, and quantiles at RATIO_AT, of a density given at evenly spaced values."""
    share = density / density.sum()
    return float(share @ value), np.interp(table.RATIO_AT, np.cumsum(share) - share / 2.0, value)


def correction(cells, clearness, latitude, longitude, city_clearness) -> np.ndarray:
    """What each cell's sunlight is multiplied by: the cities' sunshine over the raw table, smoothed over the globe."""
    where = {tuple(cell): k for k, cell in enumerate(cells)}
    raw = np.full(len(latitude), np.nan)
    for k in range(len(latitude)):
        found = [(where[r, c], w) for r, c, w in table.corners(latitude[k], longitude[k]) if (r, c) in where]
        if found:
            month = np.average(np.nan_to_num([clearness[i] for i, _ in found]), axis=0, weights=[w for _, w in found])
            outside = extraterrestrial_months(latitude[k])[0] * MONTH_DAYS
            raw[k] = month @ outside / outside.sum()
    has = np.isfinite(raw)
    logs = np.log(city_clearness[has] / raw[has])
    setting = logs, correction_trend(latitude[has]), correction_covariance, CORRECTION_NOISE
    for apart in (NEIGHBOURS_KM, FAR_KM):
        errors = leave_one_out(latitude[has], longitude[has], *setting, apart)[0][:, 0]
        print(f"sunlight, {has.sum()} cities, all within {apart:.0f} km left out: mean {errors.mean():+.1%}, "
              f"standard deviation {errors.std():.1%}, half below {np.median(abs(errors)):.1%}, "
              f"largest {abs(errors).max():.0%}")
    print(f"sunlight, raw against the cities: standard deviation {logs.std():.1%}, mean {logs.mean():+.1%}")
    field = Field(latitude[has], longitude[has], *setting)
    cell_latitude = table.SOUTH_DEG + table.CELL_DEG * cells[:, 0]
    cell_longitude = table.WEST_DEG + table.CELL_DEG * cells[:, 1]
    return np.exp(field.at(cell_latitude, cell_longitude, correction_trend(cell_latitude))[0][:, 0])


def correction_trend(latitude) -> np.ndarray:
    """The table is too bright the more, the farther from the tropics, levelling off at 45°."""
    return np.stack([np.ones(len(latitude)), np.clip(np.abs(latitude), 15.0, 45.0)], axis=1)


def correction_covariance(apart_km) -> np.ndarray:
    return np.exp(-0.5 * (apart_km / CORRECTION_KM) ** 2)


def report_air(latitude, longitude, elevation, air_c) -> None:
    terms = temperature.trend(latitude, elevation)
    for apart in (NEIGHBOURS_KM, FAR_KM):
        errors, sigma = leave_one_out(latitude, longitude, air_c, terms, temperature.covariance,
                                      temperature.NOISE, apart)
        year = errors.mean(axis=1)
        print(f"air, {len(year)} cities, all within {apart:.0f} km left out: year's mean {year.mean():+.2f} K, "
              f"standard deviation {year.std():.2f} K, largest {abs(year).max():.1f} K, months RMS "
              f"{np.sqrt((errors**2).mean()):.2f} K; field sigma that fits {(year / sigma).std():.2f} K")
    near = distance_km(latitude, longitude, latitude, longitude)
    weights = np.where(near > NEIGHBOURS_KM, 1.0 / np.maximum(near, 1.0) ** 2, 0.0)
    level = air_c.mean(axis=1) + 0.005 * elevation
    plain = weights @ level / weights.sum(axis=1) - level
    print(f"air, weights by inverse distance squared and 5 K/km instead: standard deviation {plain.std():.2f} K")
    field = Field(latitude, longitude, air_c, terms, temperature.covariance, temperature.NOISE)
    print("air, change with height by month [K/km]:", " ".join(f"{k:.1f}" for k in field.slope[5]))


if __name__ == "__main__":
    sys.exit(main())
