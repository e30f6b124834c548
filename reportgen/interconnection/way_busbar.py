"""Ways on the busbars: the panel as it is under each rule, a moved breaker, a larger panel, a smaller inverter."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import replace

from reportgen.describe.models import House
from reportgen.figures import show
from reportgen.interconnection.code_tables import TOLERANCE_A, busbar_ratings_a, cite, factor, next_standard_a
from reportgen.interconnection.path import PathFound
from reportgen.interconnection.result import CANNOT_SAY, DOES_NOT_FIT, FITS, Way
from reportgen.interconnection.split_bus import SHORT
from reportgen.interconnection.way_parts import (
    INSPECTOR,
    Question,
    joined,
    make_way,
    panel_label,
    replaced_service,
    way_from_path,
    with_panel,
)
from reportgen.interconnection.wording import amps, an, listed

FAR_END = "far end"
NOT_KNOWN = "not known yet"
USUAL_SERVICES_A = (100.0, 150.0, 200.0)     # common practice, no source
ASK_SPLIT_SERVICE = ("Ask the utility for the rating of the service; with it a new panel can be worked out, whatever the old "
                     "panel's upper part carries.")
NEW_PANEL = (
    "The new panel is listed for this use, and the inspector says what else a new panel brings with it.",
    "Ask the electrician whether a panel with that busbar is made for a main breaker of this size.",
)


def as_it_is(question: Question) -> tuple[Way, ...]:
    """The house as it is, under each busbar rule that its first panel's build leaves open."""
    panel = question.house.electrical.chain[0]
    if has_split_bus(question.house):
        path = question.path()
        return (way_from_path(question, "split_bus", path, reason=SHORT if path.verdict == CANNOT_SAY else path.reason,
                              change=NOT_KNOWN, priced=("breaker on the busbar",)),)
    rules = ["sum_rule", "centre_fed" if panel.fed_from == "centre" else "rule_120", "all_breakers"]
    if panel.array_on_feed_through or panel.feed_through in ("lugs", "lugs with a breaker"):
        rules.append("feed_through")
    return tuple(_unchanged(question, rule, question.path(rule=rule)) for rule in rules)


def _unchanged(question: Question, rule: str, path: PathFound) -> Way:
    """The house as it is by one rule; where it cannot be said, nobody may read "nothing has to change" from it."""
    known = path.verdict != CANNOT_SAY
    return way_from_path(question, rule, path, change="nothing" if known else NOT_KNOWN, changes_nothing=known,
                         priced=("breaker on the busbar",))


def has_split_bus(house: House) -> bool:
    """Whether the array's power passes a split busbar on its way to the meter."""
    return any(panel.main == "split bus" for panel in house.electrical.chain)


def moved(house: House) -> tuple[House, tuple[str, ...]]:
    """The house with every feeding breaker at the far end of its busbar, and what had to be moved, in words."""
    words = []
    for index, panel in enumerate(house.electrical.chain):
        where = panel_label(house, index)
        if panel.source_position in ("beside the main", "both ends"):
            what = "the solar breaker" if index == 0 else "the breaker that brings the array's power"
            end = "one end" if panel.fed_from == "centre" else "the far end"
            words.append(f"move {what} to {end} of the busbar of {where}")
            house = with_panel(house, index, source_position=FAR_END)
        near = [s for s in panel.sources if s.position == "beside the main" and s.kind != "monitoring"]
        if near and panel.fed_from != "centre":
            words.append(f"move the breaker of {joined([s.name for s in near])} away from the main breaker of {where}")
            sources = [s.model_copy(update={"position": FAR_END}) if s in near else s for s in panel.sources]
            house = with_panel(house, index, sources=sources)
    return house, tuple(words)


def moved_breaker(question: Question) -> tuple[Way, ...]:
    """The breaker moved to the far end; no way at all where it already sits there."""
    house, words = moved(question.house)
    if not words:
        return ()
    return (way_from_path(question, "move_breaker", question.path(house), change=joined(list(words)),
                          priced=("move the breaker",)),)


def enlarged(question: Question) -> Iterator[tuple[House, PathFound, dict[int, float]]]:
    """Houses with ever larger busbars, a step at each panel that fails: (house, its path, panel number: busbar)."""
    house, new = question.house, {}
    path = question.path()
    while path.verdict != FITS:
        steps = {}
        for index, found in enumerate(path.panels):
            unread = found.verdict == CANNOT_SAY and index not in new
            main_a = _main_of_new_panel(house, index, found.protected_by_a)
            if main_a is None or not (found.verdict == DOES_NOT_FIT or unread):
                continue
            least = max(main_a, (found.busbar_a or 0.0) + TOLERANCE_A)
            larger = next((r for r in busbar_ratings_a() if least <= r <= factor("largest_new_panel")), None)
            if larger is None:
                return
            steps[index] = larger
        if not steps:
            return
        for index, rating in steps.items():
            house = _with_new_panel(house, index, rating)
        new |= steps
        path = question.path(house)
        yield house, path, dict(new)


def _main_of_new_panel(house: House, index: int, protected_by_a: float | None) -> float | None:
    """What will protect the new busbar [A]: today's device; for a split busbar nearest the meter the service's rating."""
    panels = house.electrical.chain
    if panels[index].main == "split bus":
        return house.electrical.service_a if index == len(panels) - 1 else None
    return protected_by_a


