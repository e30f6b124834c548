"""Houses for the interconnection tests: the plain test house with another panel and another inverter."""

from __future__ import annotations

from reportgen.describe.assumptions import complete
from reportgen.describe.models import House
from tests.houses import house


def panel_house(busbar_a: float | None, main_breaker_a: float | None, inverter_a: float | None = None, *,
                edition: int | None = 2020, position: str | None = "far end", service_v: int | None = 240,
                sources: list[dict] | None = None, country: str = "US", **array) -> House:
    """A completed house described by its panel; new inverters by their current [A] or other keys of the array."""
    electrical = {"busbar_a": busbar_a, "main_breaker_a": main_breaker_a, "edition": edition, "service_v": service_v,
                  "source_position": position, "sources": sources or []}
    money = {} if country == "US" else {"currency": "EUR", "price_per_w": 2.0}
    described = house(electrical=electrical, array={"inverter_a": inverter_a, **array}, place={"country": country},
                      money=money)
    return complete(described)[0]
