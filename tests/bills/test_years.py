"""The bills of many years at once against the printed ones, worked out year by year, on any tariff."""

from datetime import date

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from reportgen.bills.bank import Bank
from reportgen.bills.bill import bill_flows
from reportgen.bills.calendar import bill_calendar
from reportgen.bills.flows import year_flows
from reportgen.bills.years import PriceFactors, rule_of_year, years_of_bills
from reportgen.describe.tariff import Tariff
from tests.bills.any_tariff import TWO_SEASONS, WINDOWS, array_hours, household_hours, tariffs
from tests.bills.billed import full, short
from tests.bills.hours import LOAD_KWH, SUN_KWH, in_hours, sun_hours

START = date(2027, 4, 1)
KW = (6.4, 5.0)


def _grown(tariff: Tariff, fixed: float, energy: float, export: float) -> Tariff:
    """The tariff of a later year, each price written anew."""
    def times(factor, *keys):
        def change(node):
            update = {key: factor * getattr(node, key) for key in keys if getattr(node, key, None) is not None}
            for key in ("prices", "blocks"):
                if getattr(node, key, None) is not None:
                    update[key] = [change(entry) for entry in getattr(node, key)]
            return node.model_copy(update=update)
        return change

    def rule_then(rule):
        if rule is None:
            return None
        changed = times(export, "price_per_kwh", "leftover_price_per_kwh")(rule)
        if rule.prices_by_month_and_hour is not None:
            table = [[export * price for price in row] for row in rule.prices_by_month_and_hour]
            changed = changed.model_copy(update={"prices_by_month_and_hour": table})
        return changed
    later = rule_then(tariff.export_rule)
    return tariff.model_copy(update={
        "fixed": [times(fixed, "price")(c) for c in tariff.fixed], "energy": [times(energy, "price_per_kwh")(c) for c in tariff.energy],
        "demand": [times(energy, "price_per_kw")(c) for c in tariff.demand], "array": [times(fixed, "price_per_kw")(c) for c in tariff.array],
        "minimum": tariff.minimum and times(fixed, "price")(tariff.minimum), "taxes": [times(energy, "per_kwh")(t) for t in tariff.taxes],
        "export_rule": later.model_copy(update={"then": rule_then(tariff.export_rule.then)})})


def _one_by_one(tariff, calendar, use_of_year, sun, factors, prices, array_kw, shift=0.0):
    """(Totals, lines of each year, whether credit was carried) by the printed bills, one year after the other."""
    none = np.zeros(8760)
    bank = Bank.empty()
    for _ in range(2):      # a household with a past: what a ratchet looks back on
        bank = bill_flows(tariff, year_flows(tariff, calendar, use_of_year(0), none), bank=bank)[1].peaks_alone()
    totals, lines, carried = [], [], False
    for k, factor in enumerate(factors):
        grown = _grown(tariff, prices.fixed[k], prices.energy[k], prices.export[k])
        flows = [f.with_more_used_at_once(shift) for f in year_flows(tariff, calendar, use_of_year(k), factor * sun)]
        year, bank = bill_flows(grown, flows, array_kw, bank, rule_of_year(grown, START, k))
        totals.append(float(year.total))
        lines.append(sum(len(month.lines) for month in year.months))
        carried = carried or any(month.bank_money for month in year.months)
    return np.array(totals), np.array(lines), carried


def _compared(tariff, seed, load, made, n, growths, shift=0.0):
    calendar = bill_calendar(tariff, "America/New_York", -5)
    use, later, sun = household_hours(seed, load), household_hours(seed + 1, 1.2 * load), array_hours(seed, made)

    def use_of_year(k):
        return use if k < 2 else later
    factors, prices = 1.0 - 0.006 * np.arange(n), PriceFactors.growing(n, *growths)
    without, with_sun = years_of_bills(tariff, calendar, use_of_year, sun, factors, prices, KW, START, shift)
    for fast, output, kw, moved in ((without, 0 * factors, (0.0, 0.0), 0.0), (with_sun, factors, KW, shift)):
        slow, lines, carried = _one_by_one(tariff, calendar, use_of_year, sun, output, prices, kw, moved)
        # Each printed line is rounded: half a cent at most, and its kWh to a tenth, which moves it as little in the mean. So a
        # year may be off by half a cent for each of its lines (more as prices grow); it was off by 0.30 at most on 500
        # tariffs of some 70 lines. Credit carried on carries its roundings into the years after.
        grown = max(1.0, *(float(factor.max()) for factor in (prices.fixed, prices.energy, prices.export)))
        off = 0.005 * grown * (np.cumsum(lines) if carried else lines)
        assert (np.abs(fast.total - slow) <= off).all(), (fast.total - slow, off)
        assert sum(fast.parts.values()) == pytest.approx(fast.total)


@settings(max_examples=60, deadline=None)
@given(tariffs(), st.integers(0, 10_000), st.floats(2_000, 20_000), st.floats(0, 25_000),
       st.tuples(*[st.floats(-3, 6)] * 3), st.sampled_from([0.0, -0.06, 0.06]))
def test_many_years_at_once_are_the_printed_bills_one_after_the_other(tariff, seed, load, made, growths, shift):
    _compared(tariff, seed, load, made + 1.0, 7, growths, shift)


@settings(max_examples=4, deadline=None)
@given(tariffs(), st.integers(0, 10_000), st.floats(5_000, 12_000), st.floats(4_000, 12_000))
def test_twenty_five_years_too(tariff, seed, load, made):
    _compared(tariff, seed, load, made, 25, (2.0, 3.0, 1.0))


