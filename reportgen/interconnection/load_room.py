"""What a smaller main breaker leaves for loads that come later, from the load calculation."""

from __future__ import annotations

from reportgen.figures import Figure
from reportgen.interconnection.result import ServiceLoad
from reportgen.interconnection.wording import amps, an

LESS = "A smaller main breaker changes nothing in daily use today, but less is left for a car charger or a heat pump later"


def room_behind(load: ServiceLoad | None, main_a: float | None) -> Figure | None:
    """What the main of `main_a` [A] leaves beside today's load [A]; None where either is not known."""
    if load is None or load.load_a is None or main_a is None:
        return None
    left = main_a - load.load_a.value
    return Figure("interconnection.service_room_after_a", "Left behind the smaller main breaker for later loads", left, "A",
                  formula=f"{amps(main_a)} − {amps(load.load_a.value, 1)} = {amps(left, 1)}", sources=load.load_a.sources)


def less_for_later(load: ServiceLoad | None, main_a: float | None) -> str:
    """One sentence on daily life: what is left behind the smaller main, beside what is left today."""
    room = room_behind(load, main_a)
    if room is None:
        return f"{LESS}; how much, only a load calculation says."
    today = f", in place of {amps(load.room_a.value, 1)} today" if load.room_a is not None else ""
    return f"{LESS}: behind {an(amps(main_a))} main {room.formula}{today}."
