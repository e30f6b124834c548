"""The equipment ground: by the breaker, and in proportion where the wires are thicker than they had to be."""

from __future__ import annotations

from dataclasses import dataclass

from reportgen.describe.conductor import SIZES
from reportgen.interconnection.ampacity import corrected_ampacity, terminal_ampacity
from reportgen.interconnection.code_tables import TOLERANCE_A, factor
from reportgen.interconnection.wire_size import allowed_device_a
from reportgen.interconnection.wire_stretches import Stretch
from reportgen.interconnection.wire_tables import circular_mils, equipment_ground, sizes_of


@dataclass(frozen=True)
class Passing:
    """The smallest size of the wires' own metal that passes; `in_full` False: by terminals and breaker alone."""

    size: str
    in_full: bool


def smallest_passing(s: Stretch, edition: int) -> Passing | None:
    """Smallest size with which these wires pass at the terminals, through heat and beside others, and behind their breaker.

    Heat and number of wires count only where the house file says enough of them. None without metal or current, or above
    the table.
    """
    if s.wire.metal is None or s.current_a is None:
        return None
    least = factor("continuous_current") * s.current_a
    for size in sizes_of(s.wire.metal):
        wire = s.wire.model_copy(update={"size": size})
        ends, way = terminal_ampacity(wire, s.device_a), corrected_ampacity(wire, edition)
        if ends.a is None or ends.a < least - TOLERANCE_A or way.a is not None and way.a < s.current_a - TOLERANCE_A:
            continue
        lower_a = ends.a if way.a is None else min(ends.a, way.a)
        if s.device_a is None or s.device_a <= allowed_device_a(lower_a, wire, edition) + TOLERANCE_A:
            return Passing(size, way.a is not None)
    return None


@dataclass(frozen=True)
class Upsized:
    """The ground in proportion to wires of `size` where `needed` would do: (copper, aluminum) sizes and the sums."""

    needed: Passing
    sizes: tuple[str, str]
    sums: str


def upsized_ground(s: Stretch, edition: int) -> Upsized | None:
    """None where the wires are no thicker than needed, or that cannot be said. Source: NEC 250.122(B).

    A ground is never larger than the wires themselves (250.122(A)).
    """
    base = None if s.device_a is None else equipment_ground(s.device_a)
    needed = smallest_passing(s, edition)
    if base is None or needed is None or s.wire.size is None or SIZES.index(s.wire.size) <= SIZES.index(needed.size):
        return None
    found, words = [], []
    for metal, size in zip(("copper", "aluminum"), base, strict=True):
        least = circular_mils(size) * circular_mils(s.wire.size) / circular_mils(needed.size)
        proportional = next((other for other in sizes_of(metal) if circular_mils(other) >= least - 1e-6), s.wire.size)
        found.append(min(proportional, s.wire.size, key=SIZES.index))
        words.append(f"{metal} {circular_mils(size):,.0f} × {circular_mils(s.wire.size):,.0f} / {circular_mils(needed.size):,.0f} = "
                     f"{least:,.0f} circular mils, so {found[-1]} AWG ({circular_mils(found[-1]):,.0f})")
    return Upsized(needed, (found[0], found[1]), "; ".join(words))
