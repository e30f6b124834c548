"""The service load of an existing dwelling to which loads are added: heating and cooling in the split or beside it."""

from __future__ import annotations

from dataclasses import dataclass

from reportgen.describe.demand import Demand, PlannedLoad
from reportgen.describe.models import House
from reportgen.interconnection.code_tables import cite, factor
from reportgen.interconnection.load_general import (
    ASK_FLOOR,
    LIST_MORE,
    UNFINISHED,
    added_va,
    added_words,
    amps_words,
    car_charger_cautions,
    figures_of,
    general_loads,
    split,
    split_step,
    va,
)
from reportgen.interconnection.result import LoadMethod

NAME = "Existing dwelling calculation"
HEATS = ("heat pump", "electric heat")
COOLS = ("heat pump", "cooling")


@dataclass(frozen=True)
class ExistingLoad:
    """The total with some loads added, and how it came about."""

    va: float
    rule: str                    # key of the clause: the part with or without added heating or cooling
    steps: tuple[str, ...]
    sum_words: str
    cautions: tuple[str, ...]


def existing_method(house: House, one_dwelling: bool) -> LoadMethod:
    """NEC 220.83(A) for the loads that are there today. Needs an edition that is tabulated and a `demand`."""
    electrical, demand = house.electrical, house.electrical.demand
    clause = cite("load_existing", electrical.edition)
    why_not, ask = why_not_existing(demand, one_dwelling)
    if why_not not in ("", UNFINISHED):
        return LoadMethod("existing", NAME, clause, False, why_not, None, None, (), (), ask)
    found = existing_load(demand, electrical.edition)
    figures = figures_of("existing", "existing dwelling calculation", found.va, found.sum_words, electrical.service_v,
                         cite(found.rule, electrical.edition), not demand.appliances_complete)
    cautions = found.cautions + (car_charger_cautions(electrical.edition) if demand.car_charger_va else ())
    return LoadMethod("existing", NAME, clause, not why_not, why_not, *figures,
                      (*found.steps, f"In amperes: {amps_words(found.va, electrical.service_v)}."), cautions, ask)


def why_not_existing(demand: Demand, one_dwelling: bool) -> tuple[str, str]:
    """Why the section doesn't hold here, and what to find out; both empty where it does."""
    if not one_dwelling:
        return ("This calculation is for a service that feeds one dwelling.",
                "An electrician calculates the load of a service that feeds more than one dwelling.")
    if demand.floor_ft2 is None:
        return "The floor area is not known.", ASK_FLOOR
    if not demand.appliances_complete:
        return UNFINISHED, LIST_MORE
    return "", ""


def existing_load(demand: Demand, edition: int, added: tuple[PlannedLoad, ...] = ()) -> ExistingLoad:
    """What is there plus `added` [VA]. Heating or cooling among `added` puts all of it outside the split."""
    general = general_loads(demand, edition)
    plain = [load for load in added if load.kind not in HEATS + COOLS]
    others = general.va + sum(added_va(load, edition) for load in plain)
    steps = [*general.steps, *(f"Added, {load.name}: {added_words(load, edition)}." for load in plain)]
    cooling = _sum(demand.cooling_va, demand.heat_pump_va, *(p.rating_va for p in added if p.kind in COOLS))
    heating = _sum(demand.heat_pump_va, demand.strips_va, demand.electric_heat_va, demand.storage_heat_va,
                   *(p.rating_va for p in added if p.kind in HEATS))
    climate = max(cooling, heating)
    if climate:
        steps.append(f"Cooling {va(cooling)}, heating {va(heating)}: the larger counts, {va(climate)}"
                     + _with_added(added) + ".")
    first, rest = factor("load_existing_first_va"), factor("load_existing_rest")
    if any(load.kind in HEATS + COOLS for load in added):
        outside = factor("load_added_heat") * climate
        counted = split(others, first, rest)
        steps.append(split_step(others, first, rest, f"All other loads ({cite('load_added_heat', edition)})"))
        words = f"{va(counted)} + {va(outside)} = {va(counted + outside)}"
        steps.append(f"Heating or cooling is added, so the larger counts in full beside the rest: {words}.")
        doubt = (f"That heating and cooling count in full beside the rest ({cite('load_added_heat', edition)}) was "
                 "read in one public source only.")
        return ExistingLoad(counted + outside, "load_added_heat", tuple(steps), words, (doubt,))
    total = others + climate
    if climate:
        steps.append(f"With heating or cooling: {va(others)} + {va(climate)} = {va(total)}.")
    counted = split(total, first, rest)
    steps.append(split_step(total, first, rest, f"All loads ({cite('load_existing_same', edition)})"))
    words = (f"{va(first)} + {rest:g} × {va(total - first)} = {va(counted)}" if total > first
             else f"{va(total)}, all of it in full")
    argued = ("Whether heating and cooling that are already there count is argued where none is added "
              f"({cite('load_existing_same', edition)}). Here they are counted.")
    return ExistingLoad(counted, "load_existing_same", tuple(steps), words, (argued,) if climate else ())


def _with_added(added: tuple[PlannedLoad, ...]) -> str:
    new = [f"{load.name}, {va(load.rating_va)}" for load in added if load.kind in HEATS + COOLS]
    return f" (with what is added: {'; '.join(new)})" if new else ""


def _sum(*parts: float | None) -> float:
    return float(sum(part for part in parts if part is not None))
