"""From a house to its Connection: every check composed, the ways to connect, and one verdict.

The answer is never more than "fits by arithmetic": the adopted edition, local changes, the inspector, the utility and
a licensed electrician decide.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable
from dataclasses import replace

from reportgen.describe.models import House
from reportgen.figures import Figure, show
from reportgen.interconnection.asks import in_order
from reportgen.interconnection.busbar import LABEL_PHOTO, MAIN_PHOTO
from reportgen.interconnection.circuit_checks import circuit_checks
from reportgen.interconnection.conductors import conductor_checks, conductor_photos, thin_wires
from reportgen.interconnection.existing_sources import existing_sources
from reportgen.interconnection.findings import cautions, findings, panels_below_main
from reportgen.interconnection.panel_asks import chain_asks, label_asks, space_ask
from reportgen.interconnection.path import PathFound, check_path, device_of, position_path
from reportgen.interconnection.permission import permissions
from reportgen.interconnection.result import (
    CANNOT_SAY,
    DOES_NOT_FIT,
    FITS,
    Check,
    Connection,
    Seen,
    StringPlan,
    Way,
)
from reportgen.interconnection.room import with_room
from reportgen.interconnection.safety import expected_equipment
from reportgen.interconnection.scope import Outside, outside
from reportgen.interconnection.seen import seen_by_eye
from reportgen.interconnection.service_load import behind_chosen_main, service_load
from reportgen.interconnection.source_circuit import number_of_inverters, source_circuit
from reportgen.interconnection.stops import stop_of, thin_sentence, with_other_wires, with_stop
from reportgen.interconnection.strings import string_plans
from reportgen.interconnection.utility import utility_review
from reportgen.interconnection.verdict import Case, decide
from reportgen.interconnection.ways import chosen_way, not_checked, ways_to_connect
from reportgen.interconnection.wording import amps
from reportgen.interconnection.working_space import working_space_checks
from reportgen.sizing import with_inverter_totals

LARGEST = "Largest inverter that would fit, by busbars and feeders alone"


def connect(house: House, assumed: Collection[str] = (), year_kwh: float | None = None) -> Connection:
    """Every check from the array to the utility, the ways to connect, the verdict, and the largest inverter that would fit.

    `house` should be `complete`d and have its inverter size (``array.inverter_kw`` or ``array.inverter_a``); without a
    size the verdict is "cannot say" and the largest inverter is still given. `assumed`: paths that were filled in
    rather than said; ``electrical.source_position`` and ``array.inverter_kw`` matter here. `year_kwh`: the array's output
    in a year, for the utility's cap against past use. Raises nothing for facts that are missing.
    """
    house = with_inverter_totals(house)
    reason = outside(house)
    if reason is not None:
        return _not_judged(house, reason, year_kwh)
    circuit = source_circuit(house)
    own = circuit_checks(house, circuit)
    path = check_path(house, circuit.current_a, None, assumed)
    load = service_load(house)
    ways = with_room(house, ways_to_connect(house, circuit, load, assumed))
    largest, largest_kw = _largest(house, path, "", LARGEST)
    far = _at_far_end(house, circuit.current_a, assumed)
    more = _largest(house, far, "_at_far_end", f"{LARGEST} with the breaker at the far end") if far else ()
    chosen = chosen_way(house, ways)
    verdict, sentence = decide(Case(house, circuit, path, own.checks, ways, chosen, largest, largest_kw, far, assumed))
    seen = seen_by_eye(house)
    stop = stop_of(house, seen)
    thin = thin_wires(house, circuit)
    if thin is not None:
        sentence = thin_sentence(sentence, verdict, thin)
        verdict = DOES_NOT_FIT if verdict == FITS else verdict
    sentence = f"{stop.sentence} {sentence}" if stop else sentence
    ways = tuple(with_stop(with_other_wires(way, thin), stop) for way in ways)
    chosen = None if chosen is None else with_stop(with_other_wires(chosen, thin), stop)
    load = behind_chosen_main(house, load, chosen.new_main_a if chosen else None)
    _, source_figures = existing_sources(house.electrical.all_sources)
    checks = _with_cautions(path, cautions(house, circuit))
    conductors, strings = conductor_checks(house, circuit), string_plans(house)
    space = working_space_checks(house)
    utility = utility_review(house, house.array.inverter_kw, year_kwh)
    figures = (circuit.current, circuit.device, *circuit.each, *circuit.branches, *own.figures, *source_figures, *_margins(own.checks),
               *_margins(checks), largest, largest_kw, *more, *(load.figures if load else ()),
               *_margins(load.planned if load else ()), *_margins(conductors), *_of_strings(strings), *_margins(space),
               *_margins(utility.checks), *_of_ways(ways))
    panel = house.electrical.chain[0]
    return Connection(
        judged=True, verdict=verdict, sentence=sentence, edition=house.electrical.edition, busbar_a=panel.busbar_a,
        main_breaker_a=device_of(panel), source_current=circuit.current, source_device=circuit.device, largest_inverter=largest,
        largest_inverter_kw=largest_kw, sources=path.panels[0].sources, checks=checks,
        findings=(*findings(house), *_stops(seen)), figures=tuple(f for f in figures if f.value is not None), ways=ways,
        not_checked=not_checked(house.electrical.edition, number_of_inverters(house)), panels=path.panels, chosen=chosen, circuit_checks=own.checks, load=load,
        conductors=conductors, strings=strings, safety=expected_equipment(house), working_space=space, seen=seen, utility=utility,
        permissions=permissions(house), stop=stop.sentence if stop else "",
        other_wires=thin.remedy if thin else "",
        photos=in_order(path.photos, chain_asks(house), space_ask(house, ways), chosen.photos if chosen else (), *_of_fitting(ways),
                        (m.ask for m in load.methods) if load else (), own.photos, conductor_photos(house, circuit),
                        (p for s in strings for p in s.photos), label_asks(house)))


def _not_judged(house: House, reason: Outside, year_kwh: float | None) -> Connection:
    """No clause and no sum: the reason, what was seen by eye, the utility's steps and who else must agree."""
    nothing = {key: Figure(f"interconnection.{key}", label, None, unit) for key, label, unit in (
        ("source_current_a", "Output current of the new inverters", "A"),
        ("source_device_a", "Breaker for the new source", "A"),
        ("largest_inverter_a", LARGEST, "A"), ("largest_inverter_kw", LARGEST, "kW"))}
    panel, seen = house.electrical.chain[0], tuple(s for s in seen_by_eye(house) if not s.verdict)
    utility = replace(utility_review(house, house.array.inverter_kw, year_kwh), checks=())
    labels = () if not reason.asks else tuple(
        text.format(p.name) for p in house.electrical.chain
        for value, text in ((p.busbar_a, LABEL_PHOTO), (device_of(p), MAIN_PHOTO)) if value is None)
    return Connection(
        judged=False, verdict=CANNOT_SAY, sentence=reason.reason, edition=None, busbar_a=panel.busbar_a,
        main_breaker_a=device_of(panel), source_current=nothing["source_current_a"], source_device=nothing["source_device_a"],
        largest_inverter=nothing["largest_inverter_a"], largest_inverter_kw=nothing["largest_inverter_kw"], sources=(), checks=(),
        findings=_stops(seen), figures=(), seen=seen, utility=utility, permissions=permissions(house),
        photos=in_order(reason.asks, labels))


