"""Which plan the array is billed under, what its export rule costs against one-to-one, and bills of a changing household."""

from datetime import date, timedelta

import numpy as np
import pytest

from reportgen.bills.compare import compare_bills
from reportgen.bills.meter.year import MeterYear
from reportgen.bills.meter_year import with_readings
from reportgen.bills.plans import HORIZON_YEARS, ageing, count_plans, price_factors
from reportgen.bills.use import use_hours
from reportgen.describe.assumptions import complete
from tests.bills.hours import LOAD_KWH, SUN_KWH, sun_hours
from tests.bills.weather import plain_year
from tests.houses import house

BY_BILLS = {"annual_kwh": None, "monthly_kwh": LOAD_KWH}
OLD = {"name": "old", "price_per_kwh": 0.15, "fixed_per_month": 12, "export": "one-to-one"}
SUNNY = {"name": "sunny", "price_per_kwh": 0.15, "fixed_per_month": 5, "export": "net billing", "export_price_per_kwh": 0.05}
DEARER = {"name": "dearer", "price_per_kwh": 0.20, "fixed_per_month": 30, "export": "net billing", "export_price_per_kwh": 0.02}


def _house(**changed):
    return complete(house(use={**BY_BILLS, **changed.pop("use", {})}, array={"array_kw": 5.0}, finish_day="2027-04-01", **changed))[0]


def _bills(**changed):
    return compare_bills(_house(**changed), sun_hours(SUN_KWH), plain_year())


def test_a_house_that_may_stay_compares_todays_plan_with_the_others_and_takes_the_least_sum():
    bills = _bills(tariff=OLD, plans_with_solar=[SUNNY, DEARER])
    assert [(plan.name, plan.is_today, plan.is_chosen) for plan in bills.plans] == [
        ("old", True, True), ("sunny", False, False), ("dearer", False, False)]
    assert bills.plans[0].horizon_sum == min(plan.horizon_sum for plan in bills.plans)
    assert "the least" in bills.plans[0].why and "more" in bills.plans[2].why
    assert bills.after.total == bills.plans[0].settled.total == 219


def test_a_plan_closed_to_an_array_prices_the_bill_without_it_alone():
    bills = _bills(tariff={**OLD, "open_to_solar": False}, plans_with_solar=[SUNNY, DEARER])
    assert [plan.name for plan in bills.plans if plan.is_chosen] == ["sunny"] and len(bills.plans) == 2
    assert bills.before.total == 1509                                  # today's: 144 + 9,100 × 0.15
    lines = [line for month in bills.after.months for line in month.lines]
    assert sum(line.amount for line in lines if line.kind == "fixed") == 60    # 12 × 5 on the plan that comes with solar


def test_the_plan_that_is_cheapest_in_25_years_may_not_be_so_today():
    """A fixed charge of 20 a month that grows by 9 % a year overtakes a price of 0.50 where some 1,000 kWh a year are left."""
    high_fixed = {"name": "high fixed", "price_per_kwh": 0.15, "fixed_per_month": 20, "export": "one-to-one"}
    dear_kwh = {"name": "dear kWh", "price_per_kwh": 0.5, "fixed_per_month": 1, "export": "one-to-one"}
    for fixed_growth, taken in ((2.0, "high fixed"), (9.0, "dear kWh")):
        money = {"price_growth_percent": 0.0, "fixed_growth_percent": fixed_growth}
        bills = _bills(tariff=high_fixed, plans_with_solar=[dear_kwh], money=money)
        assert [plan.name for plan in bills.plans if plan.is_chosen] == [taken]


def test_one_plan_alone_needs_no_sum():
    (plan,) = _bills().plans
    assert (plan.horizon_sum, plan.is_chosen, plan.why) == (None, True, "It is the only plan open to an array.")


def test_what_the_rule_costs_against_one_to_one():
    """The net billing house of our own example: 219.00 a settled year under one-to-one that rolls for ever."""
    bills = _bills(tariff={"export": "net billing", "export_price_per_kwh": 0.06})
    cost = next(f for f in bills.figures if f.key == "bills.against_one_to_one")
    assert cost.value == pytest.approx(float(bills.after.total) - 219.0)
    assert cost.low < cost.value < cost.high
    assert not any(f.key == "bills.against_one_to_one" for f in _bills().figures)
    june = next(f for f in _bills(tariff={"reset_month": "June"}).figures if f.key == "bills.against_one_to_one")
    assert (june.value, june.low) == (142.5, None)     # 361.50 − 219.00, the published families of rules


