"""A smaller main breaker: how small it must be for the array, and how small the load and the Code let it be."""

from __future__ import annotations

from dataclasses import dataclass, replace

from reportgen.describe.models import House
from reportgen.interconnection.code_tables import TOLERANCE_A, cite, factor, next_standard_a, standard_ratings_a
from reportgen.interconnection.load_room import less_for_later
from reportgen.interconnection.path import PathFound
from reportgen.interconnection.result import CANNOT_SAY, DOES_NOT_FIT, FITS, Way
from reportgen.interconnection.way_busbar import has_split_bus, moved
from reportgen.interconnection.way_parts import (
    Question,
    joined,
    make_way,
    panel_label,
    replaced_service,
    way_from_path,
    with_panel,
)
from reportgen.interconnection.wording import amps, listed

CAUTIONS = (
    "The smaller breaker is made and listed for this very panel; not every panel has one.",
    "The utility cuts the power while the main breaker is changed.",
)
NO_HELP = "a smaller main breaker does not mend it"
DECIDES = "an electrician's load calculation, the inspector, and the utility that cuts the power"
ASK_LOAD = ("List the floor area and, where it is read with nothing moved or opened, the nameplate of every fixed appliance, heating "
            "and cooling, or ask the utility for the highest demand of a year, read at 15 minutes.")


@dataclass(frozen=True)
class Changed:
    """A house with smaller mains: `mains` by panel number, counted from the array; what was moved, in words."""

    house: House
    path: PathFound
    mains: dict[int, float]
    moves: tuple[str, ...]


def smaller_main(question: Question) -> tuple[Way, ...]:
    """The gentlest smaller main with which every busbar and feeder passes, held against load and least service.

    No way where the array fits as the house is and the main is already the least.
    """
    if has_split_bus(question.house):        # several mains, none of which could be the smaller one
        return ()
    as_is = question.path()
    if question.new_a is None or as_is.verdict == FITS:
        return _only_for_room(question, as_is)
    changed = [_until_it_fits(question, house, moves) for house, moves in _positions(question.house)]
    tried = [_held_against_load(question, one, as_is) for one in changed
             if not one.moves or one.mains]                  # moving alone is a way of its own
    return (min(tried, key=lambda way: (FITS, CANNOT_SAY, DOES_NOT_FIT).index(way.verdict)),)


def _positions(house: House) -> list[tuple[House, tuple[str, ...]]]:
    """Breakers where they are; and, where some sit beside a main, moved to the far end by the same electrician."""
    far, moves = moved(house)
    return [(house, ()), (far, moves)] if moves else [(house, ())]


def _until_it_fits(question: Question, house: House, moves: tuple[str, ...]) -> Changed:
    """Each panel that fails gets the next smaller standard main until the path passes or none is left."""
    path, mains = question.path(house), {}
    while path.verdict == DOES_NOT_FIT:
        steps = {index: _next_smaller(found.protected_by_a, question.edition) for index, found in enumerate(path.panels)
                 if found.verdict == DOES_NOT_FIT and found.protected_by_a is not None}
        if not steps or None in steps.values():
            break
        for index, rating in steps.items():
            house = with_main(house, index, rating)
        mains |= steps
        path = question.path(house)
    return Changed(house, path, mains, moves)


