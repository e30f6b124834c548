"""What is left of the first year's output in later years."""

from __future__ import annotations

SOURCE = ("Photovoltaic Degradation Rates, an Analytical Review, NREL/JA-5200-51664 "
          "(median 0.5 % a year of nearly 2,000 rates)")


def degradation_factor(year_number: int, percent_per_year: float) -> float:
    """Output of year `year_number` against year 1, which is 1.0 itself; the loss compounds.

    Year 25 at 0.5 % a year has aged 24 times: 0.995 ** 24 = 0.887. After 25 full years, at the start of year 26, it is
    0.995 ** 25 = 0.882. Errors: ValueError for a year below 1.
    """
    if year_number < 1:
        raise ValueError(f"years count from 1, found {year_number}")
    return (1.0 - percent_per_year / 100.0) ** (year_number - 1)