def test_a_change_of_use_shows_both_bills_of_its_years():
    car = {"what": "electric car", "begins": "2029-04-01", "kwh_per_year": 3000}
    rows = _bills(use={"changes": [car]}).changing_use
    assert [row.year for row in rows] == list(range(1, HORIZON_YEARS + 1))
    assert [round(row.use_kwh) for row in rows[:4]] == [9100, 9100, 12100, 12100]
    assert [round(row.before, 2) for row in rows[1:3]] == [1509.0, 1959.0]      # 3,000 × 0.15 more
    assert rows[2].after > rows[1].after
    assert _bills().changing_use == ()


def test_a_minimum_and_charges_on_the_array_stay_due():
    full = {"name": "full", "fixed": [{"price": 5}], "energy": [{"price_per_kwh": 0.15}], "array": [{"price_per_kw": 1, "rating": "DC"}],
            "minimum": {"price": 25}, "export_rule": {"rule": "one-to-one"}}
    stays = _bills(tariff={**dict.fromkeys(("price_per_kwh", "fixed_per_month", "export")), **full}).stays_due
    assert stays.value == 12 * 25 and "the minimum" in stays.formula   # 5 and 5 kW × 1 are raised to 25


def test_a_charge_on_every_kwh_taken_stays_due_for_the_hours_without_sun():
    """4,100 kWh of the year lie between 16 and 8 o'clock; 0.03 on each stays. California D.16-01-044 has such charges: on each
    kWh taken from the grid, not on the netted ones (secondary text)."""
    full = {"name": "full", "fixed": [{"price": 12}], "export_rule": {"rule": "one-to-one"},
            "energy": [{"price_per_kwh": 0.12}, {"name": "Public purposes", "price_per_kwh": 0.03, "counts": "delivered"}]}
    bills = _bills(tariff={**dict.fromkeys(("price_per_kwh", "fixed_per_month", "export")), **full})
    night = bills.use_hours_kwh[sun_hours(SUN_KWH) == 0].sum()
    assert bills.stays_due.value == pytest.approx(144 + 0.03 * night, abs=0.12)
    assert bills.saving.low < bills.saving.value < bills.saving.high      # so the modelled hours matter here
    assert any("count each kWh taken" in note for note in bills.notes)


def test_measured_hours_have_no_range():
    taken, days = np.full(8760, 9100 / 8760), tuple(date(2023, 1, 1) + timedelta(days=d) for d in range(365))
    readings = MeterYear(taken, None, 2023, days, 0, ("Twelve months were taken.",))
    a_house = house(use={"annual_kwh": None, "meter_file": {"file": "meter.csv"}}, array={"array_kw": 5.0},
                    tariff={"export": "net billing", "export_price_per_kwh": 0.05})
    a_house = complete(with_readings(a_house, readings))[0]
    bills = compare_bills(a_house, sun_hours(SUN_KWH), plain_year())
    assert not bills.hours_are_modelled and bills.saving.low == bills.saving.value == bills.saving.high
    assert (bills.self_use.low, bills.self_use.high, bills.saving.range_is) == (None, None, "the hours of use are measured")
    assert not bills.counted.hours_matter and "measured" in bills.self_use.sources[0]


def test_the_first_year_of_many_is_the_printed_first_year():
    """Twelve months of at most four lines, each rounded to the cent, its kWh to a tenth."""
    for plan in (OLD, SUNNY, DEARER):
        a_house = _house(tariff=plan)
        plans = count_plans(a_house, use_hours(a_house, plain_year()), sun_hours(SUN_KWH), plain_year())
        first = plans.chosen.years(ageing(a_house)).bills(price_factors(a_house, 3.0)).total[0]
        printed = compare_bills(a_house, sun_hours(SUN_KWH), plain_year()).first_year_after.total
        assert first == pytest.approx(float(printed), abs=48 * 0.005)
