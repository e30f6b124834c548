"""What the house asks of its service by three methods, how small the main breaker may be, and what is left for later.

Power from an array is never taken off: at night or with the array off the service carries the whole load.
"""

from __future__ import annotations

from dataclasses import replace

from reportgen.describe.models import House
from reportgen.figures import Figure
from reportgen.interconnection.code_tables import cite, editions, factor, next_standard_a
from reportgen.interconnection.load_existing import existing_method
from reportgen.interconnection.load_measured import measured_method
from reportgen.interconnection.load_optional import optional_method
from reportgen.interconnection.load_planned import Service, planned_checks
from reportgen.interconnection.load_room import less_for_later, room_behind
from reportgen.interconnection.result import LoadMethod, ServiceLoad
from reportgen.interconnection.wording import amps, an, listed

NEVER_SUBTRACTED = ("What the array gives is never taken off this load. At night, or when the array stands still, the "
                    "service carries all of it.")


def service_load(house: House) -> ServiceLoad | None:
    """The service load of a completed house; None where nothing about its demand is written.

    Sources: NEC 220.82, 220.83, 220.87, 230.79(C) in the house's edition; the numbers are rows of
    tables/code_factors_load.csv. An edition that is not tabulated, or a three-phase service, gives no method at all.
    """
    electrical = house.electrical
    if electrical.demand is None:
        return None
    outside = _outside(house)
    if outside:
        return ServiceLoad((), None, None, None, (), (outside,))
    service = service_rating(house)
    one_dwelling = house.building.kind in (None, "one family")
    optional = optional_method(house, service.value, one_dwelling)
    existing = existing_method(house, one_dwelling)
    measured = measured_method(house)
    methods = (optional, existing, measured)
    load_a = _largest(methods)
    least_main_a = _least_main(house, load_a) if one_dwelling else None
    room_a = _room(service, load_a)
    figures = tuple(figure for method in methods for figure in (method.load_va, method.load_a) if figure is not None)
    figures += tuple(figure for figure in (service if service.value is not None else None, load_a, least_main_a, room_a)
                     if figure is not None)
    return ServiceLoad(methods, load_a, least_main_a, room_a, planned_checks(house, methods, Service(service.value)),
                       _cautions(house, methods, load_a, room_a, one_dwelling), figures)


def behind_chosen_main(house: House, load: ServiceLoad | None, main_a: float | None) -> ServiceLoad | None:
    """The load with what is left, and each planned load tried, behind the smaller main of the chosen way [A] as well."""
    room = room_behind(load, main_a)
    if load is None or room is None:
        return load
    main = f"{an(amps(main_a))} main breaker"
    behind = Service(main_a, "the smaller main breaker's {}", "planned_behind_main", f", behind {main}")
    said = f"The money in this report counts on {main}. {less_for_later(load, main_a)}"
    return replace(load, planned=(*load.planned, *planned_checks(house, load.methods, behind)), room_after_a=room,
                   cautions=(said, *load.cautions), figures=(*load.figures, room))


def service_rating(house: House) -> Figure:
    """Rating of the service [A]: what the house says, else the main nearest the meter; None where unknown."""
    electrical, nearest = house.electrical, house.electrical.chain[-1]
    value, source = None, "not known"
    if electrical.service_a is not None:
        value, source = electrical.service_a, "as the house file gives it"
    elif nearest.main != "split bus" and nearest.main_breaker_a is not None:
        value, source = nearest.main_breaker_a, f"the main breaker of {nearest.name}"
    elif nearest.main == "lugs" and nearest.protected_by_a is not None:
        value, source = nearest.protected_by_a, f"the breaker that protects {nearest.name}"
    formula = source if value is None else f"{amps(value)}, {source}"
    return Figure("interconnection.service_a", "Rating of the service", value, "A", formula=formula,
                  sources=("house file",))


def _outside(house: House) -> str:
    """Why nothing is calculated at all; empty where the three methods may be tried."""
    electrical = house.electrical
    if not house.place.in_us:
        return "The load on the service is not calculated: the rules used here are those of the United States."
    if electrical.edition is None:
        return "The load on the service is not calculated: the adopted edition is not known. Ask the building office."
    if electrical.edition not in editions():
        return (f"The load on the service is not calculated: the edition of {electrical.edition} is not in the "
                f"tables, which hold {listed([str(edition) for edition in editions()])}.")
    if electrical.phases == "three":
        return "The load on the service is not calculated: the rules used here are for a single-phase service."
    return ""


