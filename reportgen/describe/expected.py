"""What the models expect at a place in the house, as words; read from their JSON Schema, so that it can't drift."""

from __future__ import annotations

from functools import cache

from reportgen.describe.models import House
from reportgen.describe.tariff_days import HOURS_PATTERN, MONTH_DAY_PATTERN

# The end of a key -> the unit in words; the first that fits is used.
UNITS = (
    ("_percent_per_c", "percent per °C"), ("_percent_per_year", "percent a year"), ("_percent", "percent"),
    ("co2_per_kwh", "grams of CO2 per kWh"), ("per_kwh", "money per kWh"), ("per_mwh", "money per MWh"), ("added_value", "money"), ("cap", "money"), ("amount", "money"), ("carry_years", "years"), ("percent", "percent"), ("price_per_w", "money per watt"), ("price_per_kw", "money per kW"), ("per_kw_year", "money per kW and year"),
    ("_kwh_m2", "kWh/m²"), ("_per_dry_day", "percent a day"), ("_per_month", "money a month"), ("kwh_per_year", "kWh a year"), ("_per_year", "money a year"), ("kwh", "kWh"),
    ("_kw", "kW"), ("_deg", "degrees"), ("_mm", "millimetres"), ("_cm", "centimetres"), ("_in", "inches"), ("_days", "days"),
    ("_kg", "kilograms"), ("_lb_per_ft", "pounds a foot"), ("_kg_per_m", "kilograms a metre"), ("_ft2", "square feet"),
    ("_m2", "square metres"),
    ("latitude", "degrees"), ("horizon", "degrees"), ("longitude", "degrees"), ("_ft", "feet"), ("_m", "metres"), ("_a", "amperes"), ("_v", "volts"),
    ("_ka", "kiloamperes"), ("_va", "volt-amperes"), ("low", "money"), ("high", "money"),
    ("_w", "watts"), ("_c", "°C"), ("years_left", "years"), ("installed_price", "money"), ("inverter_replacement", "money"), ("per_module", "money"),
    ("inverter_years", "years"), ("price", "money"), ("per_month", "money a month"), ("months", "months"), ("years", "years"),
    ("sale_year", "years"), ("hours", "hours"), ("expected_lump_sum", "money"), ("payment", "money"), ("principal", "money"),
    ("closing_cost", "money"), ("home_value_gain", "money"), ("fee", "money"), ("up_front", "money"),
    ("price_financed", "money"), ("savings_first_year", "money"), ("savings_total", "money"), ("credit_assumed", "money"),
)
PATTERNS = {
    MONTH_DAY_PATTERN: 'the month and the day, such as "June 1",',
    HOURS_PATTERN: 'whole hours on the clock of 24 hours, from the first to the one at which it ends, such as "16-21",',
    "^[A-Z]{2}$": 'a code of two capital letters in quotes, such as "US",',
    "^[A-Z]{3}$": 'a code of three capital letters, such as EUR,',
    r"^[A-Za-z0-9_-][A-Za-z0-9_. -]{0,79}\.(jpg|jpeg|png|JPG|JPEG|PNG)$": "the name of a JPEG or PNG file without a folder, such as label.jpg,",
    r"^[A-Za-z0-9_-][A-Za-z0-9_. -]{0,79}\.(xml|csv|txt|XML|CSV|TXT)$": "the name of an XML or CSV file without a folder, such as readings.xml,",
    r"^\d+(\.\d+)?:12$": 'a rise in 12 in quotes, such as "6:12",',
}
# How each needed key is written; under its section's name too where it is written otherwise there.
EXAMPLES = {
    "name": 'name: "The house on the hill"', "report_day": "report_day: 2026-11-25",
    "place": 'place: with latitude, longitude and country below it',
    "latitude": "latitude: 41.7", "longitude": "longitude: -86.2", "country": 'country: "US"',
    "roof": "roof: with one entry below it, - facing: south and slope_deg: 25",
    "use": "use: with annual_kwh: 9000 below it",
    "tariff": 'tariff: "name-of-file", or price_per_kwh, fixed_per_month and export below it',
    "price_per_kwh": "price_per_kwh: 0.16", "fixed_per_month": "fixed_per_month: 12", "export": "export: one-to-one",
    "begins": "begins: 2026-01-14", "ends": "ends: 2026-02-12", "changes.begins": "begins: 2027-04-01", "kwh": "kwh: 820", "what": "what: electric car",
    "kwh_per_year": "kwh_per_year: 2600",
    "power_kw": "power_kw: 6.2", "slope_deg": "slope_deg: 25", "year_kwh": "year_kwh: 7900", "year": "year: 2024",
    "breaker_a": "breaker_a: 20",
    "kind": "kind: chimney", "corner": "corner: ridge left", "apply": "apply: true",
    "limit_kw": "limit_kw: 5", "source": 'source: "the airport station, 1991 to 2020"',
    "rating_va": "rating_va: 4500", "depth_in": "depth_in: 40", "width_in": "width_in: 36", "height_in": "height_in: 84",
    "way": "way: larger panel", "low": "low: 1200", "high": "high: 2500", "max_v": "max_v: 600", "min_v": "min_v: 120",
    "energy": "energy: with one entry below it for each charge per kWh",
    "export_rule": "export_rule: with rule: one-to-one, net billing, buy-all sell-all or none below it",
    "rule": "rule: one-to-one", "seasons.begins": "begins: June 1", "seasons.ends": "ends: September 30", "names": 'names: ["Labor Day"]',
    "hours": 'hours: ["16-21"]', "price": "price: 12", "season": "season: summer", "price_per_kw": "price_per_kw: 3.4",
    "rating": "rating: DC", "seasons.name": "name: summer", "windows.name": "name: on-peak",
    "file": "file: label.jpg", "shows": "shows: panel label",
    "snow_days": "snow_days: with twelve numbers, January first",
    "rainy_days": "rainy_days: with twelve numbers, January first",
    "expenses": "expenses: with one entry below it, - item: permit and price: 400", "item": "item: permit",
    "rate_percent": "rate_percent: 6.5", "months": "months: 240", "per_month": "per_month: 120", "years": "years: 20",
    "price_per_w": "price_per_w: 2.8", "buy_out.year": "year: 20",
    "seller": 'seller: "offer A"', "credit_per_kwh": "credit_per_kwh: 0.11",
    "incentives.name": 'name: "city rebate"', "incentives.kind": "kind: rebate", "incentives.source": 'source: "the city\'s page on rebates"',
    "read_on": "read_on: 2026-11-20",
    "relative_humidity_percent": "relative_humidity_percent: 70", "percent_per_dry_day": "percent_per_dry_day: 0.1",
}


