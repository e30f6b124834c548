"""What is uncertain moved all together, at points that fill the ranges evenly and without chance."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from reportgen.bills.plans import HORIZON_YEARS, HousePlans
from reportgen.bills.use import SELF_USE_REACH
from reportgen.describe.assumptions import Assumption
from reportgen.describe.models import House
from reportgen.figures import Figure, show, show_input, show_number
from reportgen.payback.cases import CaseInputs, case_bills, cash_columns
from reportgen.payback.choices_result import JointInput, JointRange
from reportgen.payback.points import even_points, normal, triangular
from reportgen.payback.present_value import paid_back_in, present_value_factor
from reportgen.production.result import Production
from reportgen.production.spread import Z_NINE_IN_TEN
from reportgen.what_if import REACH_PRICE, REACH_USE, WhatIf

POINTS = 256
RULE_CHANGES_AT_SHARE = 0.25     # of the points; nobody knows the chance; our number, no source
UPKEEP = "money.upkeep_per_kw_year"
METHOD = (f"{POINTS} points that fill the ranges evenly and are the same each time (Halton's sequence of 1960), no chance in "
          "them. Each point is one whole run of bills and cash; no two inputs are tied to one another.")
RANGE_IS = "one point in ten lies below the low end, one in ten above the high end"


def joint_range(house: House, production: Production, plans: HousePlans, cases: Sequence[CaseInputs],
                assumptions: Sequence[Assumption], rule: WhatIf | None, plans_if: HousePlans | None) -> JointRange:
    """Net present value and payback over all points.

    cases: unfavourable, middle, favourable, as `cases.three_cases` makes them. rule, plans_if: the utility's other rule for
    what is sent out and the plans counted under it; None where there is none to fear.
    """
    worst, middle, best = cases
    points = even_points(POINTS, 7)
    sigma = _sigma(production)
    prices = sorted(price_reach(house, cases))
    upkeep = next((a for a in assumptions if a.path == UPKEEP), None)
    ends = None if upkeep is None else sorted((upkeep.low, upkeep.high))
    output = normal(points[:, 1], sigma)
    growth = triangular(points[:, 2], worst.growth_percent, middle.growth_percent, best.growth_percent)
    price = triangular(points[:, 3], prices[0], middle.price, prices[1])
    connecting = triangular(points[:, 3], best.connecting, middle.connecting, worst.connecting)
    use = triangular(points[:, 4], 1 - REACH_USE, 1.0, 1 + REACH_USE)
    turned = points[:, 0] < (RULE_CHANGES_AT_SHARE if plans_if is not None else 0.0)
    costs = None if ends is None else triangular(points[:, 5], ends[0], upkeep.value, ends[1])
    shift = triangular(points[:, 6], -SELF_USE_REACH, 0.0, SELF_USE_REACH)

    flows = np.empty((POINTS, HORIZON_YEARS + 1))
    for i in range(POINTS):
        counted = plans_if if turned[i] else plans
        case = replace(middle, output_share=float(output[i]), growth_percent=float(growth[i]), price=float(price[i]),
                       connecting=float(connecting[i]), use_factor=float(use[i]),
                       used_at_once_shift=float(shift[i]) if counted.hours_matter else 0.0)
        kept = house if costs is None else house.replaced(UPKEEP, float(costs[i]))
        flows[i] = cash_columns(kept, case, case_bills(kept, counted, case)).flows
    inputs = _inputs(house, cases, prices, upkeep, rule if plans_if is not None else None, plans.hours_matter or (
        plans_if is not None and plans_if.hours_matter), sigma)
    return _found(house, flows, inputs, () if upkeep is not None else ("upkeep, as written in the house file",))


def price_reach(house: House, cases: Sequence[CaseInputs]) -> tuple[float, float]:
    """(Low, high) price of the system: the assumed price's own reach, else a tenth either way of the written one."""
    prices = [case.price for case in cases]
    if min(prices) < max(prices):
        return min(prices), max(prices)
    return (1 - REACH_PRICE) * prices[1], (1 + REACH_PRICE) * prices[1]


def _sigma(production: Production) -> float:
    """Standard deviation of the mean of 25 years, as a share, from what nine and what one in ten exceed."""
    mean = production.mean_of_25
    if mean.low is None or mean.high is None or not mean.value:
        return 0.0
    return (mean.high - mean.low) / (2.0 * Z_NINE_IN_TEN * mean.value)


