"""Which breaker a wire may have, and which wire is the smallest for a current and its breaker."""

from __future__ import annotations

from reportgen.describe.conductor import Conductor
from reportgen.interconnection.ampacity import terminal_column_c
from reportgen.interconnection.code_tables import TOLERANCE_A, factor, next_standard_a
from reportgen.interconnection.wire_tables import sizes_of, small_conductor_cap_a, table_ampacity_a


def allowed_device_a(ampacity_a: float, wire: Conductor, edition: int) -> float:
    """Largest breaker on a wire of known size and metal [A]: its ampacity or the next standard rating, thin wires capped.

    Source: NEC 240.4(B) and (D).
    """
    if ampacity_a <= 0:
        return 0.0
    above = next_standard_a(ampacity_a, edition)
    allowed = above if above is not None and above <= factor("next_rating_up_to_a") else ampacity_a
    cap = small_conductor_cap_a(wire.metal, wire.size)
    return allowed if cap is None else min(allowed, cap)


def smallest_size(current_a: float, device_a: float | None, edition: int, metal: str = "copper",
                  terminals_c: int | None = None) -> Conductor | None:
    """Smallest wire whose terminals and breaker pass, before any factor for heat or number; None above the table."""
    for size in sizes_of(metal):
        wire = Conductor(size=size, metal=metal, terminals_c=terminals_c)
        ends_a = table_ampacity_a(metal, size, terminal_column_c(wire, device_a))
        if (ends_a >= factor("continuous_current") * current_a - TOLERANCE_A
                and (device_a is None or device_a <= allowed_device_a(ends_a, wire, edition) + TOLERANCE_A)):
            return wire
    return None
