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


def spread_of(year: TypicalYear) -> Spread:
    """The parts for this year of weather, and the root of their sum of squares for one year and for the mean of 25."""
    weather = "; ".join(year.sources) or year.name
    parts = (
        SpreadPart("Sunshine of a single year", year.year_to_year_sigma, weather, True),
        SpreadPart("Sunshine as the weather data have it", year.weather_sigma, weather, False),
        SpreadPart("From level ground to the roof's plane", 0.03, TORONTO, False),
        SpreadPart("Modules against their label", 0.03, TORONTO, False),
        SpreadPart("Dirt", 0.02, TORONTO, False),
        SpreadPart("Snow", 0.015, TORONTO, False),
        SpreadPart("Everything else", 0.05, TORONTO, False),
    )
    return Spread(parts, _root(parts, 1), _root(parts, YEARS_OF_MEAN))


def _root(parts: tuple[SpreadPart, ...], years: int) -> float:
    return sqrt(sum(p.sigma ** 2 / (years if p.every_year_anew else 1) for p in parts))


def nine_in_ten(middle: float, sigma: float) -> tuple[float, float]:
    """(P90, P10): what nine years in ten exceed, and what one in ten does. Normal distribution; never below 0."""
    return max(middle * (1.0 - Z_NINE_IN_TEN * sigma), 0.0), middle * (1.0 + Z_NINE_IN_TEN * sigma)
