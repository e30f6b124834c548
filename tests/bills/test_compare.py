"""The saving with its range, the share used at once, what stays due, and what the reader is told."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from reportgen.bills.compare import compare_bills
from reportgen.describe.assumptions import complete
from tests.bills.billed import full
from tests.bills.hours import LOAD_KWH, SUN_KWH, sun_hours
from tests.bills.weather import plain_year
from tests.houses import house

NET_BILLING = {"export": "net billing", "export_price_per_kwh": 0.06}


def _bills(sun=SUN_KWH, **tariff):
    a_house, _ = complete(house(use={"annual_kwh": None, "monthly_kwh": LOAD_KWH}, tariff=tariff))
    return compare_bills(a_house, sun_hours(sun), plain_year())


def test_the_saving_is_bill_without_less_bill_with_through_one_function():
    bills = _bills()
    assert bills.saving.value == float(bills.before.total - bills.after.total) == 1290
    assert bills.saving.formula == "$1,509.00 without − $219.00 with the sun = $1,290.00"


def test_under_one_to_one_the_hours_do_not_matter():
    saving = _bills().saving
    assert saving.low == saving.value == saving.high
    assert any("do not move the saving" in note for note in _bills().notes)


def test_under_net_billing_six_points_of_the_sun_move_the_saving_by_the_difference_of_the_prices():
    """Share of the sun used at once, another household's shape: up to 0.060 off with as much sun as use (six hourly
    sample years). 0.06 × 8,600 kWh × (0.15 − 0.06) = 46.44 either way, where every credit is used."""
    saving = _bills(**NET_BILLING).saving
    assert saving.high - saving.value == pytest.approx(46.44, abs=0.5)   # 24 rounded lines
    assert saving.value - saving.low == pytest.approx(46.44, abs=0.5)


@settings(max_examples=25, deadline=None)
@given(st.floats(0.01, 4), st.floats(0, 0.3).map(lambda p: round(p, 3)))
def test_the_range_holds_the_middle_and_the_share_never_exceeds_use_or_sun(scale, export_price):
    bills = _bills(sun=[scale * kwh for kwh in SUN_KWH], export="net billing", export_price_per_kwh=export_price)
    assert bills.saving.low <= bills.saving.value <= bills.saving.high
    made, used_at_once = scale * sum(SUN_KWH), sum(LOAD_KWH) - sum(m.import_kwh for m in bills.after.months)
    assert used_at_once <= min(made, sum(LOAD_KWH)) + 1e-6
    assert bills.self_use.value == pytest.approx(100 * used_at_once / made, abs=1e-6)
    assert bills.self_use.low <= bills.self_use.value <= bills.self_use.high <= 100


def test_the_share_used_at_once_moves_six_points_either_way_as_far_as_use_and_sun_leave_room():
    """The same six hourly sample years."""
    share = _bills().self_use
    assert share.value - share.low == pytest.approx(6)
    assert 5.9 < share.high - share.value < 6   # in the dull months all of the sun is used already
    small = _bills(sun=[0.3 * kwh for kwh in SUN_KWH]).self_use
    assert small.high <= 100


def test_no_sun_no_share():
    bills = _bills(sun=[0] * 12)
    assert bills.self_use.value is None
    assert bills.after.total == bills.before.total


def test_the_fixed_charge_stays_due():
    assert (_bills().stays_due.value, _bills().stays_due.text()) == (144, "$144 a year")


def test_the_best_month_for_emptying_the_bank_is_told():
    bills = _bills(reset_month="June")
    best = next(f for f in bills.figures if f.key == "bills.best_reset_month")
    assert (best.value, best.high) == (219, 436.50)
    assert any("lower by $143" in note for note in bills.notes)
    assert any("950 kWh are lost" in note for note in bills.notes)
    assert any("No other month" in note for note in _bills(reset_month="March").notes)


def test_credit_and_bank_that_only_grow_are_told():
    twice = [2 * kwh for kwh in SUN_KWH]
    assert any("never used up" in note for note in _bills(sun=twice).notes)
    assert any("nothing is counted for it" in n for n in _bills(sun=twice, export="net billing", export_price_per_kwh=0.15).notes)


def test_figures_have_unique_keys_and_name_their_sources():
    for tariff in ({}, {"reset_month": "June"}, NET_BILLING):
        figures = _bills(**tariff).figures
        assert len({f.key for f in figures}) == len(figures)
        assert all(f.sources and f.formula for f in figures)


def test_money_is_in_the_houses_own_currency():
    place = {"country": "NL", "latitude": 52.0, "longitude": 5.3, "time_zone": "Europe/Amsterdam"}
    a_house, _ = complete(house(place=place, money={"currency": "EUR", "installed_price": 4650}, array={"array_kw": 4.0}))
    assert {f.unit for f in compare_bills(a_house, sun_hours(SUN_KWH), plain_year(1)).figures} == {"EUR/year", "kWh", "%"}


def test_a_full_tariff_with_demand_array_and_ratchet_is_compared_and_what_hours_cannot_show_is_told():
    plan = full(energy=[{"price_per_kwh": 0.15}], fixed=[{"price": 12}], array=[{"price_per_kw": 1.0, "rating": "AC"}],
                demand=[{"price_per_kw": 2.0, "over": "15 minutes", "ratchet_percent": 50}],
                export_rule={"rule": "net billing", "netting": "instant", "price_per_kwh": 0.06})
    a_house, _ = complete(house(use={"annual_kwh": None, "monthly_kwh": LOAD_KWH}, array={"array_kw": 6.0, "inverter_kw": 5.0}))
    bills = compare_bills(a_house.model_copy(update={"tariff": plan}), sun_hours(SUN_KWH), plain_year())
    lines = [line for month in bills.after.months for line in month.lines]
    assert sum(line.amount for line in lines if line.kind == "array") == 60      # 12 × 5 kW AC × 1.00
    assert not any(line.kind == "array" for month in bills.before.months for line in month.lines)
    # Stays due: 144 fixed, 60 for the array, and the demand, which lies in the evening here, where no sun shines.
    demand = sum(line.amount for line in lines if line.kind == "demand")
    assert bills.stays_due.value == pytest.approx(float(144 + 60 + demand)) and demand > 20
    assert any("Demand is the mean of an hour here" in note for note in bills.notes)
    assert any("within the instant" in note for note in bills.notes)
    # the ratchet of the first month with the array looks back on the months before it
    highest = max(month.demand_kw for month in bills.before.months)
    assert bills.first_year_after.months[0].demand_kw >= 0.5 * highest - 0.001
