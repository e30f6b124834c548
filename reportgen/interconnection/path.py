"""The way of the array's current to the meter: every busbar and every feeder on it, each with its own check.

One failure fails the path. A split busbar is left to an engineer.
"""

from __future__ import annotations

import math
from collections.abc import Collection
from dataclasses import dataclass, replace

from reportgen.describe.electrical import Panel
from reportgen.describe.models import House
from reportgen.figures import Figure
from reportgen.interconnection.busbar import Busbar, best_of, largest_of, try_busbar
from reportgen.interconnection.code_tables import TOLERANCE_A, factor, next_standard_a
from reportgen.interconnection.existing_sources import existing_sources, source_conditions
from reportgen.interconnection.feed_through import no_lugs, try_wires
from reportgen.interconnection.feeders import Run, joined_along, try_feeder
from reportgen.interconnection.result import CANNOT_SAY, DOES_NOT_FIT, FITS, BusbarSource, Check, PanelFound
from reportgen.interconnection.split_bus import try_split_bus
from reportgen.interconnection.tried import Tried
from reportgen.interconnection.wording import amps

POSITION = "electrical.source_position"
POSITION_ASSUMED = ("Nobody has said where the solar breaker would sit; the far end was assumed. Look whether two "
                    "spaces opposite {} are free, and take a photo.")
FEEDER_ASSUMED = ("Nobody has said where the feeder's breaker sits in the {}; the far end was assumed. Look, and take a photo of all "
                  "breakers.")
NO_ROOM = "No two neighbouring spaces are free in this panel; room for the solar breaker must be made first."
FEED_THROUGH_UNKNOWN = ("The panel feeds no other panel through lugs at the end of its busbar; if it does, ask the electrician "
                        "which rule applies.")
DWELLINGS = (None, "one family", "two families")    # one family where nothing is written, as the house file's key says


@dataclass(frozen=True)
class PathFound:
    verdict: str
    checks: tuple[Check, ...]      # one for every busbar and every feeder, array first
    margin: Figure | None          # of the tightest busbar or feeder check [A]
    largest_a: float | None        # largest continuous output of all new inverters that passes every one of them [A]
    reason: str                    # sentence of the check that decides
    clause: str
    conditions: tuple[str, ...]
    photos: tuple[str, ...]        # where something is missing: which photo to take, whom to ask
    panels: tuple[PanelFound, ...]
    every_rule: tuple[Check, ...] = ()   # all rules on all busbars, and the feeders, array first
    decides: Check | None = None         # the check behind `reason`
    caps: Tried | None = None            # what sets `largest_a`
    every_tried: tuple[Tried, ...] = ()  # what stands behind `every_rule`


@dataclass(frozen=True)
class Step:
    """One busbar or feeder of the path: all that was tried on it, and what decides."""

    tried: tuple[Tried, ...]
    best: Tried
    most: Tried | None             # what allows the largest output here; None where nothing can say

    @property
    def largest_a(self) -> float | None:
        return None if self.most is None else self.most.largest_a


def check_path(house: House, new_a: float | None, rule: str | None = None, assumed: Collection[str] = ()) -> PathFound:
    """Every busbar and feeder from the array to the meter with new inverters of `new_a` [A] continuous output.

    rule: key of the rule that is used at the panel which takes the array; None: whichever allows most. Panels nearer the
    meter always use whichever allows most. new_a None: the verdict is "cannot say", the largest is still given.
    The house's edition must be one of `code_tables.editions()`.
    """
    chain = house.electrical.chain
    joint = next((n for n, panel in enumerate(chain, start=1) if joined_along(panel.feeder)), 0)
    steps, panels = [], []
    for number, panel in enumerate(chain, start=1):
        if number > 1:
            steps.append(_feeder_step(house, chain, number - 1, 0.0 if number - 1 < joint else new_a))
        spared = number < joint or number == joint and _apart_from_joint(panel)   # none of the array's current comes here
        bus = _busbar(house, chain, number, 0.0 if spared else new_a, assumed)
        if number == joint:
            bus = replace(bus, position="far end" if spared else "beside the main")
        step = _busbar_step(bus, panel, rule if number == 1 else None)
        if spared:
            step = replace(step, most=replace(step.best, largest_a=math.inf if step.best.check.verdict == FITS else 0.0))
        steps.append(step)
        panels.append(_found(house, chain, number, step.best, new_a))
    return _together(steps, tuple(panels), new_a, several=len(chain) > 1)


