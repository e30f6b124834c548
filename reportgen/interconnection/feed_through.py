"""Wires that pass a busbar on through lugs at its end: as a feeder they must carry what can come over them."""

from __future__ import annotations

import math
from dataclasses import dataclass

from reportgen.describe.electrical import Panel
from reportgen.figures import Figure
from reportgen.interconnection.ampacity import ampacity, asks
from reportgen.interconnection.busbar import Busbar
from reportgen.interconnection.code_tables import TOLERANCE_A, cite, factor, has_clause
from reportgen.interconnection.result import CANNOT_SAY, DOES_NOT_FIT, FITS, Check
from reportgen.interconnection.tried import Tried, number_doubt
from reportgen.interconnection.wording import amps

KEY, NAME = "feed_through", "Wires from the feed-through lugs"
LUGS_PHOTO = "Take a photo of the {}, cover on, and ask an electrician whether lugs at the end of its busbar feed anything."
BREAKER_PHOTO = "Take a photo of the breaker at the start of the wires from the feed-through lugs of the {}."


@dataclass(frozen=True)
class _Sums:
    carries_a: float
    device_a: float
    back_a: float      # 1.25 × all sources behind the lugs


def no_lugs(bus: Busbar) -> Tried | None:
    """Why the array cannot join on feed-through wires here; None where the panel has them."""
    if bus.has_feed_through:
        return None
    if bus.feed_through is None:
        return Tried(_check(bus, CANNOT_SAY, "Nobody has said whether the panel has feed-through lugs."), None,
                     (LUGS_PHOTO.format(bus.name),))
    return Tried(_check(bus, DOES_NOT_FIT, "The panel has no feed-through lugs."), 0.0)


def try_wires(bus: Busbar, panel: Panel) -> Tried | None:
    """The check of the wires; None where the panel has none or its edition holds no rule for them."""
    if not bus.has_feed_through or not has_clause(KEY, bus.edition):
        return None
    wires = panel.feed_through_wires
    protected = bus.feed_through == "lugs with a breaker"
    device = panel.feed_through_breaker_a if protected else bus.device_a
    if device is None:
        return Tried(_check(bus, CANNOT_SAY, "The breaker at the start of these wires is not known."), None,
                     (BREAKER_PHOTO.format(bus.name),))
    if wires is None:
        return Tried(_check(bus, CANNOT_SAY, "Nothing is written about these wires."), None,
                     (f"Ask the electrician for the size of the wires from the feed-through lugs of the {bus.name}; nothing is opened for it.",))
    wire = ampacity(wires, bus.edition, device)
    if wire.a is None:
        return Tried(_check(bus, CANNOT_SAY, wire.sentence), None, tuple(f"{NAME}: {ask}." for ask in asks(wire.missing)))
    by = factor("continuous_current")
    if protected and not bus.joined_by_feed_through:
        return _protected(bus, wire.a, device, wire.cautions)
    largest = max(0.0, (wire.a - device) / by - sum(bus.existing_a))
    if bus.new_a is None:
        return Tried(_check(bus, CANNOT_SAY, "No inverter size is known yet."), largest)
    return _shared(bus, _Sums(wire.a, device, by * (sum(bus.existing_a) + bus.new_a)), largest, wire.cautions)


def _protected(bus: Busbar, carries_a: float, device_a: float, cautions: tuple[str, ...]) -> Tried:
    margin = carries_a - device_a
    fits = margin >= -TOLERANCE_A
    sentence = (f"The breaker at their start is {amps(device_a)}, they carry {amps(carries_a)}: "
                f"{f'{amps(max(margin, 0.0))} left' if fits else f'{amps(-margin)} too much'}.")
    verdict = CANNOT_SAY if bus.new_a is None else FITS if fits else DOES_NOT_FIT
    figure = _figure(bus, margin, f"{amps(carries_a)} − {amps(device_a)} = {amps(margin)}")
    return Tried(_check(bus, verdict, sentence, figure, cautions), math.inf if fits else 0.0)


def _shared(bus: Busbar, sums: _Sums, largest: float, cautions: tuple[str, ...]) -> Tried:
    """Breaker and array can both feed the part past the joint; at the far end of the wires, the array alone."""
    total = sums.device_a + sums.back_a
    margin = sums.carries_a - total
    words = f"{amps(sums.device_a)} + {amps(sums.back_a, 2)} = {amps(total, 2)}; the wires carry {amps(sums.carries_a)}"
    figure = _figure(bus, margin, f"{amps(sums.carries_a)} − ({amps(sums.device_a)} + {amps(sums.back_a, 2)}) = {amps(margin, 2)}")
    if margin >= -TOLERANCE_A:
        return Tried(_check(bus, FITS, f"{words}: {amps(max(margin, 0.0), 2)} left.", figure, cautions), largest)
    sentence = f"{words}: {amps(-margin, 2)} too much"
    if bus.joined_by_feed_through and sums.carries_a >= sums.back_a - TOLERANCE_A:
        return Tried(_check(bus, CANNOT_SAY, f"{sentence}, unless the array joins at the far end of these wires, where "
                            f"{amps(sums.back_a, 2)} counts.", figure, cautions), None,
                     ("Ask the seller where along the wires from the feed-through lugs the array would join.",))
    return Tried(_check(bus, DOES_NOT_FIT, f"{sentence}.", figure, cautions), largest)


def _check(bus: Busbar, verdict: str, sentence: str, figure: Figure | None = None, cautions: tuple[str, ...] = ()) -> Check:
    clause = _clause(bus.edition)
    caution = " ".join(filter(None, (number_doubt(clause), *cautions)))
    return Check(KEY, NAME, clause, verdict, sentence, figure, (), bus.name,
                 "ampacity ≥ device + 1.25 × output of all sources, or a breaker at their start ≤ ampacity", caution)


def _clause(edition: int) -> str:
    return cite(KEY, edition) if has_clause(KEY, edition) else f"no rule in edition {edition}"


def _figure(bus: Busbar, margin: float, formula: str) -> Figure:
    stem = KEY if bus.number == 1 else f"panel_{bus.number}_{KEY}"
    return Figure(f"interconnection.{stem}_margin_a", "Left on the wires from the feed-through lugs", margin, "A",
                  formula=formula, sources=(_clause(bus.edition),))
