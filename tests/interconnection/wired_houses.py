"""Houses for the wire tests: a 200 A panel with described wires, and its checks by key."""

from __future__ import annotations

from reportgen.describe.assumptions import complete
from reportgen.describe.models import House
from reportgen.interconnection.conductors import conductor_checks
from reportgen.interconnection.result import Check
from reportgen.interconnection.source_circuit import source_circuit
from reportgen.sizing import with_inverter_totals
from tests.houses import house


def wired(run: dict | None, *, edition: int | None = 2020, electrical: dict | None = None, service_v: int = 240,
          panels: list[dict] | None = None, **array) -> House:
    """A completed house with the wires from its inverter, and other keys of the array; `panels` instead of its one panel."""
    facts = {"panels": panels} if panels else {"busbar_a": 200, "main_breaker_a": 200, "source_position": "far end"}
    described = house(electrical={**facts, "edition": edition, "service_v": service_v, "run": run, **(electrical or {})}, array=array)
    return with_inverter_totals(complete(described)[0])


def all_checks(described: House) -> tuple[Check, ...]:
    return conductor_checks(described, source_circuit(described))


def checks(described: House, where: str | None = None) -> dict[str, Check]:
    """The checks of one stretch by key; without `where`, those of the run and of whatever is no feeder."""
    return {c.key: c for c in all_checks(described) if (c.where == where if where else not c.where.startswith("feeder"))}
