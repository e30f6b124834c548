"""Published tariffs and their printed bills, to the cent: lines rounded, then summed. Sources stand in `tests.bills.tariffs`, or here."""

from decimal import Decimal

import numpy as np
import pytest

from reportgen.bills.bill import bill_period
from reportgen.bills.calendar import bill_calendar
from reportgen.bills.flows import year_flows
from reportgen.bills.rounding import line_amount
from reportgen.bills.years import PriceFactors
from tests.bills import tariffs
from tests.bills.billed import amounts, flat, full, one_bill, year
from tests.bills.hours import LOAD_KWH, SUN_KWH, in_hours, sun_hours


def _winter(kwh):
    return one_bill(tariffs.seymour(), 1, 31, kwh, season="winter")


def _austin(pays: str = "energy"):
    """City of Austin (Texas), value of solar, October 2012: the whole house's use is billed, .128 for each kWh made;
    non-summer base rates 500 at .018, 500 at .056, above that .072; customer charge 10. What is left rolls on."""
    return full(fixed=[{"price": 10}], energy=[{"prices": [{"blocks": [
        {"up_to_kwh": 500, "price_per_kwh": 0.018}, {"up_to_kwh": 1000, "price_per_kwh": 0.056}, {"price_per_kwh": 0.072}]}]}],
        export_rule={"rule": "buy-all sell-all", "price_per_kwh": 0.128, "credit_pays": pays})


def test_seymour_winter_1200_kwh():
    bill, _ = _winter(1200)
    assert amounts(bill) == ["7.50", "16.00", "22.05", "22.30", "102.00", "1.70"]
    assert bill.total == Decimal("171.55")


def test_seymour_summer_2000_kwh_where_26_125_is_26_13():
    bill, _ = one_bill(tariffs.seymour(), 7, 31, 2000, season="summer")
    assert amounts(bill) == ["7.50", "16.00", "22.05", "26.13", "33.45", "170.00", "2.75"]
    assert bill.total == Decimal("277.88")
    assert bill.lines[-1].label == "Sales tax, 1 % of 275.13"


def test_seymour_from_1200_to_500_kwh_saves_92_52_and_not_the_average_price():
    """171.55 − 79.03; the average price times 700 kWh would say 100.07."""
    before, _ = _winter(1200)
    after, _ = _winter(500)
    assert (after.total, before.total - after.total) == (Decimal("79.03"), Decimal("92.52"))


def test_river_falls_flat_and_time_of_day():
    """675.54 kWh, 45 % on-peak: 88.98 and 96.58 are printed, and a difference of −7.60."""
    kwh = 675.54
    flat_rate, _ = one_bill(tariffs.river_falls_flat(), 1, 31, kwh)
    by_time, _ = one_bill(tariffs.river_falls_time_of_day(), 1, 31, {"on-peak": 0.45 * kwh, "off-peak": 0.55 * kwh})
    assert (flat_rate.total, by_time.total) == (Decimal("88.98"), Decimal("96.58"))


@pytest.mark.parametrize(("month", "on_peak_kwh"), [
    (7, 264),     # July 2026: 23 weekdays, the Fourth a Saturday celebrated on Friday the 3rd: 22 days of 12 hours
    (1, 252),     # January 2026: 22 weekdays less New Year's Day
])
def test_river_falls_on_peak_hours_leave_out_the_day_a_holiday_is_celebrated(month, on_peak_kwh):
    tariff = tariffs.river_falls_time_of_day()
    counted = year_flows(tariff, bill_calendar(tariff, "America/Chicago", -6, 2026), np.ones(8760), np.zeros(8760))
    bill, _ = bill_period(tariff, counted[month - 1])
    by_window = {line.window: line for line in bill.lines if line.kind == "energy"}
    assert by_window["on-peak"].kwh == on_peak_kwh
    assert by_window["on-peak"].kwh + by_window["off-peak"].kwh == 744
    assert by_window["on-peak"].amount == line_amount(Decimal(on_peak_kwh), 0.191)


def test_the_minimum_is_a_floor_after_credit_and_the_rest_is_kept():
    """The leaflet: 32.50 − 23.41 + 6.81 = 15.90, and 6.81 go to the reserve; 30 days at .53."""
    bill, bank = one_bill(tariffs.minimum_per_day(), 1, 30, 325, 234.1)
    assert amounts(bill) == ["32.50", "-23.41", "6.81"]
    assert bill.total == Decimal("15.90")
    assert bank.money == bill.bank_money == Decimal("6.81")


def test_benton_charges_5_00_for_the_highest_hour_of_the_peak_hours_in_whole_kw():
    """A highest hour of 5 kW. 9 kW at noon do not count; 5.4 kW in the evening are 5."""
    use = np.zeros(8760)
    use[12::24], use[18] = 9.0, 5.4
    bills, _ = year(tariffs.benton_demand(), use, np.zeros(8760))
    assert amounts(bills.months[0], "demand") == ["5.00"]
    assert bills.months[0].demand_kw == 5
    assert amounts(bills.months[1], "demand") == ["0.00"]


def test_benton_counts_the_morning_in_winter_alone():
    use = np.zeros(8760)
    use[7::24] = 5.0
    bills, _ = year(tariffs.benton_demand(), use, np.zeros(8760))
    assert [m.month for m in bills.months if m.demand_kw] == [1, 2, 3, 4, 10, 11, 12]


def test_bentons_old_and_new_bills_are_equal_at_5_1_kw_and_1000_kwh():
    """Flat at 7.39 c before; equal where kW = .0051 × kWh."""
    old, _ = one_bill(flat(0.0739, 0), 1, 30, 1000)
    new, _ = one_bill(full(energy=[{"price_per_kwh": 0.0688}], demand=[{"price_per_kw": 1.0}]), 1, 30, 1000, demand_kw=(5.1,))
    assert old.total == new.total == Decimal("73.90")