def _held_against_load(question: Question, found: Changed, as_is: PathFound) -> Way:
    """The verdict on mains that are small enough for the array: are they large enough for the house."""
    if found.path.verdict == CANNOT_SAY:
        return _way(question, found, reason=found.path.reason, change="a smaller main breaker")
    if found.path.verdict == DOES_NOT_FIT:
        return _way(question, found, reason=f"No smaller main breaker mends this: {as_is.reason}", change=NO_HELP)
    last = len(question.house.electrical.chain) - 1
    service_a, load_a = found.mains.get(last), _load_a(question)
    need = f"The array would need a main of {amps(service_a)} or less. " if service_a is not None else ""
    if service_a is not None and _one_family(question) and service_a < factor("load_least_service_a") - TOLERANCE_A:
        return _refused(question, found, need + _floor_text(question))
    if service_a is not None and load_a is not None and service_a < load_a - TOLERANCE_A:
        return _refused(question, found, (
            f"{need}The load on the service is {amps(load_a, 1)} ({cite('load_calculation', question.edition)}); what "
            "the array makes never lowers it."))
    unknown = [i for i, a in found.mains.items() if load_a is None or (i != last and a < load_a - TOLERANCE_A)]
    if unknown:
        return _way(question, found, verdict=CANNOT_SAY, photos=_ask_load(question, unknown),
                    reason=_if_the_load_allows(question, found, unknown))
    load = f" {_least_text(question)} The largest array is counted with that one." if load_a is not None else ""
    return _way(question, found, reason=found.path.reason + load)


def _refused(question: Question, found: Changed, reason: str) -> Way:
    """Load or Code forbid the main that the array needs; the sums shown are those with the least one they allow."""
    last = len(question.house.electrical.chain) - 1
    least = _least_main(question) or next_standard_a(factor("load_least_service_a"), question.edition)
    house = with_main(found.house, last, min(least, question.path().panels[last].protected_by_a))
    with_least = replace(found, house=house, path=question.path(house))
    return _way(question, with_least, verdict=DOES_NOT_FIT, reason=reason, change=NO_HELP)


def _only_for_room(question: Question, as_is: PathFound) -> tuple[Way, ...]:
    """The array fits, or has no size yet: what the least main that the load allows would leave room for."""
    house, last = question.house, len(question.house.electrical.chain) - 1
    now = as_is.panels[last].protected_by_a if as_is.panels else None
    least, fits = _least_main(question), question.new_a is not None
    words = {"priced": ("smaller main breaker",), "decides": DECIDES, "conditions": _conditions(question, None)}
    if now is None or least is None:
        reason = ("Not needed for this array. How small the main breaker may be cannot be said without the load on the "
                  "service."
                  if fits else "Cannot say without the inverter's size, the main breaker's rating and the load on the "
                               "service.")
        photos = as_is.photos + (_ask_load(question, [last]) if least is None else ())
        return (make_way(question, "smaller_main", CANNOT_SAY, reason, cite("load_calculation", question.edition),
                         change="a smaller main breaker", photos=tuple(dict.fromkeys(photos)), **words),)
    if least >= now - TOLERANCE_A:
        return ()
    changed = with_main(house, last, least)
    words |= {"conditions": _conditions(question, least), "new_main_a": least}
    path = question.path(changed)
    reason = f"Not needed for this array. {_least_text(question)} {path.reason}" if fits else path.reason
    return (way_from_path(question, "smaller_main", path, reason=reason, clause=_clause(question, path),
                          change=f"a {amps(least)} {_kind_of_main(house, last)} {panel_label(house, last)}", **words),)


def _way(question: Question, found: Changed, *, reason: str, verdict: str = "", change: str = "",
         photos: tuple[str, ...] = ()) -> Way:
    parts = [f"a {amps(a)} {_kind_of_main(question.house, i)} {panel_label(question.house, i)}"
             for i, a in sorted(found.mains.items())]
    main_a = found.mains.get(len(question.house.electrical.chain) - 1)
    least = _with_least_main(question, found) if verdict != CANNOT_SAY else None
    room = question.path(least) if least is not None else None
    path = replace(found.path, largest_a=room.largest_a if room else None, caps=room.caps if room else None)
    return way_from_path(question, "smaller_main", path, reason=reason, verdict=verdict,
                         clause=_clause(question, path), change=change or joined([*parts, *found.moves]), decides=DECIDES,
                         priced=("smaller main breaker", *(("move the breaker",) if found.moves else ())),
                         conditions=_conditions(question, main_a), new_main_a=main_a, photos=photos)


