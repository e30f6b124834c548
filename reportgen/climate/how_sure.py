"""How sure each source of sun is before anything was calibrated: one standard deviation of a year, and where it is from."""

from __future__ import annotations

TORONTO = '"Estimating the uncertainty in long-term photovoltaic yield predictions", Solar Energy, online 31 May 2011'

# Embedded atlas: against 58 weather files the sun on a plane of 25° was 0.8 % too high with a scatter of 8.3 %.
ATLAS_SIGMA = 0.085
# Where cells around the place are missing or differ: cities left out there were missed 1.3 times as far.
ATLAS_UNEVEN_SIGMA = 0.11
ATLAS_ISLAND_SIGMA = 0.12     # one city's sunshine stands for an island; common practice, no source
ATLAS_SIGMA_IS = "against 58 weather files that were not used to make it, the sun on a plane of 25° scatters by 8.3 %"

FILE_SIGMA = 0.05
FILE_SIGMA_IS = f"long-term sunlight on level ground, 5 %: {TORONTO}"

SATELLITE_SIGMA = 0.06
SATELLITE_SIGMA_IS = ("5 % as for any long-term sunlight, and 3 % because a cell of 1° stands for the place "
                      "(common practice, no source): √(5² + 3²) = 6 %")

YEAR_TO_YEAR_SIGMA = 0.039
YEAR_TO_YEAR_IS = f"year to year 3.9 %: {TORONTO}"

COMPARED = (f"One standard deviation of the year's sun is {100 * ATLAS_SIGMA:g} % from the embedded atlas, "
            f"{100 * SATELLITE_SIGMA:g} % from satellite hours and {100 * FILE_SIGMA:g} % from a weather file for the "
            "place. The metered year of an array nearby narrows each of them.")
