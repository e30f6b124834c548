"""What follows from the roof's sun and the array's size where the house file leaves it open: modules, inverter, upkeep.

These can't stand in tables/assumptions.yaml, since they depend on the place's sun or on the price. Each is an
Assumption all the same, and `resized` runs the house with another number of modules.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from math import ceil, floor

from reportgen.describe.assumptions import Assumption
from reportgen.describe.models import House
from reportgen.production.layout.roof import fitting_counts, rooms_of

DC_TO_AC = 1.2            # common practice, no source
DC_TO_AC_RANGE = (1.35, 1.0)
REPLACEMENT_SHARE = (0.10, 0.05, 0.15)    # of the installed price; common practice, no source
UPKEEP_SHARE = (0.010, 0.005, 0.015)      # of the installed price a year, outside the US; common practice, no source
SEEN_ON = "2026-11-24"
NO_SOURCE = "common practice, no source"


@dataclass(frozen=True)
class Sized:
    house: House
    assumptions: tuple[Assumption, ...]


def size(house: House, yield_per_module: Callable[[House, int], float]) -> Sized:
    """Fill the array's size, the inverter's, and the prices that follow from them.

    yield_per_module(house, face index): kWh a year from one module on that face.
    """
    made: list[Assumption] = []
    if _size_is_open(house):
        house, assumption = _cover_the_use(house, yield_per_module)
        made.append(assumption)
    elif house.array.module_count is not None and all(face.module_count is None for face in house.roof):
        house = _shared_by_room(house)
    house, more = _what_follows(house)
    return Sized(house, tuple(made) + more)


def dc_kw(house: House) -> float:
    """Rated power of the array [kW DC]: as written, else modules times the power of one."""
    if house.array.array_kw is not None:
        return house.array.array_kw
    return module_total(house) * house.array.module_w / 1000.0


def module_total(house: House) -> int:
    """Modules in all; at least one where only the power is written."""
    counts = [face.module_count for face in house.roof]
    if any(count is not None for count in counts):
        return sum(count or 0 for count in counts)
    if house.array.module_count is not None:
        return house.array.module_count
    return max(1, round(house.array.array_kw * 1000.0 / house.array.module_w))


def installed_price(house: House) -> float:
    """What the finished system costs [currency]."""
    if house.money.installed_price is not None:
        return house.money.installed_price
    return house.money.price_per_w * dc_kw(house) * 1000.0


def with_inverter_totals(house: House) -> House:
    """`array.inverter_kw` and `inverter_a` summed from the inverters, or from one unit times the modules.

    Unchanged where one inverter is written, or where the number of units is not known yet. A current that one of
    several data sheets leaves out is power divided by voltage.
    """
    array, volts = house.array, house.electrical.service_v or 240
    power_kw = current_a = None
    if array.inverters:
        power_kw = sum(i.limit_kw * i.count for i in array.inverters)
        if any(i.output_a is not None for i in array.inverters):
            current_a = sum(i.count * (i.limit_kw * 1000.0 / volts if i.output_a is None else i.output_a)
                            for i in array.inverters)
    elif (array.unit_limit_w or array.unit_output_a) and not (_size_is_open(house) or array.module_w is None):
        units = module_total(house)
        power_kw = array.unit_limit_w * units / 1000.0 if array.unit_limit_w is not None else None
        current_a = array.unit_output_a * units if array.unit_output_a is not None else None
    for path, value in (("array.inverter_kw", power_kw), ("array.inverter_a", current_a)):
        if value is not None:
            house = house.replaced(path, value)
    return house


def with_one_module(house: House, face: int) -> House:
    """One module on this face alone, behind an inverter that never limits it."""
    for i in range(len(house.roof)):
        house = house.replaced(f"roof.{i}.module_count", 1 if i == face else 0)
    for path in ("array.inverters", "array.unit_limit_w", "array.unit_output_a"):
        house = house.replaced(path, None)
    return house.replaced("array.inverter_kw", house.array.module_w / 1000.0)


def _size_is_open(house: House) -> bool:
    return (house.array.array_kw is None and house.array.module_count is None
            and all(face.module_count is None for face in house.roof))


def _cover_the_use(house: House, yield_per_module) -> tuple[House, Assumption]:
    """As many modules as cover the year's use, the sunniest face first, never more than a face holds."""
    yields = [yield_per_module(house, i) for i in range(len(house.roof))]
    order = sorted(range(len(yields)), key=lambda i: (-yields[i], i))

    def fill(rooms):
        counts, missing_kwh = [0] * len(yields), house.use.year_kwh
        for i in order:
            if missing_kwh <= 0 or yields[i] <= 0:
                break
            wanted = ceil(missing_kwh / yields[i] - 1e-9)
            counts[i] = wanted if rooms[i] is None else min(wanted, rooms[i])
            missing_kwh -= counts[i] * yields[i]
        return counts

    counts = list(fitting_counts(house, fill, last=order[::-1])[0])
    most = most_modules(house)
    if sum(counts) == 0:
        counts[order[0]] = 1
    for i, count in enumerate(counts):
        house = house.replaced(f"roof.{i}.module_count", count)
    total = sum(counts)
    capped = " as far as the faces hold them" if most is not None and total >= most else ""
    most = 10 ** 6 if most is None else most
    return house, Assumption(
        "array.module_count", tuple(f"roof.{i}.module_count" for i in range(len(counts))),
        "Number of modules", total, max(1, round(total * 0.75)), max(1, min(most, round(total * 1.25))), "modules",
        f"as many {house.array.module_w:g} W modules as cover a year's use of {house.use.year_kwh:,.0f} kWh{capped}, "
        "the sunniest face first; edges, things on the roof and ways for the fire service kept clear as drawn where a face's size "
        "is known", SEEN_ON,
        "Take the faces' sizes from plans or pace them out on the ground, and ask each seller for a drawing.")


