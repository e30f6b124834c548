"""What the report says of its weather: how sure the sun is, against other sources, and the cold that strings must bear."""

from __future__ import annotations

from reportgen.climate.how_sure import COMPARED
from reportgen.climate.typical_year import TypicalYear
from reportgen.describe.models import House
from reportgen.figures import Figure, show

DESIGN_LOW_SOURCE = "Extreme annual mean minimum dry-bulb temperature: ASHRAE Handbook of Fundamentals; the building office"
NAMED_BY_CODE = "Named for this use by the National Electrical Code, 690.7, Informational Note 1"


def weather_figures(house: House, year: TypicalYear):
    """The figures that the year brings along, and the two that every report has."""
    yield from year.figures
    yield Figure("climate.weather_sigma_percent", "One standard deviation of the sun as the weather data have it",
                 100.0 * year.weather_sigma, "%", None, None, f"{year.name}: {year.sigma_is or 'as its source says'}",
                 year.sources)
    low = house.place.design_low_c
    sources = (DESIGN_LOW_SOURCE, NAMED_BY_CODE) if house.place.in_us else (DESIGN_LOW_SOURCE,)
    yield Figure("climate.design_low_c", "Design low temperature for the voltage of strings", low, "°C", None, None,
                 "the house file" if low is not None else
                 "not in the house file, so what a cold morning does to a string can't be said", sources)


def weather_notes(house: House, year: TypicalYear):
    """Sentences for the reader."""
    yield (f"The sun here is known to {show(100.0 * year.weather_sigma, '%', 1)} (one standard deviation; {year.name}). "
           + COMPARED)
    if house.array.conversion != "string inverter":
        return
    if house.place.design_low_c is None:
        yield ("The highest voltage of a string: cannot say. It rises with the cold and needs the place's design low "
               "temperature, the extreme annual mean minimum. The ASHRAE Handbook of Fundamentals lists "
               "it and the building office has it; a typical year's coldest hour can't stand for it.")
    else:
        yield (f"Strings are not sized here. Whoever designs them takes "
               f"{show(house.place.design_low_c, '°C')} as the design low temperature, from the house file.")
