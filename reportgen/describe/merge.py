"""A house laid over its batch's defaults; each value keeps the position of the file it came from."""

from __future__ import annotations

from reportgen.describe.yaml_reader import Spot

# Two ways to say one thing: where the house says one, a default for another way is dropped.
INSTEAD_OF = {
    "use": (("annual_kwh", "monthly_kwh", "bills", "meter_file"), ("meter_file", "shape"), ("meter_file", "heating"),
            ("meter_file", "cooling")),
    "array": (("array_kw", "module_count"), ("inverters", "inverter_kw"), ("inverters", "inverter_a"),
              ("inverters", "unit_limit_w"), ("inverters", "unit_output_a"), ("inverter_kw", "unit_limit_w"),
              ("inverter_a", "unit_output_a")),
    "losses": (("dirt_percent", "dirt_buildup"), ("snow_percent", "snowfall")),
    "money": (("installed_price", "price_per_w"),),
}
# (section, key, value that the house gives) -> defaults that make no sense with it
NOT_WITH = {
    ("tariff", "export", "net billing"): ("reset_month", "leftover_price_per_kwh"),
    ("tariff", "export", "one-to-one"): ("export_price_per_kwh",),
    ("weather", "source", "atlas"): ("file",),
}


def merged(house: dict, defaults: dict, where_house: dict, where_defaults: dict) -> tuple[dict, dict[tuple, Spot]]:
    """House over defaults: mappings merge key by key, lists and plain values of the house win. -> (data, where)."""
    where: dict[tuple, Spot] = {}
    data = _over(house, _without_rivals(house, defaults), (), where_house, where_defaults, where)
    return data, where


def _over(top, base, path, where_top, where_base, where):
    if path in where_top or path in where_base:
        where[path] = where_top.get(path) or where_base[path]
    if not (isinstance(top, dict) and isinstance(base, dict)):
        _carry(path, top, where_top, where)
        return top
    out = {}
    for key in [*top, *(k for k in base if k not in top)]:
        below = path + (key,)
        if key not in base:
            _carry(below, top[key], where_top, where)
            out[key] = top[key]
        elif key not in top:
            _carry(below, base[key], where_base, where)
            out[key] = base[key]
        else:
            out[key] = _over(top[key], base[key], below, where_top, where_base, where)
    return out


def _carry(path, value, source, where) -> None:
    """Positions of `path` and of everything below it, from one file."""
    if path in source:
        where[path] = source[path]
    if isinstance(value, dict):
        for key, inner in value.items():
            _carry(path + (key,), inner, source, where)
    elif isinstance(value, list):
        for i, inner in enumerate(value):
            _carry(path + (i,), inner, source, where)


# What a batch says of its own place, and in its own money: it does not hold for a house elsewhere.
OF_THE_PLACE = ("town", "state", "elevation_m", "time_zone", "design_low_c")
IN_ITS_MONEY = ("currency", "installed_price", "price_per_w", "upkeep_per_kw_year", "inverter_replacement", "refit_per_module",
                "state_tax_owed_per_year", "certificate_price_per_mwh", "sales_tax_percent", "sales_tax_exempt",
                "property_tax_percent", "property_tax_added_value", "property_tax_exempt")


def _of_another_place(house: dict, defaults: dict) -> dict[str, set[str]]:
    said, base = house.get("place"), defaults.get("place")
    if not (isinstance(said, dict) and isinstance(base, dict)):
        return {}
    gone: dict[str, set[str]] = {}
    if any(key in said and said[key] != base.get(key) for key in ("latitude", "longitude", "country")):
        gone["place"] = set(OF_THE_PLACE)
    if "country" in said and said["country"] != base.get("country"):
        gone["money"] = set(IN_ITS_MONEY)
    return gone


def _without_rivals(house: dict, defaults: dict) -> dict:
    out = dict(defaults)
    for section, keys in _of_another_place(house, defaults).items():
        if isinstance(out.get(section), dict):
            out[section] = {k: v for k, v in out[section].items() if k not in keys}
    if _of_another_place(house, defaults):
        out.pop("incentives", None)   # a state's, utility's or city's
    defaults = dict(out)
    for section, said in house.items():
        base = defaults.get(section)
        if not (isinstance(said, dict) and isinstance(base, dict)):
            continue
        gone = {other for rivals in INSTEAD_OF.get(section, ()) for key in rivals if said.get(key) is not None
                for other in rivals if other != key}
        for (a_section, key, value), others in NOT_WITH.items():
            if a_section == section and said.get(key) == value:
                gone.update(others)
        out[section] = {k: v for k, v in base.items() if k not in gone or k in said}
    return out


def without_nothing(data):
    """A key with nothing after it says nothing: a section whose lines are all comments is not there."""
    if isinstance(data, dict):
        return {k: without_nothing(v) for k, v in data.items() if v is not None}
    if isinstance(data, list):
        return [without_nothing(v) for v in data]
    return data
