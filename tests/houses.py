"""Houses for tests: a plain invented one, and the same with some facts changed."""

from __future__ import annotations

from reportgen.describe.models import House

PLAIN = {
    "name": "A test house",
    "report_day": "2026-11-20",
    "place": {"latitude": 36.1, "longitude": -79.8, "country": "US", "elevation_m": 250, "time_zone": "America/New_York"},
    "roof": [{"name": "back", "facing": "south", "slope": "6:12", "shade_percent": 3}],
    "use": {"annual_kwh": 9100},
    "tariff": {"price_per_kwh": 0.15, "fixed_per_month": 12, "export": "one-to-one"},
}


def house(**changed) -> House:
    """PLAIN with whole sections replaced or, where both are mappings, merged."""
    data = dict(PLAIN)
    for key, value in changed.items():
        data[key] = {**data[key], **value} if isinstance(value, dict) and isinstance(data.get(key), dict) else value
    return House.model_validate(data)
