"""Houses for the tests of the service load: a panel, a service and what hangs on it."""

from __future__ import annotations

from reportgen.describe.assumptions import complete
from reportgen.describe.models import House
from reportgen.figures import Figure
from reportgen.interconnection.result import LoadMethod
from reportgen.interconnection.service_load import service_load
from tests.houses import house


def demand_house(demand: dict | None, *, service_a: float | None = None, edition: int | None = 2020, service_v: int = 240,
                 kind: str | None = None, sources: list[dict] | None = None, phases: str | None = None,
                 main_breaker_a: float | None = None, panels: list[dict] | None = None, **array) -> House:
    """A completed house with `demand` under its electrical side; further keys are the array's."""
    electrical = {"edition": edition, "service_v": service_v, "service_a": service_a, "demand": demand, "phases": phases}
    if panels is None:
        electrical |= {"busbar_a": 200, "main_breaker_a": main_breaker_a, "sources": sources or []}
    else:
        electrical |= {"panels": panels}
    return complete(house(electrical=electrical, building={"kind": kind}, array=array))[0]


def method(found: House, key: str) -> LoadMethod:
    """One method of the house's service load."""
    return next(m for m in service_load(found).methods if m.key == key)


def figure(found: House, key: str) -> Figure:
    """One Figure of the house's service load."""
    return next(f for f in service_load(found).figures if f.key == f"interconnection.{key}")


def text_of(parts: str | tuple[str, ...]) -> str:
    """Sentences as one text with plain spaces."""
    return (parts if isinstance(parts, str) else "\n".join(parts)).replace("\u00a0", " ").replace("\u202f", " ")
