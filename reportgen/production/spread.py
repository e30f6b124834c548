"""How sure the year's output is: parts of the uncertainty, their sum, and nine-in-ten ends."""

from __future__ import annotations

from math import sqrt

from reportgen.climate.typical_year import TypicalYear
from reportgen.production.result import Spread, SpreadPart

Z_NINE_IN_TEN = 1.2816        # of the normal distribution: nine tenths lie above the mean minus z sigma
YEARS_OF_MEAN = 25
RANGE_IS = "nine chances in ten that a year gives more than the low end, one in ten that it gives more than the high end"
MEAN_RANGE_IS = ("nine chances in ten that the mean of 25 years is more than the low end, one in ten that it is more than "
                 "the high end; ageing is not in it")
TORONTO = ('"Estimating the uncertainty in long-term photovoltaic yield predictions", Solar Energy, online 31 May '
           "2011, abstract; a 10 MW array in Toronto")
NO_SOURCE = "common practice, no source"
OTHER_SIGMA = 0.05            # of the article: all that has no part of its own; holds shade and faults of an open array
SHADE_LEAST_SIGMA = 0.01      # a roof that seems open is not known to be
DOWNTIME_SIGMA = 0.015
SNOW_BELOW_C = 5.0            # mean air of the coldest month above which no snow is counted on


def spread_of(year: TypicalYear, shade_parts: tuple[SpreadPart, ...] = ()) -> Spread:
    """The parts for this year of weather, and the root of their sum of squares for one year and for the mean of 25.

    shade_parts: what shade adds (`shade.told.spread_parts`); a roof without any still has the least.
    """
    weather = "; ".join(year.sources) or year.name
    rest = sqrt(OTHER_SIGMA ** 2 - SHADE_LEAST_SIGMA ** 2 - DOWNTIME_SIGMA ** 2)
    parts = [
        SpreadPart("Sunshine of a single year", year.year_to_year_sigma, year.year_to_year_is or weather, True),
        SpreadPart(f"Sunshine as the weather data have it ({year.name})", year.weather_sigma, year.sigma_is or weather,
                   False),
        SpreadPart("From level ground to the roof's plane", 0.03, TORONTO, False),
        SpreadPart("Modules against their label", 0.03, TORONTO, False),
        SpreadPart("Dirt", 0.02, TORONTO, False),
    ]
    if _coldest_month_c(year) < SNOW_BELOW_C:
        parts.append(SpreadPart("Snow", 0.015, TORONTO, False))
    if not any(part.sigma >= SHADE_LEAST_SIGMA for part in shade_parts):
        parts.append(SpreadPart("Shade that was not seen", SHADE_LEAST_SIGMA, NO_SOURCE, False))
    parts += [
        *shade_parts,
        SpreadPart("Hours out of service", DOWNTIME_SIGMA, NO_SOURCE, False),
        SpreadPart("Everything else", rest,
                   f"{TORONTO}: 5 % for all the rest, less what an open array has of the two above", False),
    ]
    return Spread(tuple(parts), _root(parts, 1), _root(parts, YEARS_OF_MEAN))


def _coldest_month_c(year: TypicalYear) -> float:
    """Mean air of the coldest twelfth of the year [°C]."""
    return float(year.air_c.reshape(12, -1).mean(axis=1).min())


def _root(parts, years: int) -> float:
    return sqrt(sum(p.sigma ** 2 / (years if p.every_year_anew else 1) for p in parts))


def nine_in_ten(middle: float, sigma: float) -> tuple[float, float]:
    """(P90, P10): what nine years in ten exceed, and what one in ten does. Normal distribution; never below 0."""
    return max(middle * (1.0 - Z_NINE_IN_TEN * sigma), 0.0), middle * (1.0 + Z_NINE_IN_TEN * sigma)
