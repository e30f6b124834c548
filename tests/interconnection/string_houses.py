"""Houses for the string tests: a data sheet in full, an inverter with its DC side, and modules on named faces."""

from __future__ import annotations

from reportgen.describe.assumptions import complete
from reportgen.describe.models import House
from tests.houses import house

# Voc 50.8 V and −0.26 %/°C, Vmp 42.0 V and −0.36 %/°C: a student's exercise sheet,
# public document 504328218. The rest is invented.
MODULE = {"module_w": 400, "module_voc_v": 50.8, "voc_coefficient_percent_per_c": -0.26, "module_vmp_v": 42.0,
          "vmp_coefficient_percent_per_c": -0.36, "module_isc_a": 10.0, "module_imp_a": 9.52, "module_max_fuse_a": 20,
          "module_max_system_v": 1000}
INPUT = {"max_v": 600, "min_v": 120, "trackers": 2, "strings_per_tracker": 1, "max_current_a": 30,
         "max_short_circuit_a": 40}


def face(name: str, module_count: int | None, facing: str = "south", slope: str = "6:12") -> dict:
    return {"name": name, "facing": facing, "slope": slope, "module_count": module_count, "shade_percent": 3}


def string_house(*faces: dict, low_c: float | None = -12, high_c: float | None = 42, edition: int | None = 2020,
                 kind: str | None = None, inputs: dict | None = None, country: str = "US", **array) -> House:
    """A completed house. `inputs`: changed keys of the DC side; {"max_v": None} leaves the DC side out."""
    dc_side = {**INPUT, **(inputs or {})}
    said = {**MODULE, "inverter_kw": 5.0, **array}
    if said.get("conversion") != "module-level" and "inverters" not in said and dc_side["max_v"] is not None:
        said["inverter_input"] = dc_side
    if "inverters" in said:
        del said["inverter_kw"]
    money = {} if country == "US" else {"currency": "EUR", "price_per_w": 2.0}
    described = house(roof=list(faces) or [face("back", 14)], electrical={"edition": edition}, building={"kind": kind},
                      array=said,
                      place={"country": country, "design_low_c": low_c, "design_high_c": high_c}, money=money)
    return complete(described)[0]
