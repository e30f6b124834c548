"""What the calculations of a dwelling's load share: the list of general loads, and their split into two parts."""

from __future__ import annotations

from dataclasses import dataclass

from reportgen.describe.demand import Demand, PlannedLoad
from reportgen.figures import Figure, show, show_number
from reportgen.interconnection.code_tables import cite, factor, has_clause
from reportgen.interconnection.wording import amps

LIST_MORE = ("List every fixed appliance with the volt-amperes or watts on its nameplate: range and oven, dryer, "
             "water heater, dishwasher, disposal, pumps and other fixed motors; then write appliances_complete: true. Read only "
             "nameplates in plain sight; nothing is moved or opened for it.")
UNFINISHED = "Not every fixed appliance is listed: the load so far can only be too low."
ASK_FLOOR = "Measure the floor area by the house's outside, without garage, porch and unfinished space."


@dataclass(frozen=True)
class GeneralLoads:
    """Everything but heating and cooling, before any share is taken."""

    va: float
    steps: tuple[str, ...]


def va(value: float) -> str:
    """'29,700 VA'."""
    return show(value, "VA")


def general_loads(demand: Demand, edition: int) -> GeneralLoads:
    """Floor area, circuits, appliances and a car charger by nameplate. Needs the floor area."""
    floor_va, circuit_va = factor("load_floor_va_per_ft2"), factor("load_circuit_va")
    lights = floor_va * demand.floor_ft2
    small = circuit_va * demand.small_appliance_circuits
    laundry = circuit_va * demand.laundry_circuits
    steps = [f"Lights and ordinary outlets: {show_number(demand.floor_ft2, 0)} ft² × {floor_va:g} VA = {va(lights)}.",
             f"Small-appliance circuits: {demand.small_appliance_circuits} × {va(circuit_va)} = {va(small)}.",
             f"Laundry circuits: {demand.laundry_circuits} × {va(circuit_va)} = {va(laundry)}."]
    steps += [f"{_capital(item.name)}: {va(item.rating_va)} by its nameplate." for item in demand.appliances]
    total = lights + small + laundry + sum(item.rating_va for item in demand.appliances)
    if demand.car_charger_va is not None:
        charger = car_charger_va(demand.car_charger_va, edition)
        total += charger
        steps.append(f"Car charger: {car_charger_words(demand.car_charger_va, edition)}.")
    return GeneralLoads(total, (*steps, f"General loads together: {va(total)}."))


def car_charger_va(nameplate_va: float, edition: int) -> float:
    """What a car charger counts [VA]: its nameplate, and from 2023 on never less than the section's figure."""
    return max(nameplate_va, factor("load_car_charger_va")) if has_clause("load_car_charger", edition) else nameplate_va


def car_charger_words(nameplate_va: float, edition: int) -> str:
    """'7,200 VA, the larger of 7,200 VA and its nameplate of 5,760 VA (NEC 2023, 220.57)'."""
    if not has_clause("load_car_charger", edition):
        return f"{va(nameplate_va)} by its nameplate"
    return (f"{va(car_charger_va(nameplate_va, edition))}, the larger of {va(factor('load_car_charger_va'))} and its "
            f"nameplate of {va(nameplate_va)} ({cite('load_car_charger', edition)})")


def added_va(load: PlannedLoad, edition: int) -> float:
    """What a planned load counts before any share is taken [VA]."""
    return car_charger_va(load.rating_va, edition) if load.kind == "car charger" else load.rating_va


def added_words(load: PlannedLoad, edition: int) -> str:
    """'11,200 VA by its nameplate'."""
    if load.kind == "car charger":
        return car_charger_words(load.rating_va, edition)
    return f"{va(load.rating_va)} by its nameplate"


def car_charger_cautions(edition: int) -> tuple[str, ...]:
    """The doubt that hangs on the car charger's least load."""
    if not has_clause("load_car_charger", edition):
        return ()
    doubt = (f"The {va(factor('load_car_charger_va'))} of a car charger ({cite('load_car_charger', edition)}) were "
             "read in one public source only.")
    return (doubt,)


def split(total_va: float, first_va: float, rest_share: float) -> float:
    """The first part in full, the rest at its share [VA]."""
    return min(total_va, first_va) + rest_share * max(0.0, total_va - first_va)


def split_step(total_va: float, first_va: float, rest_share: float, what: str) -> str:
    """That split with its numbers, as one line."""
    if total_va <= first_va:
        return f"{what}: no more than {va(first_va)}, so all of it counts: {va(total_va)}."
    return (f"{what}: the first {va(first_va)} in full, the rest at {show(100 * rest_share, '%')}: {va(first_va)} + "
            f"{rest_share:g} × {va(total_va - first_va)} = {va(split(total_va, first_va, rest_share))}.")


def figures_of(key: str, name: str, load_va: float, sum_words: str, volts: int, clause: str,
               so_far: bool = False) -> tuple[Figure, Figure]:
    """The load in volt-amperes and in amperes, as Figures; `so_far`: the list it rests on isn't finished."""
    tail = ", as far as it is listed" if so_far else ""
    return (Figure(f"interconnection.load_{key}_va", f"Service load, {name}{tail}", load_va, "VA", formula=sum_words,
                   sources=(clause,)),
            Figure(f"interconnection.load_{key}_a", f"Service load in amperes, {name}{tail}", load_va / volts, "A",
                   formula=amps_words(load_va, volts), sources=(clause,)))


def amps_words(load_va: float, volts: int) -> str:
    """'21,480 VA / 240 V = 89.5 A'."""
    return f"{va(load_va)} / {volts} V = {amps(load_va / volts, 1)}"


def _capital(name: str) -> str:
    return name[0].upper() + name[1:]