# Twelve months, for which one number may stand.
ONE_OR_TWELVE = ("shade_percent", "dirt_percent", "snow_percent", "relative_humidity_percent")


@cache
def schema() -> dict:
    return House.model_json_schema()


def _plain(node: dict) -> dict:
    """References followed, and null left out."""
    while True:
        if "$ref" in node:
            node = schema()["$defs"][node["$ref"].rpartition("/")[2]] | {k: v for k, v in node.items() if k != "$ref"}
        elif "anyOf" in node:
            first = next(n for n in node["anyOf"] if n.get("type") != "null")
            node = first | {k: v for k, v in node.items() if k != "anyOf"}
        else:
            return node


def node_at(path: tuple) -> dict | None:
    """The schema of the value at ('roof', 0, 'slope_deg'); None where there is no such key."""
    node = _plain(schema())
    for key in path:
        child = node.get("items") if isinstance(key, int) else node.get("properties", {}).get(key)
        if child is None:
            return None
        node = _plain(child)
    return node


def keys_of(path: tuple) -> tuple[str, ...]:
    """The keys that may stand in the section at `path`."""
    return tuple((node_at(path) or {}).get("properties", ()))


def sections_with(key: str) -> list[str]:
    """Where in the house this key belongs: ["electrical"], ["top level"], ..."""
    found = ["the top level"] if key in keys_of(()) else []
    for section in keys_of(()):
        node = node_at((section,))
        inner = _plain(node["items"]) if node.get("type") == "array" else node
        if key in inner.get("properties", {}):
            found.append(section)
    return found


def example_of(path: tuple) -> str:
    """How the needed key at this path is written."""
    section = next((key for key in reversed(path[:-1]) if isinstance(key, str)), "")
    return EXAMPLES.get(f"{section}.{path[-1]}") or EXAMPLES[path[-1]]


def choices_of(node: dict) -> list | None:
    return node.get("enum") or ([node["const"]] if "const" in node else None)


def unit_of(key: str) -> str:
    return next((unit for end, unit in UNITS if key.endswith(end)), "")


def expected_at(path: tuple) -> str:
    """'a number of degrees from 0 to 90', 'one of 240, 208', 'two capital letters in quotes, such as "US"'."""
    node = node_at(path)
    if node is None:
        return "another value"
    key = next((k for k in reversed(path) if isinstance(k, str)), "")
    if choices := choices_of(node):
        return ("one of " if len(choices) > 1 else "") + ", ".join(str(c) for c in choices)
    kind = node.get("type")
    if key == "edition":
        return "an edition of the Code such as 2017, 2020 or 2023"
    if kind == "boolean":
        return "true or false"
    if kind in ("number", "integer"):
        return _number(node, unit_of(key), whole=kind == "integer")
    if kind == "array":
        if node.get("minItems") == node.get("maxItems") == 24:
            return f"a row of 24 numbers ({unit_of(key)}), one for each hour of the day,"
        if node.get("minItems") == node.get("maxItems") == 12:
            if _plain(node["items"]).get("type") == "array":
                return "twelve rows of 24 numbers, January first,"
            also = "one number or " if key in ONE_OR_TWELVE else ""
            each = _number(_plain(node["items"]), unit_of(key), whole=False).removeprefix("a number").rstrip(",")
            return f"{also}a list of twelve numbers{each}, January first,"
        return 'a list, each entry starting with "- ",'
    if kind == "object":
        names = list(node.get("properties", {}))
        needed = node.get("required") or names[:3]
        return f"a section with keys such as {', '.join(needed[:3])} below it"
    if node.get("format") == "date":
        return "a day written year-month-day, such as 2026-11-25,"
    if "pattern" in node:
        return PATTERNS[node["pattern"]]
    return f"a text of 1 to {node['maxLength']} characters" if "maxLength" in node else "a text"


def _number(node: dict, unit: str, whole: bool) -> str:
    low, above = node.get("minimum"), node.get("exclusiveMinimum")
    high, below = node.get("maximum"), node.get("exclusiveMaximum")
    noun = "a whole number" if whole else "a number"
    noun += f" of {unit}" if unit and not unit.startswith(("percent", "money")) else f" ({unit})" if unit else ""
    if low is not None and high is not None:
        return f"{noun} from {_short(low)} to {_short(high)}"
    lower = f"at least {_short(low)}" if low is not None else f"above {_short(above)}" if above is not None else ""
    upper = f"at most {_short(high)}" if high is not None else f"below {_short(below)}" if below is not None else ""
    if lower and upper:
        return f"{noun}, {lower} and {upper},"
    return f"{noun}, {lower or upper}," if lower or upper else noun


def _short(value: float) -> str:
    return f"{value:,.10g}" if value != int(value) else f"{int(value):,}"