def _largest(house: House, path: PathFound, tail: str, words: str) -> tuple[Figure, Figure]:
    """Largest new inverters that every busbar and feeder lets through: output current [A] and power [kW]."""
    amperes, power = f"interconnection.largest_inverter{tail}_a", f"interconnection.largest_inverter{tail}_kw"
    if path.largest_a is None or panels_below_main(house):
        return Figure(amperes, words, None, "A"), Figure(power, words, None, "kW")
    volts, check = house.electrical.service_v or 240, path.caps.check
    sources = (f"{check.name}: {check.clause}",)
    kilowatts = path.largest_a * volts / 1000.0
    return (Figure(amperes, words, path.largest_a, "A", formula=path.caps.formula or check.sentence, sources=sources),
            Figure(power, words, kilowatts, "kW",
                   formula=f"{amps(path.largest_a)} × {volts} V / 1000 = {show(kilowatts, 'kW', 2)}", sources=sources))


def _at_far_end(house: House, new_a: float | None, assumed: Collection[str]) -> PathFound | None:
    """The same path with the solar breaker moved to the far end; None where it is there or its place is not known."""
    if house.electrical.chain[0].source_position not in ("beside the main", "both ends"):
        return None
    return check_path(house.replaced(position_path(house), "far end"), new_a, None, assumed)


def _with_cautions(path: PathFound, more: tuple[str, ...]) -> tuple[Check, ...]:
    """Every rule and feeder of the path, with the numbers to read once more under each."""
    return tuple(replace(check, conditions=(*check.conditions, *more)) if more else check for check in path.every_rule)


def _stops(seen: tuple[Seen, ...]) -> tuple[str, ...]:
    return tuple(f"{s.what[0].upper()}{s.what[1:]}: {s.consequence}" for s in seen if s.stops)


def _margins(checks: Iterable[Check]) -> tuple[Figure, ...]:
    return tuple(check.margin_a for check in checks if check.margin_a is not None)


def _of_strings(plans: tuple[StringPlan, ...]) -> tuple[Figure, ...]:
    return tuple(figure for plan in plans for figure in plan.figures)


def _of_ways(ways: tuple[Way, ...]) -> tuple[Figure, ...]:
    """Margins and largest sizes of the ways, each under the way's own key."""
    found = [f for way in ways for f in (way.margin, way.largest_a, way.largest_kw, way.largest_modules) if f is not None]
    return tuple(found)


def _of_fitting(ways: tuple[Way, ...]) -> Iterable[tuple[str, ...]]:
    """What to find out for the ways: those that fit by arithmetic first."""
    return tuple(w.photos for w in sorted(ways, key=lambda w: (w.verdict != FITS, w.key == "power_control")))
