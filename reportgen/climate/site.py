"""What must be known of a place before its sun: the height, and the clock without summer time."""

from __future__ import annotations

from datetime import datetime, timedelta
from functools import lru_cache
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

from reportgen.climate.errors import ClimateError
from reportgen.climate.typical_year import MODEL_YEAR


@lru_cache(maxsize=256)
def elevation_of(latitude: float, longitude: float) -> float:
    """Height above sea level [m] from the coarse map that comes with pvlib (steps of 28 m, cells of 1/12°)."""
    from pvlib.location import lookup_altitude
    height = float(lookup_altitude(latitude, longitude))
    return 0.0 if -28.0 <= height < 0.0 else height  # one step below the sea is the map's sea level


@lru_cache(maxsize=256)
def utc_offset_of(latitude: float, longitude: float, time_zone: str | None = None) -> float:
    """Local standard time minus UTC [h], never summer time.

    time_zone: IANA name; found from the place where missing. Raises ClimateError for a name nobody knows.
    """
    name = time_zone or zone_at(latitude, longitude)
    try:
        zone = ZoneInfo(name)
    except (ZoneInfoNotFoundError, ValueError, OSError):
        raise ClimateError(f'the time zone "{name}" is not known. Write an IANA name such as "America/New_York" in '
                           "place.time_zone, or leave it out: it follows from the place.") from None
    # Summer time only ever puts clocks forward, so standard time is the smaller of the two, north or south.
    offsets = [datetime(MODEL_YEAR, month, 1, tzinfo=zone).utcoffset() for month in (1, 7)]
    return min(offsets) / timedelta(hours=1)


@lru_cache(maxsize=256)
def zone_at(latitude: float, longitude: float) -> str:
    """IANA time zone of the place, from an offline map. Raises ClimateError where none is known."""
    from timezonefinder import TimezoneFinder
    with TimezoneFinder() as finder:   # opening takes 10 ms; kept open, its files would be left to the interpreter's end
        name = finder.timezone_at(lat=latitude, lng=longitude)
    if name is None:
        raise ClimateError(f"no time zone is known at {latitude:g}, {longitude:g}. Check the two numbers (north and "
                           "east are positive), or write place.time_zone.")
    return name
