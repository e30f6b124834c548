"""What holds for any house's bill, and the rules that no published example covers."""

from datetime import date
from decimal import Decimal

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from reportgen.bills.calendar import bill_calendar
from reportgen.bills.rounding import cents
from reportgen.bills.years import PriceFactors, years_of_bills
from reportgen.describe.fields import MONTHS
from reportgen.describe.tariff_rules import in_full
from tests.bills.billed import amounts, settled, short, year
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
    first, repeated, _ = settled(in_full(tariff), _use(load), sun_hours(sun))
    for bills in (first, repeated):
        assert bills.total == sum(m.total for m in bills.months)
        for month in bills.months:
            assert month.total == sum(line.amount for line in month.lines)
            assert all(line.amount == cents(line.amount) for line in month.lines)
            assert min(month.bank_kwh, month.lost_kwh, month.billed_kwh, month.import_kwh, month.export_kwh) >= 0


@settings(max_examples=60, deadline=None)
@given(tariffs(), KWH, KWH)
def test_the_sun_never_costs_money_and_never_saves_the_fixed_charge(tariff, load, sun):
    before, _ = year(in_full(tariff), _use(load), np.zeros(8760))
    _, after, _ = settled(in_full(tariff), _use(load), sun_hours(sun))
    paid_out = -sum(line.amount for m in after.months for line in m.lines if line.label.startswith("Left in the bank"))
    fixed = sum(m.lines[0].amount for m in after.months)
    assert after.total <= before.total
    assert before.total - after.total <= before.total - fixed + paid_out


@settings(max_examples=40, deadline=None)
@given(tariffs(), KWH, KWH, st.floats(1, 2))
def test_more_sun_never_raises_the_bill(tariff, load, sun, more):
    small, large = (settled(in_full(tariff), _use(load), sun_hours(np.array(sun) * factor))[1].total
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
    dearest = max(tariff.price_per_kwh, tariff.export_price_per_kwh or 0, tariff.leftover_price_per_kwh or 0)
    roundings = 24 * (0.005 + 0.05 * dearest) + 1e-6
    whole = in_full(tariff)
    without, with_sun = years_of_bills(whole, bill_calendar(whole, None, -5), lambda k: use, made, np.array([1.0, 0.9]),
                                       PriceFactors.growing(2, 0, 0, 0), (5.0, 5.0), date(2027, 1, 1))
    before, _ = year(whole, use, np.zeros(8760))
    first, bank = year(whole, use, made)
    second, _ = year(whole, use, 0.9 * made, bank=bank)
    assert without.total[0] == pytest.approx(float(before.total), abs=roundings)
    assert with_sun.total[0] == pytest.approx(float(first.total), abs=roundings)
    assert with_sun.total[1] == pytest.approx(float(second.total), abs=2 * roundings)   # carried credit


def test_the_bank_is_emptied_at_the_end_of_its_month_and_the_loss_is_told():
    bills, bank = year(short(reset_month="October"), _use(LOAD_KWH), sun_hours(SUN_KWH))
    assert bills.months[8].bank_kwh == pytest.approx(1450)
    assert (bills.months[9].bank_kwh, bills.months[9].lost_kwh) == (0.0, pytest.approx(1400))
    assert bank.total_kwh == 0


def test_a_paid_leftover_is_a_line_and_is_not_lost():
    bills, _ = year(short(reset_month="October", leftover_price_per_kwh=0.035), _use(LOAD_KWH), sun_hours(SUN_KWH))
    assert bills.months[9].lines[-1].label == "Left in the bank, 1,400 kWh paid at 0.035"
    assert bills.months[9].lines[-1].amount == Decimal("-49.00")
    assert bills.months[9].lost_kwh == 0


def test_net_billing_credit_pays_for_energy_but_not_for_the_fixed_charge_and_is_carried_in_money():
    """Common practice, no source: 10 kWh taken at 0.30 and 100 kWh sent out at 0.06 leave 3.00 to carry each month."""
    tariff = short(export="net billing", price_per_kwh=0.30, export_price_per_kwh=0.06)
    bills, bank = year(tariff, in_hours([10] * 12, 18, 23), sun_hours([100] * 12))
    assert amounts(bills.months[0]) == ["12.00", "3.00", "-6.00", "3.00"]
    assert amounts(bills.months[1]) == ["12.00", "3.00", "-6.00", "-3.00", "6.00"]
    assert bills.total == Decimal("144.00")
    assert bank.money == Decimal("36.00")


def test_a_bank_that_is_never_used_up_still_settles():
    first, repeated, growth = settled(short(), _use(LOAD_KWH), sun_hours(np.array(SUN_KWH) * 1.5))
    assert first.total > repeated.total == Decimal("144.00")
    assert growth.kwh == pytest.approx(3800)   # 12,900 made less 9,100 used


def test_lines_say_what_is_charged_so_that_they_can_be_checked_by_hand():
    bills, _ = year(short(), _use([412.34] * 12), np.zeros(8760))
    assert [line.label for line in bills.months[0].lines] == ["Fixed charge", "Energy, 412.3 kWh at 0.15"]
    assert bills.months[0].lines[1].amount == Decimal("61.85")   # 61.845, half-up