def _inputs(house: House, cases: Sequence[CaseInputs], prices, upkeep: Assumption | None, rule: WhatIf | None,
            hours_matter: bool, sigma: float) -> tuple[JointInput, ...]:
    worst, middle, best = cases
    code, three = house.money.currency, "the middle one likeliest"
    reach, kwh = Z_NINE_IN_TEN * sigma, middle.year_kwh
    made = [JointInput("output of the first year, and of all after it", show(max(0.0, 1 - reach) * kwh, "kWh"), show(kwh, "kWh"),
                       show((1 + reach) * kwh, "kWh"), "normal; nine in ten lie above the low, one in ten above the high"),
            JointInput("growth of the electricity price a year", *(show_input(g, "%") for g in (
                worst.growth_percent, middle.growth_percent, best.growth_percent)), three),
            JointInput("price of the system", show(prices[0], code), show(middle.price, code), show(prices[1], code), three)]
    if best.connecting < worst.connecting:
        made.append(JointInput("price to connect it, moved as the price of the system", *(show(c.connecting, code) for c in (
            best, middle, worst)), three))
    made.append(JointInput("use of electricity", f"{100 * REACH_USE:g} % less", "as stated, coming changes with it", f"{100 * REACH_USE:g} % more", three))
    if rule is not None:
        made.append(JointInput("the utility's rule for what is sent out", rule.texts[1], rule.texts[0], rule.texts[2],
                               f"the other rule at {RULE_CHANGES_AT_SHARE:.0%} of the points".replace("%", " %")
                               + ", from the first year; nobody knows the chance: our number, no source"))
    if upkeep is not None:
        made.append(JointInput("upkeep per kW and year", *(show_input(v, upkeep.unit) for v in (
            min(upkeep.low, upkeep.high), upkeep.value, max(upkeep.low, upkeep.high))), three))
    if hours_matter:
        points = f"{100 * SELF_USE_REACH:g} points"
        made.append(JointInput("share of the sun used at once", f"{points} less", "as modelled", f"{points} more", three))
    return tuple(made)


def _found(house: House, flows: np.ndarray, inputs: tuple[JointInput, ...], fixed: tuple[str, ...]) -> JointRange:
    code, count = house.money.currency, len(flows)
    factors = present_value_factor(house.money.discount_percent / 100.0, np.arange(flows.shape[1]))
    worths = flows @ factors
    low, middle, high = np.percentile(worths, [10, 50, 90])
    back = [paid_back_in(row) for row in np.cumsum(flows, axis=1)]
    fast, usual, slow = np.percentile([np.inf if year is None else year for year in back], [10, 50, 90], method="inverted_cdf")
    above = int(np.count_nonzero(worths > 0))
    in_ten = round(10.0 * above / count)
    sentence = (f"At all {count} points it ends above zero." if above == count else f"At none of {count} points does it end above zero."
                if above == 0 else f"{_tenths(in_ten)} of these {count} points end above zero.")
    sources = (METHOD, *(f"{one.name}: {one.spread_is}" for one in inputs))
    said = "moved together: " + ", ".join(one.name for one in inputs)
    years = [None if np.isinf(year) else float(year) for year in (fast, usual, slow)]
    return JointRange(
        count, METHOD, inputs, (*fixed, "ageing of the modules, interest, inflation and what a new inverter costs"),
        Figure("payback.joint_npv", f"Worth in today's money over {HORIZON_YEARS} years, all moved together", float(middle), code,
               float(low), float(high), f"the middle of {count} points; {said}", sources, RANGE_IS),
        Figure("payback.joint_payback", "Paid back in, all moved together", years[1], "years", years[0], years[2],
               f"first year from which the sum of net cash is never negative again, the middle of {count} points", sources, RANGE_IS),
        Figure("payback.joint_share_above_zero", "Share of the points that end above zero", 100.0 * above / count, "%",
               formula=f"{above} of {count} points = {show_number(100.0 * above / count, 1)} %; a share of points, not a forecast",
               sources=sources),
        sentence, tuple(float(v) for v in np.sort(worths)))


def _tenths(in_ten: int) -> str:
    return {0: "Fewer than 1 in 10", 10: "More than 9 in 10"}.get(in_ten, f"About {in_ten} in 10")