def position_path(house: House, number: int = 1) -> str:
    """The house file's key for where the array's power enters the busbar of panel `number`, counted from the array."""
    return POSITION if house.electrical.panels is None else f"electrical.panels.{number - 1}.source_position"


def device_of(panel: Panel) -> float | None:
    """The device that protects the panel's busbar, M [A]: its main breaker, or with main lugs the device upstream."""
    if panel.main_breaker_a is not None:
        return panel.main_breaker_a
    upstream = panel.feeder.breaker_a if panel.feeder is not None else None
    if panel.feeder is not None and panel.feeder.device_past_joint_a is not None:
        upstream = panel.feeder.device_past_joint_a
    return upstream if upstream is not None else panel.protected_by_a


def _busbar(house: House, chain: tuple[Panel, ...], number: int, new_a: float | None, assumed: Collection[str]) -> Busbar:
    """The busbar of panel `number` of the chain, counted from the array, with every source at or below it."""
    panel, feeder = chain[number - 1], chain[number - 2].feeder if number > 1 else None
    here = [s for s in existing_sources(panel.sources)[0] if s.counts]
    far_end = source_conditions(panel.sources)
    if position_path(house, number) in assumed:
        far_end = (POSITION_ASSUMED.format(supply_of(panel)) if number == 1 else FEEDER_ASSUMED.format(panel.name), *far_end)
    conditions = (NO_ROOM,) if panel.free_two_pole_spaces == 0 and number == 1 else ()
    if panel.feed_through is None:
        conditions += (FEED_THROUGH_UNKNOWN,)
    return Busbar(
        name=panel.name, number=number, edition=house.electrical.edition, busbar_a=panel.busbar_a, device_a=device_of(panel),
        fed_from=panel.fed_from, position=panel.source_position,
        existing_a=_existing_a(chain, number),
        existing_positions=tuple(None if s.position == "not known" else s.position for s in here), new_a=new_a,
        load_breakers_a=None if panel.load_breakers_a is None else tuple(panel.load_breakers_a),
        source_breakers_a=tuple(s.breaker_a for s in panel.sources), feeder_breaker_a=None if feeder is None else feeder.breaker_a,
        dwelling=house.building.kind in DWELLINGS, feed_through=panel.feed_through,
        joined_by_feed_through=panel.array_on_feed_through, conditions=conditions, far_end_conditions=far_end,
        supply=supply_of(panel))


def supply_of(panel: Panel) -> str:
    """Where the grid's power comes onto the busbar, in words."""
    return "the lugs where the supply's wires land" if main_of(panel) == "lugs" else "the main breaker"


def main_of(panel: Panel) -> str:
    """"breaker", "lugs" or "split bus"; lugs too where nobody said and only a device upstream protects the busbar."""
    lugs = panel.main is None and panel.main_breaker_a is None and device_of(panel) is not None
    return panel.main or ("lugs" if lugs else "breaker")


def _existing_a(chain: tuple[Panel, ...], number: int) -> tuple[float, ...]:
    """Output of every source that is there already and counts, on the first `number` panels [A]."""
    return tuple(s.output_a for panel in chain[:number] for s in existing_sources(panel.sources)[0] if s.counts)


def _apart_from_joint(panel: Panel) -> bool:
    """Whether a device stands between the joint on the feeder and this panel's busbar."""
    return panel.main_breaker_a is not None or panel.feeder.device_past_joint_a is not None


def _busbar_step(bus: Busbar, panel: Panel, rule: str | None) -> Step:
    if panel.main == "split bus":
        tried = try_split_bus(bus, panel)
        return Step(tried, tried[-1], _if_known(tried[-1]))
    if rule == "feed_through":
        missing = no_lugs(bus)
        if missing is not None:
            return Step((missing,), missing, _if_known(missing))
        bus = replace(bus, joined_by_feed_through=True)
    tried = try_busbar(bus, rule)
    best, most = best_of(tried), largest_of(tried)
    wires = try_wires(bus, panel)
    if wires is not None:
        tried, best, most = (*tried, wires), _worse(best, wires), _least([most, _if_known(wires)])
    return Step(tried, best, most)


def _if_known(tried: Tried) -> Tried | None:
    return None if tried.largest_a is None else tried


def _least(parts: list[Tried | None]) -> Tried | None:
    """What lets the least through; None where one of them cannot say, unless another lets nothing through."""
    known = [t for t in parts if t is not None]
    least = min(known, key=lambda t: t.largest_a) if known else None
    return least if len(known) == len(parts) or least is not None and least.largest_a < TOLERANCE_A else None


