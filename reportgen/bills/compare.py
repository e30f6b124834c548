"""The bill before and after the sun, at today's prices: a settled year, the first year, and how sure the saving is."""

from __future__ import annotations

import numpy as np

from reportgen.bills.bill import MonthFlows, bill_year, month_flows, settled_year
from reportgen.bills.months import month_sums
from reportgen.bills.result import Bills, YearBill
from reportgen.bills.use import HourlyUse, use_hours
from reportgen.describe.fields import MONTHS
from reportgen.describe.models import House, Tariff
from reportgen.figures import Figure, show

# Six households' hours against another household's shape: the share used at once was up to 0.060 off when the sun's
# output equalled the use and 0.070 when it was half (computed from the samples named in tables/NOTICE.load_shapes.md).
SELF_USE_REACH = 0.06
SHAPE_TEXT = ("the hours of use are modelled: the share of the sun used at once moved by 6 points either way, which is "
              "a floor, since a single home is more ragged than the shapes")


def compare_bills(house: House, production_hours_kwh: np.ndarray, utc_offset_h: float) -> Bills:
    """One year of bills without and with the sun [kWh by the hour, 8,760 values], through one bill function.

    utc_offset_h: local standard time less UTC, as in TypicalYear.
    """
    tariff, use = house.tariff, use_hours(house, utc_offset_h)
    sun = np.asarray(production_hours_kwh, dtype=float)
    before, _ = bill_year(tariff, use.hours_kwh, np.zeros_like(sun))
    flows = month_flows(use.hours_kwh, sun)
    first, after, growth = settled_year(tariff, flows)
    more, less = (flows.with_more_used_at_once(side * SELF_USE_REACH * month_sums(sun), month_sums(sun) - flows.export_kwh)
                   for side in (1, -1))
    ends = [] if tariff.export == "one-to-one" else [settled_year(tariff, end) for end in (more, less)]
    saving = _saving(house, before, after, [end[1] for end in ends])
    self_use = _self_use(sun, flows, more, less)
    stays_due = _stays_due(house)
    by_month = reset_months(tariff, flows) if tariff.reset_month is not None else {}
    reach = {} if not ends else {
        "first_year_after": [float(y.total) for y in (first, *(end[0] for end in ends))],
        "after": [float(y.total) for y in (after, *(end[1] for end in ends))],
        "import_kwh": [float(f.import_kwh.sum()) for f in (more, less)],
        "export_kwh": [float(f.export_kwh.sum()) for f in (more, less)]}
    others = _other_figures(house, use, sun, before, after, first, flows, by_month, reach)
    return Bills(use.hours_kwh, use.shape_name, use.shape_source, True, before, after, first, saving, self_use, stays_due,
                 (saving, self_use, stays_due, *others), _notes(house.money.currency, tariff, use, after, growth, by_month))


def reset_months(tariff: Tariff, flows: MonthFlows) -> dict[str, YearBill]:
    """The settled year's bill for each month in which the bank could be emptied (one-to-one alone)."""
    return {month: settled_year(tariff.model_copy(update={"reset_month": month}), flows)[1] for month in MONTHS}


def _saving(house: House, before: YearBill, after: YearBill, ends: list[YearBill]) -> Figure:
    """Settled year; `ends`: the bills with 6 points more and 6 points less of the sun used at once."""
    code, one_to_one = house.money.currency, house.tariff.export == "one-to-one"
    # The middle is among the ends, so that rounded lines never put it outside.
    savings = [float(before.total - year.total) for year in (after, *ends)]
    texts = [show(value, code, 2) for value in (float(before.total), float(after.total), savings[0])]
    return Figure("bills.saving", "Saved in a settled year, at today's prices", savings[0], f"{code}/year",
                  min(savings), max(savings), f"{texts[0]} without − {texts[1]} with the sun = {texts[2]}",
                  _sources(house.tariff),
                  "under one-to-one the hours do not matter: only each month's sums do" if one_to_one else SHAPE_TEXT)


def _self_use(sun: np.ndarray, flows: MonthFlows, more: MonthFlows, less: MonthFlows) -> Figure:
    made = float(sun.sum())

    def share(counted: MonthFlows) -> float | None:
        return None if made <= 0 else min(100.0, max(0.0, 100.0 * (1.0 - float(counted.export_kwh.sum()) / made)))
    used = made - float(flows.export_kwh.sum())
    return Figure("bills.self_use", "Share of the sun's output used at once", share(flows), "%", share(less), share(more),
                  f"{used:,.0f} kWh used in the hour it is made / {made:,.0f} kWh made" if made > 0 else "",
                  ("hour by hour, modelled use against modelled sun",), SHAPE_TEXT)


