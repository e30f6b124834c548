"""Loads that may be added later: does the service as it is take them, each alone and all together.

The Code lets one method be chosen. Where two apply and one says yes, the other no, the verdict is "cannot say".
"""

from __future__ import annotations

from dataclasses import dataclass

from reportgen.describe.demand import PlannedLoad
from reportgen.describe.models import House
from reportgen.figures import Figure
from reportgen.interconnection.code_tables import TOLERANCE_A, cite
from reportgen.interconnection.load_existing import existing_load
from reportgen.interconnection.load_general import (
    UNFINISHED,
    added_va,
    added_words,
    amps_words,
    car_charger_cautions,
    va,
)
from reportgen.interconnection.load_optional import optional_load
from reportgen.interconnection.result import CANNOT_SAY, DOES_NOT_FIT, FITS, Check, LoadMethod
from reportgen.interconnection.wording import amps, listed

Methods = tuple[LoadMethod, LoadMethod, LoadMethod]     # optional, existing, measured
CONDITIONS = ("Counted on top of all that is there today. If it replaces something, take that out of the house file.",
              "Its own breaker, wires and place in the panel are for an electrician to plan.")


@dataclass(frozen=True)
class _Total:
    """The load with something added, by one method."""

    name: str
    va: float
    rule: str
    words: str
    sums: str
    cautions: tuple[str, ...]


@dataclass(frozen=True)
class Service:
    """What the loads are held against."""

    a: float | None
    words: str = "the service's {}"     # with its rating put in
    key: str = "planned"                # stem of the checks' keys
    tail: str = ""                      # after the checks' names


def planned_checks(house: House, methods: Methods, service: Service) -> tuple[Check, ...]:
    """One Check for each planned load, and one for all of them where there are several; the largest method decides."""
    planned = tuple(house.electrical.demand.planned)
    checks = [_check(house, (load,), f"{service.key}_{number}", _title(load.name) + service.tail, methods, service)
              for number, load in enumerate(planned, 1)]
    if len(planned) > 1:
        checks.append(_check(house, planned, f"{service.key}_all", f"All that is planned, together{service.tail}", methods, service))
    return tuple(checks)


def _check(house: House, added: tuple[PlannedLoad, ...], key: str, name: str, methods: Methods, service: Service) -> Check:
    _, existing, measured = methods
    edition, volts = house.electrical.edition, house.electrical.service_v
    totals = _totals(house, added, methods)
    if not totals and existing.why_not == UNFINISHED:
        return _unfinished(house, added, key, name, existing, service)
    if not totals or service.a is None:
        why = ("The rating of the service is not known." if totals
               else "The load on the service is not known: " + " ".join(
                   f"{method.name}: {method.why_not}" for method in (existing, measured)))
        ask = () if totals else tuple(method.ask for method in (existing, measured) if method.ask)
        return Check(key, name, cite("load_existing", edition), CANNOT_SAY, why, None, (*CONDITIONS, *ask), "service")
    most, least = max(totals, key=lambda total: total.va), min(totals, key=lambda total: total.va)
    margin, least_margin = service.a - most.va / volts, service.a - least.va / volts
    verdict = FITS if margin >= -TOLERANCE_A else DOES_NOT_FIT
    sentence = _sentence(most, volts, service, margin)
    if least is not most:
        sentence += f" By {least.name}, which the Code allows as well: {least.sums}; {amps_words(least.va, volts)}; the larger counts here."
    if verdict == DOES_NOT_FIT and least_margin >= -TOLERANCE_A:
        verdict = CANNOT_SAY
        sentence += " The methods part here; the inspector says which of them counts."
    cautions = list(dict.fromkeys(caution for total in (most, *totals) for caution in total.cautions))
    if any(load.kind == "car charger" for load in added):
        cautions += car_charger_cautions(edition)
    clause = "; ".join(dict.fromkeys(cite(total.rule, edition) for total in (most, least)))
    left = Figure(f"interconnection.{key}_margin_a", f"Left on the service: {name}", margin, "A",
                  formula=f"{amps(service.a)} − {amps(most.va / volts, 1)} = {amps(margin, 1)}", sources=(clause,))
    return Check(key, name, clause, verdict, sentence, left, CONDITIONS, "service",
                 "(load today + what is added) / volts ≤ rating of the service", " ".join(cautions))


def _totals(house: House, added: tuple[PlannedLoad, ...], methods: Methods) -> list[_Total]:
    optional, existing, measured = methods
    electrical, found = house.electrical, []
    if optional.applies:
        load = optional_load(electrical.demand, electrical.edition, added)
        new = listed([f"{item.name} at {added_words(item, electrical.edition)}" for item in added])
        found.append(_Total("the optional calculation", load.va, "load_optional", f"With {new}: {load.sum_words}", load.sum_words,
                            optional.cautions))
    if existing.applies:
        load = existing_load(electrical.demand, electrical.edition, added)
        new = listed([f"{item.name} at {added_words(item, electrical.edition)}" for item in added])
        found.append(_Total("the existing dwelling calculation", load.va, load.rule, f"With {new}: {load.sum_words}",
                            load.sum_words, load.cautions))
    if measured.applies:
        parts = [added_va(item, electrical.edition) for item in added]
        total = measured.load_va.value + sum(parts)
        words = " + ".join(va(part) for part in (measured.load_va.value, *parts))
        found.append(_Total("the measured demand and what is added", total, "load_measured",
                            f"Measured demand with its share, and what is added: {words} = {va(total)}",
                            f"{words} = {va(total)}", measured.cautions))
    return found


def _unfinished(house: House, added: tuple[PlannedLoad, ...], key: str, name: str, existing: LoadMethod,
                service: Service) -> Check:
    """A list that isn't finished can only show that something does not fit."""
    edition, volts = house.electrical.edition, house.electrical.service_v
    load = existing_load(house.electrical.demand, edition, added)
    so_far = f"As far as the loads are listed: {load.sum_words}; {amps_words(load.va, volts)}"
    if service.a is not None and load.va / volts > service.a + TOLERANCE_A:
        sentence = (f"{so_far}, already more than {service.words.format(amps(service.a))}. A measured year may say "
                    "otherwise.")
        return Check(key, name, cite(load.rule, edition), DOES_NOT_FIT, sentence, None, CONDITIONS, "service",
                     caution=" ".join(load.cautions))
    rating = ("the rating of the service is not known" if service.a is None
              else f"the service is {amps(service.a)}")
    return Check(key, name, cite(load.rule, edition), CANNOT_SAY, f"{so_far}; {rating}. {existing.why_not}", None,
                 (*CONDITIONS, existing.ask), "service", caution=" ".join(load.cautions))


def _sentence(total: _Total, volts: int, service: Service, margin: float) -> str:
    start = f"{total.words}; {amps_words(total.va, volts)}"
    if margin >= -TOLERANCE_A:
        return f"{start}, at most {service.words.format(amps(service.a))}: {amps(max(margin, 0.0), 1)} left."
    return f"{start}, more than {service.words.format(amps(service.a))}: {amps(-margin, 1)} too much."


def _title(name: str) -> str:
    return name[0].upper() + name[1:]
