"""What holds for any house's bill, and the rules that no published example covers."""

from decimal import Decimal

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from reportgen.bills.bill import bill_flows, bill_year, cents, month_flows, settled_year
from reportgen.bills.path import bills_after, bills_before, meter_path
from reportgen.describe.fields import MONTHS
from tests.bills.hours import LOAD_KWH, SUN_KWH, in_hours, sun_hours
from tests.houses import house

PRICES = st.floats(0, 1).map(lambda p: round(p, 4))
KWH = st.lists(st.floats(0, 3000), min_size=12, max_size=12)


@st.composite
def tariffs(draw):
    rules = {"price_per_kwh": draw(PRICES), "fixed_per_month": round(draw(st.floats(0, 60)), 2)}
    if draw(st.booleans()):
        rules |= {"export": "net billing", "export_price_per_kwh": draw(PRICES)}
    else:
        rules["reset_month"] = draw(st.sampled_from([None, *MONTHS]))
        if rules["reset_month"]:
            rules["leftover_price_per_kwh"] = draw(st.sampled_from([None, 0.035]))
    return house(tariff=rules).tariff


def _use(months):
    return in_hours(np.array(months) / 2, 8, 16) + in_hours(np.array(months) / 2, 18, 23)


@settings(max_examples=60, deadline=None)
@given(tariffs(), KWH, KWH)
def test_lines_add_up_and_the_bank_is_never_negative(tariff, load, sun):
    first, settled, _ = settled_year(tariff, month_flows(_use(load), sun_hours(sun)))
    for year in (first, settled):
        assert year.total == sum(m.total for m in year.months)
        for month in year.months:
            assert month.total == sum(line.amount for line in month.lines)
            assert all(line.amount == cents(line.amount) for line in month.lines)
            assert min(month.bank_kwh, month.lost_kwh, month.billed_kwh, month.import_kwh, month.export_kwh) >= 0


@settings(max_examples=60, deadline=None)
@given(tariffs(), KWH, KWH)
def test_the_sun_never_costs_money_and_never_saves_the_fixed_charge(tariff, load, sun):
    before, _ = bill_year(tariff, _use(load), np.zeros(8760))
    _, after, _ = settled_year(tariff, month_flows(_use(load), sun_hours(sun)))
    paid_out = -sum(line.amount for m in after.months for line in m.lines if line.label.startswith("Left in the bank"))
    fixed = sum(m.lines[0].amount for m in after.months)
    assert after.total <= before.total
    assert before.total - after.total <= before.total - fixed + paid_out


@settings(max_examples=40, deadline=None)
@given(tariffs(), KWH, KWH, st.floats(1, 2))
def test_more_sun_never_raises_the_bill(tariff, load, sun, more):
    small, large = (settled_year(tariff, month_flows(_use(load), sun_hours(np.array(sun) * factor)))[1].total
                    for factor in (1, more))
    # Each line is rounded to the cent and its kWh to a tenth; under one-to-one that keeps the order of two bills,
    # save where a leftover is paid; under net billing the two energy lines may round apart.
    dearest = max(tariff.price_per_kwh, tariff.export_price_per_kwh or 0, tariff.leftover_price_per_kwh or 0)
    exact = tariff.export == "one-to-one" and not tariff.leftover_price_per_kwh
    assert float(large) <= float(small) + (0 if exact else 24 * (0.005 + 0.05 * dearest))


@settings(max_examples=40, deadline=None)
@given(tariffs(), KWH, KWH)
def test_the_cash_by_year_begins_with_the_printed_bills(tariff, load, sun):
    """Twelve months of two energy lines, each off by at most half a cent and by 0.05 kWh at its price."""
    use, made = _use(load), sun_hours(sun)
    path = meter_path(tariff, use, made, np.array([1.0, 0.9]))
    today = np.array([1.0, 1.0])
    dearest = max(tariff.price_per_kwh, tariff.export_price_per_kwh or 0, tariff.leftover_price_per_kwh or 0)
    roundings = 24 * (0.005 + 0.05 * dearest) + 1e-6
    before, _ = bill_year(tariff, use, np.zeros(8760))
    first, bank = bill_year(tariff, use, made)
    second, _ = bill_year(tariff, use, 0.9 * made, bank)
    assert bills_before(tariff, path, today)[0] == pytest.approx(float(before.total), abs=roundings)
    assert bills_after(tariff, path, today)[0] == pytest.approx(float(first.total), abs=roundings)
    assert bills_after(tariff, path, today)[1] == pytest.approx(float(second.total), abs=2 * roundings)   # carried credit


def test_the_bank_is_emptied_at_the_end_of_its_month_and_the_loss_is_told():
    tariff = house(tariff={"reset_month": "October"}).tariff
    year, bank = bill_year(tariff, _use(LOAD_KWH), sun_hours(SUN_KWH))
    assert year.months[8].bank_kwh == pytest.approx(1450)
    assert (year.months[9].bank_kwh, year.months[9].lost_kwh) == (0.0, pytest.approx(1400))
    assert bank == 0


def test_a_paid_leftover_is_a_line_and_is_not_lost():
    tariff = house(tariff={"reset_month": "October", "leftover_price_per_kwh": 0.035}).tariff
    year, _ = bill_year(tariff, _use(LOAD_KWH), sun_hours(SUN_KWH))
    assert year.months[9].lines[-1].label == "Left in the bank, 1,400 kWh paid at 0.035"
    assert year.months[9].lines[-1].amount == Decimal("-49.00")
    assert year.months[9].lost_kwh == 0


def test_net_billing_credit_pays_for_energy_but_not_for_the_fixed_charge_and_is_carried_in_money():
    """Common practice, no source: 10 kWh taken at 0.30 and 100 kWh sent out at 0.06 leave 3.00 to carry each month."""
    tariff = house(tariff={"export": "net billing", "price_per_kwh": 0.30, "export_price_per_kwh": 0.06}).tariff
    flows = month_flows(in_hours([10] * 12, 18, 23), sun_hours([100] * 12))
    year, carried = bill_flows(tariff, flows)
    assert [str(line.amount) for line in year.months[0].lines] == ["12.00", "3.00", "-6.00", "3.00"]
    assert [str(line.amount) for line in year.months[1].lines] == ["12.00", "3.00", "-6.00", "-3.00", "6.00"]
    assert year.total == Decimal("144.00")
    assert carried == 36.00


def test_a_bank_that_is_never_used_up_still_settles():
    tariff = house().tariff
    first, settled, growth = settled_year(tariff, month_flows(_use(LOAD_KWH), sun_hours(np.array(SUN_KWH) * 1.5)))
    assert first.total > settled.total == Decimal("144.00")
    assert growth == pytest.approx(3800)   # 12,900 made less 9,100 used


def test_lines_say_what_is_charged_so_that_they_can_be_checked_by_hand():
    year, _ = bill_year(house().tariff, _use([412.34] * 12), np.zeros(8760))
    assert [line.label for line in year.months[0].lines] == ["Fixed charge", "Energy, 412.3 kWh at 0.15"]
    assert year.months[0].lines[1].amount == Decimal("61.85")   # 61.845, half-up