EVERYTHING = {
    "seasons": TWO_SEASONS, "windows": WINDOWS["three"], "read_day": 12,
    "fixed": [{"price": 11.0}],
    "energy": [{"prices": [{"window": "on-peak", "price_per_kwh": 0.41}, {"window": "night", "price_per_kwh": 0.07},
                           {"window": "rest", "season": "summer", "price_per_kwh": 0.22},
                           {"window": "rest", "season": "winter", "price_per_kwh": 0.18}]},
               {"name": "Public purposes", "price_per_kwh": 0.03, "counts": "delivered"}],
    "demand": [{"price_per_kw": 3.0, "rounded_to": "whole kW", "ratchet_percent": 70.0}],
    "array": [{"price_per_kw": 0.9, "rating": "DC"}],
    "minimum": {"price": 25.0, "covers": "everything", "unused_credit": "kept"},
    "taxes": [{"name": "Fee", "percent": 3.0, "lines": ["Customer charge", "Energy"]}, {"percent": 6.0}],
}
YEARLY = {"resets": "yearly", "reset_month": "April"}


@pytest.mark.parametrize("rule", [
    {"rule": "none"},
    {"rule": "one-to-one", "buckets": "pooled", **YEARLY, "leftover": "paid", "leftover_price_per_kwh": 0.05},
    {"rule": "one-to-one", "buckets": "by window", **YEARLY},
    {"rule": "one-to-one", "bank": "money", "credit_pays": "all but fixed"},
    {"rule": "one-to-one", "bank": "money", "credit_pays": "everything", **YEARLY, "leftover": "paid"},
    {"rule": "net billing", "price_per_kwh": 0.3, "credit_pays": "everything"},
    {"rule": "net billing", "price_per_kwh": 0.3, "resets": "monthly", "leftover": "paid"},
    {"rule": "buy-all sell-all", "price_per_kwh": 0.2, "credit_pays": "everything"},
    {"rule": "one-to-one", "ends": "2030-12-31", "then": {"rule": "net billing", "price_per_kwh": 0.06}},
])
def test_each_export_rule_on_a_tariff_that_has_everything(rule):
    for made in (6_000.0, 16_000.0):
        _compared(full(**EVERYTHING, export_rule=rule), 7, 9_000.0, made, 8, (2.0, 3.0, 1.0), 0.06)


def test_a_bank_pays_for_the_dearest_window_first_in_later_years_too():
    """5,000 kWh sent out and as much taken in two windows: 2,000 at 0.41 are cancelled before any at 0.07. Our own sums."""
    tariff = full(windows=[{"name": "on-peak", "hours": ["16-22"]}, {"name": "night", "hours": ["22-6"]}, {"name": "day"}],
                  energy=[{"prices": [{"window": "on-peak", "price_per_kwh": 0.41}, {"window": "night", "price_per_kwh": 0.07},
                                      {"window": "day", "price_per_kwh": 0.2}]}], export_rule={"rule": "one-to-one"})
    use = in_hours([200] * 12, 16, 22) + in_hours([300] * 12, 0, 6)
    _, with_sun = years_of_bills(tariff, bill_calendar(tariff, None, -5), lambda k: use, in_hours([400] * 12, 8, 16), np.ones(3),
                                 PriceFactors.growing(3, 0, 0, 0), KW, START)
    assert with_sun.total == pytest.approx(np.full(3, 12 * 100 * 0.07))


def test_prices_grow_apart():
    """9,100 kWh at 0.15 and 144 fixed; year 3 with fixed 2 % and energy 5 % more each year. Our own sum."""
    tariff = short()
    without, _ = years_of_bills(tariff, bill_calendar(tariff, None, -5), lambda k: in_hours(LOAD_KWH, 18, 23), np.zeros(8760),
                                np.ones(3), PriceFactors.growing(3, 2, 5, 0), KW, START)
    assert without.total[2] == pytest.approx(144 * 1.02**2 + 1365 * 1.05**2)
    assert without.parts["fixed"][2] == pytest.approx(144 * 1.02**2)


def test_use_that_changes_raises_both_bills_from_its_year_on():
    use, more = in_hours(LOAD_KWH, 18, 23), in_hours(np.array(LOAD_KWH) * 1.5, 18, 23)
    tariff = short()
    without, with_sun = years_of_bills(tariff, bill_calendar(tariff, None, -5), lambda k: use if k < 2 else more,
                                       sun_hours(SUN_KWH), np.ones(4), PriceFactors.growing(4, 0, 0, 0), KW, START)
    assert without.total == pytest.approx([1509, 1509, 1509 + 682.5, 1509 + 682.5])
    # 286.50 and 219.00 as in the published families of rules. Then 13,650 kWh used less 8,600 made = 5,050, in the third year
    # less the 450 that stood in the bank at New Year: 144 + 4,600 × 0.15, and 144 + 5,050 × 0.15. Our own sums.
    assert with_sun.total == pytest.approx([286.5, 219.0, 834.0, 901.5])


@pytest.mark.parametrize(("k", "rule"), [(0, "one-to-one"), (3, "one-to-one"), (4, "net billing")])
def test_the_rule_of_a_year_is_the_one_that_holds_in_its_middle(k, rule):
    tariff = full(energy=[{"price_per_kwh": 0.2}], export_rule={
        "rule": "one-to-one", "ends": "2031-01-01", "then": {"rule": "net billing", "price_per_kwh": 0.05}})
    assert rule_of_year(tariff, START, k).rule == rule   # the fourth year runs from April 2030, the fifth from April 2031


def test_a_rule_that_ended_before_the_array_was_finished_never_holds():
    tariff = full(energy=[{"price_per_kwh": 0.2}], export_rule={
        "rule": "one-to-one", "ends": "2027-03-31", "then": {"rule": "net billing", "price_per_kwh": 0.05}})
    assert rule_of_year(tariff, START, 0).rule == "net billing"
