"""Years of weather for tests of the production chain."""

from __future__ import annotations

from functools import cache
from pathlib import Path

import numpy as np
import pvlib

from reportgen.climate.sun import sun_path
from reportgen.climate.typical_year import TypicalYear
from reportgen.describe.assumptions import complete
from reportgen.describe.models import House
from tests.houses import house

OPEN_FACE = {"name": "south", "facing": "south", "slope_deg": 30, "shade_percent": 0, "mounting": "close roof"}


@cache
def greensboro() -> TypicalYear:
    """The TMY3 file of Greensboro NC (public data set of NREL) that pvlib carries.

    Wind is measured 10 m up; at the height of a low roof it is taken as 0.7 of that (common practice, no source).
    """
    path = Path(pvlib.__file__).parent / "data" / "723170TYA.CSV"
    data, place = pvlib.iotools.read_tmy3(path, coerce_year=2023, map_variables=True)
    columns = (data[name].to_numpy(dtype=float) for name in ("ghi", "dni", "dhi", "temp_air"))
    wind = data["wind_speed"].to_numpy(dtype=float) * 0.7
    return TypicalYear(place["latitude"], place["longitude"], place["altitude"], place["TZ"], *columns, wind,
                       "TMY3, Greensboro", ("TMY3, NREL",), 0.05, 0.039, 0.5)


@cache
def clear_year(latitude: float) -> TypicalYear:
    """Cloudless everywhere on Greenwich's meridian: a fixed share of the sun outside the air, 15 °C, 2 m/s."""
    sun = sun_path(latitude, 0.0, 0.0, 0.0)
    up = np.maximum(np.cos(np.radians(sun.apparent_zenith_deg)), 0.0)
    dni, dhi = 0.6 * sun.extraterrestrial_w_m2 * (up > 0.05), 100.0 * up
    flat = np.ones_like(up)
    return TypicalYear(latitude, 0.0, 0.0, 0.0, dni * up + dhi, dni, dhi, 15.0 * flat, 2.0 * flat, "clear", ("none",),
                       0.05, 0.03, 0.5)


def filled(**changed) -> House:
    """A house with a written array (20 modules of 400 W, 7.6 kW), everything else filled from the table."""
    changed.setdefault("roof", [OPEN_FACE])
    array = {"module_count": 20, "inverter_kw": 7.6} | changed.pop("array", {})
    if "array_kw" in array:
        array.pop("module_count")
    return complete(house(array=array, **changed))[0]


def face(**changed) -> dict:
    return OPEN_FACE | changed
