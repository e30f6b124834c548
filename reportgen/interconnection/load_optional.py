"""The service load of one dwelling by the optional calculation: general loads in two parts, then heating or cooling."""

from __future__ import annotations

from dataclasses import dataclass

from reportgen.describe.demand import Demand, PlannedLoad
from reportgen.describe.models import House
from reportgen.figures import show
from reportgen.interconnection.code_tables import TOLERANCE_A, cite, factor
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
from reportgen.interconnection.wording import amps

NAME = "Optional calculation for a dwelling"
CLIMATE = ("heat pump", "cooling", "electric heat")


def optional_method(house: House, service_a: float | None, one_dwelling: bool) -> LoadMethod:
    """NEC 220.82, step by step. Needs an edition that is tabulated and a `demand`."""
    electrical, demand = house.electrical, house.electrical.demand
    edition, volts = electrical.edition, electrical.service_v
    clause = cite("load_optional", edition)
    why_not, ask = _why_not(demand, service_a, volts, one_dwelling)
    if why_not not in ("", UNFINISHED):
        return LoadMethod("optional", NAME, clause, False, why_not, None, None, (), (), ask)
    found = optional_load(demand, edition)
    cautions = _cautions(demand, service_a)
    if demand.car_charger_va is not None:
        cautions += car_charger_cautions(edition)
    figures = figures_of("optional", "optional calculation", found.va, found.sum_words, volts, clause,
                         so_far=not demand.appliances_complete)
    steps = (*found.steps, f"In amperes: {amps_words(found.va, volts)}.")
    return LoadMethod("optional", NAME, clause, not why_not, why_not, *figures, steps, cautions, ask)


@dataclass(frozen=True)
class OptionalLoad:
    """The total with some loads added, and how it came about."""

    va: float
    steps: tuple[str, ...]
    sum_words: str


def optional_load(demand: Demand, edition: int, added: tuple[PlannedLoad, ...] = ()) -> OptionalLoad:
    """What is there plus `added` [VA], as if the house were calculated anew: heating and cooling among `added` join their
    own kind, everything else the general loads."""
    demand = _with_added_climate(demand, added)
    general = general_loads(demand, edition)
    plain = [load for load in added if load.kind not in CLIMATE]
    general_va = general.va + sum(added_va(load, edition) for load in plain)
    first, rest = factor("load_optional_first_va"), factor("load_optional_rest")
    counted = split(general_va, first, rest)
    options = heating_and_cooling(demand)
    heat_va, heat_name, _ = max(options, default=(0.0, "none", ""), key=lambda option: option[0])
    total = f"{va(counted)} + {va(heat_va)} = {va(counted + heat_va)}"
    largest = (f"The largest of these ({cite('load_optional_heating', edition)}): {heat_name}, {va(heat_va)}."
               if options else "Heating and cooling: none written, so nothing is added.")
    steps = (*general.steps, *(f"Added, {load.name}: {added_words(load, edition)}." for load in plain),
             split_step(general_va, first, rest, f"General loads ({cite('load_optional_general', edition)})"),
             *(f"Heating and cooling, {name}: {words}." for _, name, words in options), largest, f"Together: {total}.")
    return OptionalLoad(counted + heat_va, steps, total)


def _with_added_climate(demand: Demand, added: tuple[PlannedLoad, ...]) -> Demand:
    """The demand with added heating and cooling among its own; each added electric heating has a thermostat of its own."""
    new = {}
    for key, kind in (("heat_pump_va", "heat pump"), ("cooling_va", "cooling"), ("electric_heat_va", "electric heat")):
        more = sum(load.rating_va for load in added if load.kind == kind)
        if more:
            new[key] = (getattr(demand, key) or 0.0) + more
    if "electric_heat_va" in new:
        new["electric_heat_controls"] = (demand.electric_heat_controls or 0) + sum(1 for a in added if a.kind == "electric heat")
    return demand.model_copy(update=new) if new else demand


