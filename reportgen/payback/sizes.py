"""Doing half, and other sizes: the same chain for fewer or more modules at the same price per watt."""

from __future__ import annotations

from collections.abc import Callable, Sequence

import numpy as np

from reportgen.bills.plans import HousePlans
from reportgen.describe.models import House
from reportgen.figures import Figure, show
from reportgen.interconnection.result import Way
from reportgen.payback.cases import NO_EXTRA, case_bills, cash_columns, three_cases
from reportgen.payback.choices_result import SizeRung
from reportgen.payback.present_value import paid_back_in, present_value
from reportgen.production.result import Production
from reportgen.sizing import dc_kw, module_total, most_modules, resized, size

FOLLOWERS = ("array.inverter_kw", "money.inverter_replacement", "money.upkeep_per_kw_year")
SHARES = ((0.5, "about half as many modules"), (0.75, "about three quarters"))
RANGE_IS = "unfavourable and favourable case, moved together as for the house's own size"
NOTE = ("Every size at the same price per watt, which a seller may not grant: permit, travel and scaffold cost the same for a small array, "
        "so ask for the price of each size.")


def size_ladder(house: House, production: Production, assumed: frozenset[str], follows: Sequence[str],
                run: Callable[[House], tuple[Production, HousePlans, Way | None]]) -> tuple[tuple[SizeRung, ...], tuple[str, ...]]:
    """(Three or four sizes, smallest first; notes). follows: paths that were assumed from the size and follow it again.

    run(house): the chain's production, counted bills and way to connect of a house of that size.
    """
    own = module_total(house)
    wanted = {max(1, round(own * share)): name for share, name in SHARES}
    covers = _covering(house, production)
    if covers is not None and covers != own:
        wanted[covers] = "covers the year's use"
    wanted[own] = "this house's size"
    rungs = []
    for count in sorted(wanted):
        sized = house if count == own else _of_size(house, count, follows)
        rungs.append(_rung(sized, wanted[count], count, count == own, assumed, *run(sized)))
    notes = [NOTE]
    if covers is None:
        notes.append("The size that covers the year's use has no place on this roof as drawn.")
    elif covers == own:
        notes.append("This house's size is the one that covers the year's use.")
    notes.append("The inverters stay as written; a smaller array may do with fewer or smaller ones." if house.array.inverters else
                 "The inverter, and the price of a new one, are taken in proportion to the modules.")
    return tuple(rungs), tuple(notes)


def _covering(house: House, production: Production) -> int | None:
    """Modules whose output of the first year is the year's use; None where the roof does not hold them."""
    own = module_total(house)
    if not production.year.value:
        return None
    count = max(1, int(np.ceil(house.use.year_kwh / production.year.value * own - 1e-9)))
    most = most_modules(house)
    return None if most is not None and count > max(most, own) else count


def _of_size(house: House, count: int, follows: Sequence[str]) -> House:
    """The house with `count` modules; price by the watt, what was assumed from the size assumed anew."""
    ratio = count / module_total(house)
    changed = house if house.array.array_kw is None else house.replaced("array.array_kw", house.array.array_kw * ratio)
    if any(face.module_count for face in house.roof):
        changed = resized(changed, count)
    if house.array.module_count is not None:
        changed = changed.replaced("array.module_count", count)
    scaled = [("money.installed_price", house.money.installed_price)]
    if not house.array.inverters:
        scaled += [("array.inverter_kw", house.array.inverter_kw), ("array.inverter_a", house.array.inverter_a),
                   ("money.inverter_replacement", house.money.inverter_replacement)]
    for path, value in scaled:
        if value is not None:
            changed = changed.replaced(path, value * ratio)
    for path in FOLLOWERS:
        if path in follows:
            changed = changed.replaced(path, None)
    return size(changed, lambda _house, _face: 0.0).house


def _rung(house: House, name: str, count: int, is_own: bool, assumed: frozenset[str], production: Production, plans: HousePlans,
          way: Way | None) -> SizeRung:
    code, discount = house.money.currency, house.money.discount_percent / 100.0
    extra = way.price if way is not None and way.price is not None else NO_EXTRA
    cases = three_cases(house, production, plans, assumed, extra)
    flows = [cash_columns(house, case, case_bills(house, plans, case)).flows for case in cases]
    worths = [present_value(each, discount) for each in flows]
    back = [None if (year := paid_back_in(np.cumsum(each))) is None else float(year) for each in flows]
    power = dc_kw(house)
    prices = sorted(case.price + case.connecting for case in cases)
    ends = (prices[0], prices[-1]) if prices[0] < prices[-1] else (None, None)

    def figure(what, label, value, unit, low, high, formula, range_is=RANGE_IS):
        return Figure(f"payback.size_{count}_{what}", f"{name}: {label}", value, unit, low, high, formula, ("the same chain",), range_is)
    kept_to = "" if way is None or way.changes_nothing else way.change
    return SizeRung(
        name, count, is_own,
        figure("kw", "rated power", power, "kW", None, None, f"{count} modules", ""),
        figure("kwh", "output of the first year", production.year.value, "kWh", production.year.low, production.year.high,
               production.year.formula, production.year.range_is),
        figure("price", "price of the finished system", cases[1].price + cases[1].connecting, code, *ends,
               f"{show(cases[1].price / (1000.0 * power), code + '/W')} × {show(power, 'kW')}"
               + (f" + {show(cases[1].connecting, code, 0)} to connect" if cases[1].connecting else ""), RANGE_IS if ends[0] is not None else ""),
        figure("npv", "worth in today's money", worths[1], code, worths[0], worths[2], "sum of net cash marked down"),
        figure("payback", "paid back in", back[1], "years", back[2], back[0], "first year from which the sum of net cash is never negative again"),
        kept_to)