def test_palo_alto_blocks_per_day_times_the_meter_days():
    """33 days, 800 kWh: 330, 330 and 140 kWh; 98.76 with rounded lines, 98.75 without."""
    bill, _ = one_bill(tariffs.palo_alto_blocks_per_day(), 1, 33, 800)
    assert [str(line.kwh) for line in bill.lines] == ["330.0", "330.0", "140.0"]
    assert amounts(bill) == ["31.43", "42.97", "24.36"]
    assert bill.total == Decimal("98.76")


def test_palo_altos_30_day_bill_has_300_kwh_in_its_first_tier():
    bill, _ = one_bill(tariffs.palo_alto_blocks_per_day(), 1, 30, 1000)
    assert [str(line.kwh) for line in bill.lines] == ["300.0", "300.0", "400.0"]


def test_a_demand_calendar_of_its_own_counts_sunday_though_sunday_has_no_on_peak_energy():
    """5 kW on a Sunday at 10 h in January and in July: 16.85 and 40.80."""
    tariff, use = tariffs.demand_every_day(), np.zeros(8760)
    bills, _ = year(tariff, use, np.zeros(8760))
    for start in (0, 181 * 24):      # one Sunday is among the first seven days of each
        for day in range(7):
            trial = use.copy()
            trial[start + 24 * day + 10] = 5.0
            month = year(tariff, trial, np.zeros(8760))[0].months[start // 24 // 30]
            assert amounts(month, "demand") == (["16.85"] if start == 0 else ["40.80"])
    assert all(amounts(m, "demand") == ["0.00"] for m in bills.months)
    assert line_amount(Decimal(5), 3.37) == Decimal("16.85")


def test_non_bypassable_charges_are_due_on_each_kwh_taken():
    """California D.16-01-044, by a secondary text: on each kWh taken from the grid, not on the netted kWh; 3 c here."""
    tariff = full(energy=[{"price_per_kwh": 0.15}, {"name": "Non-bypassable charges", "counts": "delivered", "price_per_kwh": 0.03}],
                  export_rule={"rule": "one-to-one"})
    bill, _ = one_bill(tariff, 4, 30, 400, 400)
    assert amounts(bill) == ["0.00", "12.00"]


@pytest.mark.parametrize(("price", "due"), [(0.91, "76.44"), (0.96, "80.64"), (1.33, "111.72")])
def test_a_charge_on_each_kw_of_the_array(price, due):
    """New York, customer benefit contribution, systems energised from 2022-01-01, by territory; on the DC rating, 7 kW."""
    tariff = flat(array=[{"price_per_kw": price, "rating": "DC"}], export_rule={"rule": "one-to-one"})
    with_array, _ = year(tariff, in_hours(LOAD_KWH, 0, 24), sun_hours(SUN_KWH), array_kw=(7.0, 6.0))
    without, _ = year(tariff, in_hours(LOAD_KWH, 0, 24), sun_hours(SUN_KWH))
    assert with_array.total - without.total == Decimal(due)


def test_supply_only_credit_leaves_delivery_on_each_kwh_taken():
    """Illinois, residential net metering from 2025-01-01: credit for the supply part alone. Prices invented: 8 c and 7 c."""
    tariff = full(energy=[{"name": "Supply", "price_per_kwh": 0.08}, {"name": "Delivery", "counts": "delivered", "price_per_kwh": 0.07}],
                  export_rule={"rule": "one-to-one"})
    bill, bank = one_bill(tariff, 5, 31, 500, 300)
    assert amounts(bill) == ["16.00", "35.00"]
    assert bank.total_kwh == 0


def test_austin_bills_the_whole_use_and_rolls_38_20_of_credit():
    """1,200 kWh used: 51.40 and 10.00; 700 kWh made earn 89.60; 38.20 roll on and 10.00 stay due."""
    bill, bank = one_bill(_austin(), 11, 30, 700, used=1200, made=700)
    assert amounts(bill, "energy") == ["9.00", "28.00", "14.40"]
    assert amounts(bill, "credit") == ["-89.60", "38.20"]
    assert (bill.total, bank.money) == (Decimal("10.00"), Decimal("38.20"))
    assert bill.billed_kwh == 1200


def test_in_the_other_reading_of_austin_the_customer_charge_is_paid_too():
    bill, bank = one_bill(_austin(pays="everything"), 11, 30, 700, used=1200, made=700)
    assert (bill.total, bank.money) == (Decimal("0.00"), Decimal("28.20"))


def test_a_bank_that_is_paid_at_avoided_cost_in_december():
    """Florida rule 25-6.065 family (secondary text), the house of the export rules: 286.50 − 450 × .04."""
    tariff = flat(export_rule={"rule": "one-to-one", "resets": "yearly", "reset_month": "December", "leftover": "paid",
                               "leftover_price_per_kwh": 0.04})
    bills, bank = year(tariff, in_hours(LOAD_KWH, 0, 24), sun_hours(SUN_KWH))
    assert (bills.total, bank.total_kwh) == (Decimal("268.50"), 0)


@pytest.mark.parametrize(("percent", "price"), [(4.0, 0.274), (2.0, 0.1894), (2.2, 0.1966)])
def test_a_price_of_13_cents_in_year_20_has_risen_19_times(percent, price):
    """An offer of 5.5 kW shown on a neighbourhood board: .274 in year 20 at +4 %, so .1300 today."""
    grown = PriceFactors.growing(25, fixed_percent=0.0, energy_percent=percent, export_percent=0.0)
    assert 0.13 * grown.energy[19] == pytest.approx(price, abs=0.0005 if percent == 4.0 else 0.00005)