def _worse(a: Tried, b: Tried) -> Tried:
    order = (DOES_NOT_FIT, CANNOT_SAY, FITS)
    return min((a, b), key=lambda t: order.index(t.check.verdict))


def _feeder_step(house: House, chain: tuple[Panel, ...], number: int, new_a: float | None) -> Step:
    """The feeder that brings power to panel `number`."""
    panel = chain[number - 1]
    run = Run(f"feeder of the {panel.name}", number, house.electrical.edition, panel.feeder,
              panel.feeder.breaker_a if panel.feeder else None, sum(_existing_a(chain, number)), new_a)
    tried = try_feeder(run)
    best = tried[0]
    for one in tried[1:]:
        best = _tighter(best, one)
    return Step(tried, best, _least([_if_known(t) for t in tried]))


def _tighter(a: Tried, b: Tried) -> Tried:
    worse = _worse(a, b)
    if a.check.verdict != b.check.verdict:
        return worse
    left, right = (t.check.margin_a.value if t.check.margin_a else -math.inf for t in (a, b))
    return a if left <= right else b


def _found(house: House, chain: tuple[Panel, ...], number: int, best: Tried, new_a: float | None) -> PanelFound:
    """One panel with the new array put in, or the feeder that brings it."""
    panel, check, device = chain[number - 1], best.check, device_of(chain[number - 1])
    if number == 1:
        breaker = next_standard_a(factor("continuous_current") * new_a, house.electrical.edition) if new_a else None
        new = BusbarSource("the new array", breaker or 0.0, new_a or 0.0, panel.source_position or "not known", True, True)
    else:
        below = chain[number - 2]
        breaker = below.feeder.breaker_a if below.feeder else None
        new = BusbarSource(f"feeder of the {below.name}", breaker or 0.0, sum(_existing_a(chain, number - 1)) + (new_a or 0.0),
                           panel.source_position or "not known", True, True)
    return PanelFound(
        name=panel.name, main=main_of(panel), busbar_a=panel.busbar_a, protected_by_a=device,
        main_breaker_a=panel.main_breaker_a, fed_from=panel.fed_from or "end",
        sources=(*existing_sources(panel.sources)[0], new),
        load_breakers_a=None if panel.load_breakers_a is None else tuple(panel.load_breakers_a),
        free_two_pole_spaces=panel.free_two_pole_spaces, verdict=check.verdict, limit_a=best.limit_a, total_a=best.total_a,
        rule=f"{check.name} ({check.clause})", feeder=feeder_words(panel) if number < len(chain) else "",
        lower_busbar_a=panel.lower_busbar_a, lower_breaker_a=panel.lower_breaker_a)


def feeder_words(panel: Panel) -> str:
    """'1/0 AWG copper, 100 A breaker, 60 ft'; '' where nothing is written."""
    feeder = panel.feeder
    if feeder is None:
        return ""
    parts = [f"{feeder.size or 'size not known'} AWG {feeder.metal or 'metal not known'}"]
    parts.append(f"{amps(feeder.breaker_a)} breaker" if feeder.breaker_a is not None else "breaker not known")
    if feeder.feet is not None:
        parts.append(f"{feeder.feet:.0f} ft")
    return ", ".join(parts)


def _together(steps: list[Step], panels: tuple[PanelFound, ...], new_a: float | None, *, several: bool) -> PathFound:
    best = [step.best for step in steps]
    verdicts = [t.check.verdict for t in best]
    verdict = DOES_NOT_FIT if DOES_NOT_FIT in verdicts else CANNOT_SAY if CANNOT_SAY in verdicts else FITS
    deciding = [t for t in best if t.check.verdict == verdict]
    decides = min(deciding, key=lambda t: t.check.margin_a.value if t.check.margin_a else math.inf)
    figures = [t.check.margin_a for t in best if t.check.margin_a is not None]
    caps = _least([step.most for step in steps])
    largest = None if caps is None or caps.largest_a == math.inf else caps.largest_a
    check = decides.check
    where = f"{check.where[0].upper()}{check.where[1:]}: " if several else ""
    photos = tuple(dict.fromkeys(p for t in best if t.check.verdict == CANNOT_SAY for p in t.photos))
    conditions = tuple(dict.fromkeys(c for t in best for c in t.check.conditions))
    return PathFound(verdict, tuple(t.check for t in best), min(figures, key=lambda f: f.value) if figures else None,
                     largest, where + check.sentence, check.clause, conditions, photos, panels,
                     tuple(t.check for step in steps for t in step.tried), check, caps,
                     tuple(t for step in steps for t in step.tried))