def _with_least_main(question: Question, found: Changed) -> House | None:
    """The changed house with the least main that load and Code allow nearest the meter; None where that is not known."""
    least = _least_main(question)
    if least is None or not found.path.panels:
        return None
    last = len(question.house.electrical.chain) - 1
    now = question.path().panels[last].protected_by_a
    return None if now is None else with_main(found.house, last, min(least, now))


def with_main(house: House, index: int, rating_a: float) -> House:
    """The house with another device protecting one busbar: its main breaker, or with main lugs the device upstream."""
    panel = house.electrical.chain[index]
    if panel.main_breaker_a is not None:
        return with_panel(house, index, main_breaker_a=rating_a)
    feeder = panel.feeder
    for key in ("device_past_joint_a", "breaker_a"):
        if feeder is not None and getattr(feeder, key) is not None:
            return house.replaced(f"electrical.panels.{index}.feeder.{key}", rating_a)
    return with_panel(house, index, protected_by_a=rating_a)


def _one_family(question: Question) -> bool:
    return question.house.building.kind in (None, "one family")


def _load_a(question: Question) -> float | None:
    """Load on the service [A]; None where no method gives it, and for two families, where an electrician says it."""
    load = question.load
    return load.load_a.value if load is not None and load.load_a is not None and _one_family(question) else None


def _least_main(question: Question) -> float | None:
    """Next standard rating that is at least the load and the least service [A]; None where the load is not known."""
    load = question.load
    return load.least_main_a.value if load is not None and load.least_main_a is not None else None


def _least_text(question: Question) -> str:
    least, load_a = _least_main(question), _load_a(question)
    if least is None:
        return ""
    return (f"The load is {amps(load_a, 1)} ({cite('load_calculation', question.edition)}), so the least main is "
            f"{amps(least)}.")


def _floor_text(question: Question) -> str:
    return (f"The service disconnect of a one-family dwelling is at least {amps(factor('load_least_service_a'))} "
            f"({cite('load_least_service', question.edition)}).")


def _if_the_load_allows(question: Question, found: Changed, unknown: list[int]) -> str:
    names = [f"{amps(found.mains[i])} at {panel_label(question.house, i)}" for i in unknown]
    return (f"By arithmetic the array fits with a main of {listed(names)}, but only where the load there is no more "
            f"than that, and {_why_unknown(question)}. {found.path.reason}")


def _why_unknown(question: Question) -> str:
    if _one_family(question):
        return "the load is not known"
    return "how small the main breaker for more than one dwelling may be, an electrician says"


def _ask_load(question: Question, unknown: list[int]) -> tuple[str, ...]:
    last = len(question.house.electrical.chain) - 1
    asks = []
    if last in unknown:
        methods = question.load.methods if question.load is not None else ()
        asks += [m.ask for m in methods if m.ask and not m.applies] or [ASK_LOAD]
    asks += [f"List what hangs on {panel_label(question.house, i)}, each with its nameplate."
             for i in unknown if i != last]
    return tuple(asks)


def _conditions(question: Question, main_a: float | None) -> tuple[str, ...]:
    """What must also hold; `main_a`: the new main nearest the meter, None where it stays or is not known."""
    return (*CAUTIONS, less_for_later(question.load, main_a), *replaced_service(question.house, question.edition),
            *_load_cautions(question))


def _load_cautions(question: Question) -> tuple[str, ...]:
    return question.load.cautions if question.load is not None else ()


def _clause(question: Question, path: PathFound) -> str:
    edition = question.edition
    return f"{path.clause}; {cite('load_calculation', edition)}; {cite('load_least_service', edition)}"


def _next_smaller(rating_a: float, edition: int | None) -> float | None:
    smaller = [r for r in standard_ratings_a(edition) if r < rating_a - TOLERANCE_A]
    return smaller[-1] if smaller else None


def _kind_of_main(house: House, index: int) -> str:
    own = house.electrical.chain[index].main_breaker_a is not None
    return "main breaker in" if own else "breaker before the lugs of"
