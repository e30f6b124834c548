"""One check as it was tried on the way from the array to the meter: what it found and the most it would let through."""

from __future__ import annotations

from dataclasses import dataclass

from reportgen.interconnection.result import Check


@dataclass(frozen=True)
class Tried:
    check: Check
    largest_a: float | None         # largest output of the new inverters that passes [A]; None: cannot say, inf: any
    photos: tuple[str, ...] = ()    # where something is missing: which photo to take, whom to ask
    limit_a: float | None = None    # what may stand on the busbar or wire [A] ...
    total_a: float | None = None    # ... and what stands on it [A]
    formula: str = ""               # how largest_a comes about, numbers put in


def number_doubt(clause: str) -> str:
    """The caution of a check whose clause number no public text confirmed."""
    doubtful = "from memory" in clause or "not seen" in clause
    return "The clause's number was not read in print; look it up before relying on it." if doubtful else ""
