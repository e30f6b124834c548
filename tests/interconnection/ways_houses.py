"""Houses for the tests of the ways to connect, and the ways found for them."""

from __future__ import annotations

from reportgen.describe.assumptions import complete
from reportgen.describe.models import House
from reportgen.interconnection.result import Way
from reportgen.interconnection.service_load import service_load
from reportgen.interconnection.source_circuit import source_circuit
from reportgen.interconnection.ways import ways_to_connect
from reportgen.sizing import with_inverter_totals
from tests.houses import house

EXAM_DEMAND = {                                     # an exam-training article of 18 July 2016 on the optional method
    "floor_area_ft2": 2800,
    "appliances": [{"name": "range", "rating_va": 14000}, {"name": "water heater", "rating_va": 3000},
                   {"name": "dryer", "rating_va": 5000}, {"name": "dishwasher", "rating_va": 1500}],
    "appliances_complete": True, "electric_heat_va": 15000, "electric_heat_controls": 1, "cooling_va": 6960,
}
SERVICE_WIRE = {"size": "4/0", "metal": "aluminum", "insulation_c": 75, "terminals_c": 75, "current_carrying": 3,
                "hottest_air_c": 30}
PRICES = [{"way": "smaller main breaker", "low": 900, "high": 1500, "source": "letter"},
          {"way": "supply side", "low": 1800, "high": 3200, "source": "letter"},
          {"way": "larger panel", "low": 3200, "high": 5200, "source": "letter"}]


def ways_house(busbar_a: float | None = 200, main_breaker_a: float | None = 200, inverter_a: float | None = 48.0, *,
               edition: int | None = 2020, position: str | None = "far end", array: dict | None = None,
               building: dict | None = None, **electrical) -> House:
    """A completed house with one panel, or with `panels`; further keys stand under `electrical`."""
    facts = {"edition": edition, **electrical}
    if "panels" not in electrical:
        facts |= {"busbar_a": busbar_a, "main_breaker_a": main_breaker_a, "source_position": position}
    more = {"building": building} if building else {}
    array = {"inverter_a": inverter_a, "module_count": 24, "module_w": 400, **(array or {})}
    return complete(house(electrical=facts, array=array, **more))[0]


def ways_of(described: House) -> dict[str, Way]:
    """Every way for this house, by key."""
    described = with_inverter_totals(described)
    return {way.key: way for way in ways_to_connect(described, source_circuit(described), service_load(described))}


def plain(text: str) -> str:
    """The text with ordinary spaces."""
    return text.replace("\u00a0", " ").replace("\u202f", " ")
