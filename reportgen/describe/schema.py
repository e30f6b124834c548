"""The JSON Schema of a house file, for completion in editors. ``python -m reportgen.describe.schema`` writes it anew.

It describes the file as written, before batch.yaml is laid under it: so nothing is required here, while `check`
asks for what is still missing after merging.
"""

from __future__ import annotations

import copy
import json
from pathlib import Path

from reportgen.describe import expected

FILE = Path(__file__).with_name("house.schema.json")
MERGED = ("Place", "Use", "Tariff", "Array", "Losses", "Electrical", "Building", "Permission", "Payment", "Paying", "Weather")


def house_schema() -> dict:
    """Draft 2020-12 schema of a house file; `tariff` may be a name or a section, a section may stand empty."""
    found = copy.deepcopy(expected.schema())
    needed = found.pop("required")
    house = _as_written(found)
    defs = {name: _as_written(node) for name, node in house.pop("$defs").items()}
    for name, node in defs.items():
        if name in MERGED and (required := node.pop("required", None)):
            node["description"] = f"Needed here or in batch.yaml: {', '.join(required)}."
    properties = house["properties"]
    for key, node in properties.items():
        if "$ref" in node:
            properties[key] = {"anyOf": [{"$ref": node["$ref"]}, {"type": "null"}]}
            if "description" in node:
                properties[key]["description"] = node["description"]
    properties["tariff"]["anyOf"].insert(0, {"type": "string", "minLength": 1,
                                             "description": "Name of a file in tariffs/, without .yaml."})
    plans = next(kind for kind in properties["plans_with_solar"]["anyOf"] if "items" in kind)
    plans["items"] = {"anyOf": [properties["tariff"]["anyOf"][0], plans["items"]]}
    for section, key in (("RoofFace", "shade_percent"), ("Losses", "dirt_percent"), ("Losses", "snow_percent")):
        months = defs[section]["properties"][key]["anyOf"]
        months.insert(0, months[0]["items"])
    humidity = defs["Snowfall"]["properties"]["relative_humidity_percent"]
    twelve = {k: humidity.pop(k) for k in ("type", "items", "minItems", "maxItems")}
    humidity["anyOf"] = [twelve["items"], twelve]
    return {"$schema": "https://json-schema.org/draft/2020-12/schema", "title": "House",
            "description": "One house. What is left out here is taken from defaults in batch.yaml, else assumed openly; "
                           f"needed in one of the two: {', '.join(needed)}.",
            **house, "$defs": defs}


def _as_written(node: dict) -> dict:
    """Without machine-made titles, and without defaults that say nothing."""
    out = {k: v for k, v in node.items() if k != "title"}
    out["properties"] = {key: {k: v for k, v in value.items() if k != "title" and (k != "default" or isinstance(v, str))}
                         for key, value in node.get("properties", {}).items()}
    return out


def text() -> str:
    return json.dumps(house_schema(), indent=1, ensure_ascii=False, sort_keys=False) + "\n"


if __name__ == "__main__":
    FILE.write_text(text(), encoding="utf-8")