def _stays_due(house: House) -> Figure:
    code, fixed = house.money.currency, house.tariff.fixed_per_month
    return Figure("bills.stays_due", "Stays due each year, whatever the sun does", 12 * fixed, f"{code}/year",
                  formula=f"12 × {show(fixed, code, 2)} = {show(12 * fixed, code, 2)}", sources=_sources(house.tariff))


def _other_figures(house: House, use: HourlyUse, sun: np.ndarray, before: YearBill, after: YearBill, first: YearBill,
                   flows: MonthFlows, by_month: dict[str, YearBill], reach: dict[str, list[float]]) -> list[Figure]:
    """reach: by key, values of which the least and the greatest are the range; absent where the hours do not matter."""
    code, sources = house.money.currency, _sources(house.tariff)

    def ends(key):
        return {"low": min(reach[key]), "high": max(reach[key]), "range_is": SHAPE_TEXT} if key in reach else {}

    made = [Figure(f"bills.{key}", label, float(year.total), f"{code}/year", formula=_sum_text(year, code), sources=sources,
                   **ends(key))
            for key, label, year in (("before", "A year's bill without the sun", before),
                                     ("after", "A settled year's bill with the sun", after),
                                     ("first_year_after", "The first year's bill with the sun", first))]
    hourly = ("hour by hour, modelled use against modelled sun",)
    for key, label, kwh, text in (
            ("use_kwh", "Used in a year", use.hours_kwh.sum(), "sum of twelve months"),
            ("import_kwh", "Taken from the grid in a year", flows.import_kwh.sum(), "use above sun, hour by hour"),
            ("export_kwh", "Sent to the grid in a year", flows.export_kwh.sum(), "sun above use, hour by hour")):
        made.append(Figure(f"bills.{key}", label, float(kwh), "kWh", formula=f"{text} = {kwh:,.0f} kWh",
                           sources=("the house file",) if key == "use_kwh" else hourly, **ends(key)))
    if by_month:
        best = _best(by_month)
        made.append(Figure(
            "bills.best_reset_month", f"A settled year's bill if the bank were emptied at the end of {best}",
            float(by_month[best].total), f"{code}/year",
            min(float(y.total) for y in by_month.values()), max(float(y.total) for y in by_month.values()),
            "; ".join(f"{month} {show(float(year.total), code, 2)}" for month, year in by_month.items()), sources,
            "the best and the worst of the twelve months"))
    return made


def _sum_text(year: YearBill, code: str) -> str:
    return " + ".join(show(float(m.total), code, 2) for m in year.months) + f" = {show(float(year.total), code, 2)}"


def _best(by_month: dict[str, YearBill]) -> str:
    return min(by_month, key=lambda month: by_month[month].total)


def _sources(tariff: Tariff) -> tuple[str, ...]:
    where = tariff.source or "prices as written in the house file"
    return (where + (f", read on {tariff.read_on.isoformat()}" if tariff.read_on else ""),)


def _notes(code: str, tariff: Tariff, use: HourlyUse, after: YearBill, growth: float, by_month: dict[str, YearBill]) -> tuple[str, ...]:
    notes = list(use.notes)
    if tariff.export == "one-to-one":
        notes.append("Each kWh sent out cancels one kWh taken, in the same month or later from the bank. Only each "
                     "month's sums matter, so the modelled hours do not move the saving.")
        notes += _bank_notes(code, tariff, after, growth, by_month)
    else:
        notes.append("Net billing by the hour: kWh taken are charged, kWh sent out earn their own price. That credit "
                     "pays for energy, never for the fixed charge; what is left over is carried on in money. This is "
                     "common practice, no source: ask the utility what it does with credit left over.")
        if growth > 0.005:
            notes.append("Credit is left over at the end of each year and grows; nothing is counted for it.")
    notes.append("Billed kWh are rounded to a tenth, each line to the cent, half a cent upwards. Calendar months stand "
                 "for billing periods.")
    return tuple(notes)


def _bank_notes(code: str, tariff: Tariff, after: YearBill, growth: float, by_month: dict[str, YearBill]) -> list[str]:
    if tariff.reset_month is None:
        if growth > 0.05:
            return [(f"The bank grows by {growth:,.0f} kWh each year and is never used up: the array gives more than "
                     "the house uses, and nothing is counted for the rest.")]
        return []
    notes = []
    lost = sum(m.lost_kwh for m in after.months)
    if lost > 0.05:
        notes.append(f"The bank is emptied at the end of {tariff.reset_month}: {lost:,.0f} kWh are lost in a settled year.")
    best = _best(by_month)
    gain = float(by_month[tariff.reset_month].total - by_month[best].total)
    if gain >= 1:
        notes.append(f"Emptied at the end of {best} instead, a settled year's bill would be lower by {show(gain, code)}. "
                     "Ask whether the month can be chosen.")
    else:
        notes.append("No other month for emptying the bank would make a settled year's bill noticeably lower.")
    return notes