def _largest(methods: tuple[LoadMethod, ...]) -> Figure | None:
    applying = [method for method in methods if method.applies]
    if not applying:
        return None
    most = max(applying, key=lambda method: method.load_a.value)
    value = most.load_a.value
    if len(applying) == 1:
        formula = f"{most.name}: {amps(value, 1)}, the only method that applies here"
    else:
        loads = listed([f"{amps(m.load_a.value, 1)} ({m.name.lower()})" for m in applying])
        formula = f"the largest of {loads}: {amps(value, 1)}"
    return Figure("interconnection.load_a", "Load on the service", value, "A", formula=formula, sources=(most.clause,))


def _least_main(house: House, load_a: Figure | None) -> Figure | None:
    """Next standard rating that carries the load and is not below a one-family service's least."""
    if load_a is None:
        return None
    edition, least = house.electrical.edition, factor("load_least_service_a")
    value = next_standard_a(max(load_a.value, least), edition)
    if value is None:
        return None
    return Figure("interconnection.least_main_a", "Smallest main breaker by this load", value, "A",
                  formula=f"next standard rating at or above the larger of {amps(load_a.value, 1)} and {amps(least)}: "
                          f"{amps(value)}",
                  sources=(cite("load_service_rating", edition), cite("load_least_service", edition),
                           cite("standard_ratings", edition)))


def _room(service: Figure, load_a: Figure | None) -> Figure | None:
    if load_a is None or service.value is None:
        return None
    room = service.value - load_a.value
    return Figure("interconnection.service_room_a", "Left on the service for later loads", room, "A",
                  formula=f"{amps(service.value)} − {amps(load_a.value, 1)} = {amps(room, 1)}", sources=load_a.sources)


def _cautions(house: House, methods: tuple[LoadMethod, ...], load_a: Figure | None, room_a: Figure | None,
              one_dwelling: bool) -> tuple[str, ...]:
    edition, volts = house.electrical.edition, house.electrical.service_v
    found = [NEVER_SUBTRACTED]
    applying = [method for method in methods if method.applies]
    so_far = max((m.load_a.value for m in methods if not m.applies and m.load_a is not None), default=0.0)
    if not applying:
        found.append("No method gives a whole load, so the smallest main breaker can't be said.")
    elif len(applying) > 1:
        found.append("The Code lets one method be chosen. The largest is taken here: a main breaker that is too small "
                     "trips, and later loads need room.")
    elif applying[0].key == "existing":
        found.append("Only the calculation for loads that are added to a house applies here. An electrician says "
                     "whether it is enough for a smaller main breaker.")
    elif applying[0].key == "measured" and so_far > load_a.value:
        found.append("The measured demand stands alone here. The calculation, as far as it is listed, already gives "
                     f"{amps(so_far, 1)}; ask the inspector whether the measured demand is enough for a smaller main "
                     "breaker.")
    if load_a is not None and not one_dwelling:
        found.append("How small the main breaker of a service for more than one dwelling may be, an electrician says.")
    demand = house.electrical.demand
    climate = (demand.cooling_va, demand.heat_pump_va, demand.strips_va, demand.electric_heat_va,
               demand.storage_heat_va)
    if any(method.load_va is not None for method in methods[:2]) and not any(climate):
        found.append("No electric heating or cooling is written. If the house has any, the calculated load is higher.")
    if room_a is not None and room_a.value < 0:
        found.append("By this sum the service carries more than its rating today. An electrician looks at that first.")
    if volts == 208:
        found.append("Amperes are volt-amperes divided by 208 V. What runs at 120 V loads only one of the two hot "
                     "conductors, so one of them may carry more than this mean.")
    if room_a is not None and demand.planned:
        found.append("What is left is by the sum of today. A load that is added later may count at less than its "
                     "nameplate, so each planned load has a sum of its own.")
    found.append(f"An electrician's own load calculation decides ({cite('load_calculation', edition)}).")
    return tuple(found)
