"""The year of sun and air for one house: from the embedded atlas, a weather file beside the house file, or satellite hours.

`read_year` is the one way in: it reads, and sets the level by what is known nearby.
"""

from __future__ import annotations

from pathlib import Path

from reportgen.climate.errors import ClimateError
from reportgen.climate.site import elevation_of, utc_offset_of, zone_at
from reportgen.climate.typical_year import TypicalYear
from reportgen.describe.models import House
from reportgen.describe.places_known import countries_of_zone


def located(house: House) -> House:
    """The house with its height and time zone looked up on offline maps where the file does not say them.

    Raises ClimateError where no time zone is known at the place.
    """
    place = house.place
    _refuse_other_country(place.latitude, place.longitude, place.country)
    if place.elevation_m is None:
        house = house.replaced("place.elevation_m", elevation_of(place.latitude, place.longitude))
    if place.time_zone is None:
        house = house.replaced("place.time_zone", zone_at(place.latitude, place.longitude))
    return house


def _refuse_other_country(latitude: float, longitude: float, country: str) -> None:
    """A lost minus sign puts a house on another continent: the clock of the place must be one of the country's."""
    zone = zone_at(latitude, longitude)
    here = countries_of_zone(zone)
    if here and country not in here:
        raise ClimateError(f"the clock at {latitude}, {longitude} is {zone}, which is not of the country \"{country}\". Check both "
                           "numbers (north and east are positive; all of the United States has a longitude below zero) and "
                           "the country.")


def read_year(house: House, folder: Path) -> TypicalYear:
    """The typical year for `house`, calibrated where the house file knows of an array or a station nearby.

    folder: the batch folder, in which a weather file lies. Only source: satellite may use the network, and only where
    the hours are not kept yet. Raises ClimateError (WeatherFileError for a file) with a sentence for the reader.
    """
    year = _as_source_has_it(house, folder)
    if not house.weather.nearby_arrays and house.weather.annual_horizontal_kwh_m2 is None:
        return year
    from reportgen.climate.calibration import calibrated
    return calibrated(year, house)


def _as_source_has_it(house: House, folder: Path) -> TypicalYear:
    place = house.place
    if house.weather.source == "file":
        from reportgen.climate.weather_file import file_year
        return file_year(Path(folder) / house.weather.file, place.latitude, place.longitude)
    if house.weather.source == "satellite":
        from reportgen.climate.satellite import default_years, satellite_year
        height = elevation_of(place.latitude, place.longitude) if place.elevation_m is None else place.elevation_m
        offset = utc_offset_of(place.latitude, place.longitude, place.time_zone)
        years = house.weather.years or default_years(house.report_day.year)
        return satellite_year(place.latitude, place.longitude, height, offset, tuple(years))
    from reportgen.climate.atlas import atlas_year
    return atlas_year(place.latitude, place.longitude, place.elevation_m, place.time_zone)