def heating_and_cooling(demand: Demand) -> list[tuple[float, str, str]]:
    """What the section lets one choose the largest from: (VA, name, the sum in words), as far as it is there."""
    found = []
    cools = [x for x in (demand.cooling_va, demand.heat_pump_va) if x is not None]   # a heat pump cools too
    if demand.cooling_va is not None:
        load = factor("load_cooling") * sum(cools)
        words = " + ".join(va(x) for x in cools)
        found.append((load, "cooling", f"{_percent('load_cooling')} of {words} = {va(load)}"))
    if demand.heat_pump_va is not None and demand.strips_va is None:
        load = factor("load_heat_pump") * demand.heat_pump_va
        words = f"{_percent('load_heat_pump')} of {va(demand.heat_pump_va)} = {va(load)}"
        found.append((load, "heat pump without strips", words))
    if demand.strips_va is not None:
        pump, strips = factor("load_heat_pump") * (demand.heat_pump_va or 0.0), factor("load_strips") * demand.strips_va
        strip_words = f"{factor('load_strips'):g} × {va(demand.strips_va)}"
        words = f"{va(pump)} + {strip_words}" if pump else strip_words
        found.append((pump + strips, "heat pump with strips" if pump else "strips", f"{words} = {va(pump + strips)}"))
    if demand.electric_heat_va is not None:
        many = demand.electric_heat_controls >= factor("load_many_controls")
        key = "load_heat_many" if many else "load_heat_few"
        load = factor(key) * demand.electric_heat_va
        count = demand.electric_heat_controls
        words = (f"{_percent(key)} with {count} thermostat{'s' if count > 1 else ''}: {factor(key):g} × "
                 f"{va(demand.electric_heat_va)} = {va(load)}")
        found.append((load, "electric heating", words))
    if demand.storage_heat_va is not None:
        load = factor("load_storage") * demand.storage_heat_va
        words = f"{_percent('load_storage')} of {va(demand.storage_heat_va)} = {va(load)}"
        found.append((load, "storage heating", words))
    return found


def _why_not(demand: Demand, service_a: float | None, volts: int, one_dwelling: bool) -> tuple[str, str]:
    """Why the section doesn't hold here, and what to find out; both empty where it does."""
    least = factor("load_least_service_a")
    if not one_dwelling:
        return ("This calculation is for a service that feeds one dwelling.",
                "An electrician calculates the load of a service that feeds more than one dwelling.")
    if volts != 240:
        why = (f"This calculation is used here only for a 120/240 V service; this one has {volts} V. From memory, not "
               "seen in print, the section names 120/208 V too.")
        return why, "An electrician says whether this calculation may be used for the service."
    if service_a is not None and service_a < least - TOLERANCE_A:
        return f"It holds for a service of {amps(least)} or more; this one is {amps(service_a)}.", ""
    if demand.floor_ft2 is None:
        return "The floor area is not known.", ASK_FLOOR
    if not demand.appliances_complete:
        return UNFINISHED, LIST_MORE
    return "", ""


def _cautions(demand: Demand, service_a: float | None) -> tuple[str, ...]:
    found = []
    if service_a is None:
        found.append(f"It holds for a service of {amps(factor('load_least_service_a'))} or more. The rating of this "
                     "one is not known; take a photo of the handle of the main breaker nearest the meter.")
    kinds = [name for name, there in (("heat pump or strips", demand.heat_pump_va or demand.strips_va),
                                      ("electric heating of rooms", demand.electric_heat_va),
                                      ("storage heating", demand.storage_heat_va)) if there]
    if len(kinds) > 1:
        found.append(f"The house has {' and '.join(kinds)}. The section takes the largest kind; where they can run at "
                     "the same time, an electrician adds them, and the load is higher.")
    return tuple(found)


def _percent(key: str) -> str:
    return show(100 * factor(key), "%")
