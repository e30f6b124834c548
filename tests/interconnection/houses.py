"""Houses for the interconnection tests: the plain test house with another panel and another inverter."""

from __future__ import annotations

from reportgen.describe.assumptions import complete
from reportgen.describe.models import House
from tests.houses import house

ELECTRICAL = ("phases", "service_a", "seen", "fed_from", "load_breakers_a", "free_two_pole_spaces", "feed_through",
              "feed_through_breaker_a", "array_on_feed_through", "feed_through_wires", "way", "prices", "main", "protected_by_a",
              "lower_busbar_a", "lower_breaker_a", "demand", "utility", "meter_socket_a")


def panel_house(busbar_a: float | None, main_breaker_a: float | None, inverter_a: float | None = None, *,
                edition: int | None = 2020, position: str | None = "far end", service_v: int | None = 240,
                sources: list[dict] | None = None, country: str = "US", kind: str | None = None, **more) -> House:
    """A completed house described by its panel; new inverters by their current [A] or other keys of the array.

    Further keys of `electrical` stand beside those of the array.
    """
    electrical = {"busbar_a": busbar_a, "main_breaker_a": main_breaker_a, "edition": edition, "service_v": service_v,
                  "source_position": position, "sources": sources or [],
                  **{key: value for key, value in more.items() if key in ELECTRICAL}}
    array = {key: value for key, value in more.items() if key not in ELECTRICAL}
    money = {} if country == "US" else {"currency": "EUR", "price_per_w": 2.0}
    described = house(electrical=electrical, array={"inverter_a": inverter_a, **array}, place={"country": country},
                      money=money, building={"kind": kind})
    return complete(described)[0]


WIRE = {"size": "3", "metal": "copper", "insulation_c": 75, "terminals_c": 75, "current_carrying": 3, "hottest_air_c": 30,
        "length_ft": 60}   # 100 A at 75 °C (NEC Table 310.16)


def chain_house(*panels: dict, inverter_a: float | None = 16.0, edition: int = 2020, **array) -> House:
    """A completed house with several panels, the one that takes the array first. A position of None stays unknown."""
    made = complete(house(electrical={"edition": edition, "panels": list(panels)}, array={"inverter_a": inverter_a, **array}))[0]
    for index, panel in enumerate(panels):
        if panel.get("source_position") is None:
            made = made.replaced(f"electrical.panels.{index}.source_position", None)
    return made


def subpanel(busbar_a: float = 100, feeder_breaker_a: float | None = 100, position: str | None = "far end", feeder: dict | None = None,
             **more) -> dict:
    """A main-lug subpanel on a feeder of 3 AWG copper."""
    return {"name": "garage subpanel", "busbar_a": busbar_a, "main": "lugs", "source_position": position,
            "feeder": {**WIRE, "breaker_a": feeder_breaker_a, **(feeder or {})}, **more}


def main_panel(busbar_a: float | None = 200, main_breaker_a: float | None = 200, position: str | None = "far end", **more) -> dict:
    """The panel nearest the meter; `position` is that of the feeder's breaker."""
    return {"name": "main panel", "busbar_a": busbar_a, "main_breaker_a": main_breaker_a, "source_position": position, **more}