def most_modules(house: House) -> int | None:
    """Modules that all faces hold together; None where a face's size is missing."""
    if any(face.corners is None for face in house.roof):
        return None
    return sum(fitting_counts(house, lambda rooms: rooms)[0])


def _shared_by_room(house: House) -> House:
    """The written number of modules put on the faces as these have room; unchanged where that is not known or too small."""
    total, rooms = house.array.module_count, rooms_of(house)
    room = next((r for r in (rooms.wide, rooms.narrow) if None not in r and sum(r) >= total), None)
    return house if room is None else _with_shares(house, [n * total / sum(room) for n in room], total)


def resized(house: House, total: int) -> House:
    """The same array with `total` modules, shared over the faces as before."""
    now = module_total(house)
    return _with_shares(house, [(face.module_count or 0) * total / now for face in house.roof], total)


def _with_shares(house: House, shares: list[float], total: int) -> House:
    """Whole modules by face, by largest remainder."""
    counts = [floor(share) for share in shares]
    for i in sorted(range(len(shares)), key=lambda i: (counts[i] - shares[i], i))[: total - sum(counts)]:
        counts[i] += 1
    for i, count in enumerate(counts):
        house = house.replaced(f"roof.{i}.module_count", count)
    return house


def _what_follows(house: House) -> tuple[House, tuple[Assumption, ...]]:
    made = []

    def fill(path, label, values, unit, source, ask):
        nonlocal house
        middle, low, high = values
        house = house.replaced(path, middle)
        made.append(Assumption(path, (path,), label, middle, low, high, unit, source, SEEN_ON, ask, follows_size=True))

    house = with_inverter_totals(house)
    array = house.array
    if array.inverter_kw is None:
        if array.inverter_a is not None:
            volts = house.electrical.service_v or 240
            house = house.replaced("array.inverter_kw", array.inverter_a * volts / 1000.0)
        else:
            power = dc_kw(house)
            low, high = (round(power / ratio, 2) for ratio in DC_TO_AC_RANGE)
            fill("array.inverter_kw", "AC limit of the inverter", (round(power / DC_TO_AC, 2), low, high), "kW",
                 f"array power / {DC_TO_AC}: {NO_SOURCE}", "Read the inverter's data sheet in the offer.")
    price, currency = installed_price(house), house.money.currency
    if house.money.inverter_replacement is None:
        fill("money.inverter_replacement", "Price of a new inverter", tuple(price * s for s in REPLACEMENT_SHARE),
             currency, f"{REPLACEMENT_SHARE[0]:.0%} of the installed price: {NO_SOURCE}",
             "Ask what a replacement costs today, with labour.")
    if house.money.upkeep_per_kw_year is None:
        fill("money.upkeep_per_kw_year", "Upkeep per kW and year",
             tuple(price * s / dc_kw(house) for s in UPKEEP_SHARE), f"{currency}/kW",
             f"{UPKEEP_SHARE[0]:.0%} of the installed price a year: {NO_SOURCE}",
             "Ask what the seller's service contract costs and covers.")
    return house, tuple(made)