def _with_new_panel(house: House, index: int, busbar_a: float) -> House:
    facts = {"busbar_a": busbar_a, "source_position": FAR_END, "fed_from": "end", "free_two_pole_spaces": None}
    if house.electrical.chain[index].main == "split bus":
        facts |= {"main": "breaker", "main_breaker_a": house.electrical.service_a, "lower_busbar_a": None,
                  "lower_breaker_a": None}
    return with_panel(house, index, **facts)


def larger_panel(question: Question) -> Way:
    """The smallest usual busbar behind the same main breaker with which every busbar and feeder passes."""
    words = {"priced": ("larger panel",), "conditions": NEW_PANEL + replaced_service(question.house, question.edition),
             "decides": f"{INSPECTOR}; the utility cuts the power while the panel is changed"}
    as_is, tried = question.path(), None
    if question.new_a is not None:
        for tried in enlarged(question):
            if tried[1].verdict == FITS:
                break
    if tried is None and question.new_a is not None and question.house.electrical.chain[-1].main == "split bus":
        return _for_a_split_bus(question, **words)
    if tried is None:
        reason = as_is.reason if as_is.verdict == CANNOT_SAY else f"A larger panel does not mend this: {as_is.reason}"
        change = "a panel with a larger busbar" if as_is.verdict == CANNOT_SAY else "a larger panel does not mend it"
        return way_from_path(question, "larger_panel", as_is, reason=reason, change=change, **words)
    house, path, busbars = tried
    new = joined([f"a panel with a {amps(rating)} busbar {_behind(path, house, index)} in place of {panel_label(house, index)}"
                  f"{_at_its_far_end(question.house, path, index)}"
                  for index, rating in sorted(busbars.items())])
    reason = f"Even with {new} it does not fit: {path.reason}" if path.verdict == DOES_NOT_FIT else path.reason
    return way_from_path(question, "larger_panel", path, reason=reason, change=new, **words)


def _behind(path: PathFound, house: House, index: int) -> str:
    """'behind a 200 A main breaker': what protects the new busbar, in its own numbers."""
    own = house.electrical.chain[index].main_breaker_a is not None
    return f"behind {an(amps(path.panels[index].protected_by_a))} {'main breaker' if own else 'breaker upstream'}"


def _at_its_far_end(before: House, path: PathFound, index: int) -> str:
    """Where the breaker must sit in the new panel, where it is planned elsewhere in the old one."""
    old = before.electrical.chain[index]
    anywhere = any(c.where == old.name and c.key == "sum_rule" and c.verdict == FITS for c in path.every_rule)
    needs_it = not anywhere and any(c.where == old.name and c.key == "rule_120" for c in path.checks)
    what = "the solar breaker" if index == 0 else "the feeder's breaker"
    return f", with {what} at its far end" if needs_it and old.source_position != FAR_END else ""


def _for_a_split_bus(question: Question, **words) -> Way:
    """A new panel needs the service's rating and nothing of the old upper busbar: what it would be for usual services."""
    found, last = [], len(question.house.electrical.chain) - 1
    for service_a in USUAL_SERVICES_A:
        house = question.house.replaced("electrical.service_a", service_a)
        fitting = next(((path, new) for _, path, new in enlarged(replace(question, house=house)) if path.verdict == FITS), None)
        if fitting is not None:
            found.append(f"a {amps(fitting[1][last])} busbar behind {an(amps(service_a))} main breaker")
    fits = f" By arithmetic it would fit with {listed(found).replace(' and ', ' or ')}." if found else ""
    return make_way(
        question, "larger_panel", CANNOT_SAY,
        f"Cannot say which panel without the rating of the service; nothing of the old upper busbar is needed for that.{fits}",
        cite("rule_120", question.edition), photos=(ASK_SPLIT_SERVICE,),
        change=f"a new panel with one busbar in place of {panel_label(question.house, last)}", **words)


def smaller_inverter(question: Question) -> tuple[Way, ...]:
    """The largest inverter that the house takes as it is; no way where the planned one fits or none is planned."""
    as_is = question.path()
    if question.new_a is None or as_is.verdict == FITS:
        return ()
    words = {"priced": ("smaller inverter",), "change": "a smaller inverter, usually with fewer modules"}
    if has_split_bus(question.house) and as_is.verdict == CANNOT_SAY:
        return ()
    if as_is.verdict == CANNOT_SAY or as_is.largest_a is None:
        return (way_from_path(question, "smaller_inverter", as_is, verdict=CANNOT_SAY, **words),)
    if as_is.largest_a <= TOLERANCE_A:
        none = f"No inverter fits as the house is: {as_is.reason}"
        return (way_from_path(question, "smaller_inverter", as_is, reason=none, **words),)
    path = question.path(new_a=as_is.largest_a)
    device = next_standard_a(factor("continuous_current") * as_is.largest_a, question.edition)
    at_most = math.floor(as_is.largest_a * 10.0 + 1e-9) / 10.0     # never rounded up to more than fits
    on_a = f", on a {amps(device)} breaker" if device else ""
    reason = f"At most {amps(at_most, 1)} of output{on_a}. {path.reason}"
    kilowatts = math.floor(as_is.largest_a * (question.house.electrical.service_v or 240) / 10.0 + 1e-9) / 100.0
    words["change"] = f"a smaller inverter, of at most {show(kilowatts, 'kW', 2)} ({amps(at_most, 1)}), usually with fewer modules"
    return (way_from_path(question, "smaller_inverter", path, reason=reason, **words),)
