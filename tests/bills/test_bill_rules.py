"""Each switch of a tariff, on a bill small enough to add up by hand. The numbers are our own unless a source is named."""

from decimal import Decimal

import numpy as np
import pytest

from reportgen.bills.bank import Bank
from reportgen.bills.bill import bill_period
from reportgen.bills.flows import period_sums
from tests.bills.billed import amounts, flat, flows, full, one_bill, year
from tests.bills.hours import in_hours, sun_hours

SEASONS = [{"name": "summer", "begins": "June 1", "ends": "September 30"}, {"name": "winter", "begins": "October 1", "ends": "May 31"}]
WINDOWS = [{"name": "on-peak", "days": "weekdays", "hours": ["16-21"]}, {"name": "off-peak"}]
BY_WINDOW = [{"prices": [{"window": "on-peak", "price_per_kwh": 0.30}, {"window": "off-peak", "price_per_kwh": 0.10}]}]
NIGHT = np.zeros(8760)


def _by_window(**rule):
    return full(windows=WINDOWS, energy=BY_WINDOW, export_rule={"rule": "one-to-one", **rule})


# One-to-one

def test_a_pooled_bank_counts_against_the_dearest_window_first():
    """100 on-peak and 200 off-peak taken, 150 sent off-peak: 100 and 50 are left; the bank's 30 go against on-peak."""
    bill, bank = one_bill(_by_window(), 1, 31, {"on-peak": 100, "off-peak": 200}, {"off-peak": 150}, bank=Bank({"": 30.0}))
    assert amounts(bill) == ["21.00", "5.00"]          # 70 × 0.30, 50 × 0.10
    assert bank.total_kwh == 0


def test_kwh_left_in_one_window_cancel_those_of_another_where_the_bank_is_pooled():
    bill, bank = one_bill(_by_window(), 1, 31, {"on-peak": 100, "off-peak": 50}, {"off-peak": 110})
    assert amounts(bill, "energy") == ["12.00"]         # 100 − 60 = 40 on-peak
    assert bank.total_kwh == 0


def test_by_window_kwh_of_one_window_never_cancel_those_of_another():
    bill, bank = one_bill(_by_window(buckets="by window"), 1, 31, {"on-peak": 100, "off-peak": 50}, {"off-peak": 110})
    assert amounts(bill, "energy") == ["30.00"]
    assert dict(bank.kwh) == {"on-peak": 0.0, "off-peak": 60.0}
    assert bill.bank_kwh == 60


def test_a_bank_of_money_holds_the_price_of_the_window_in_which_power_was_sent():
    bill, bank = one_bill(_by_window(bank="money"), 1, 31, {"on-peak": 100, "off-peak": 50}, {"off-peak": 110})
    assert amounts(bill) == ["30.00", "-6.00"]          # 60 × 0.10
    bill, bank = one_bill(_by_window(bank="money"), 1, 31, {"on-peak": 10, "off-peak": 50}, {"off-peak": 110})
    assert amounts(bill) == ["3.00", "-6.00", "3.00"]
    assert bank.money == Decimal("3.00")


def test_a_bank_emptied_every_month_is_lost_or_paid():
    lost, bank = one_bill(flat(export_rule={"rule": "one-to-one", "resets": "monthly"}), 5, 31, 100, 150)
    assert (lost.total, lost.lost_kwh, bank.total_kwh) == (Decimal("12.00"), 50, 0)
    paid, _ = one_bill(flat(export_rule={"rule": "one-to-one", "resets": "monthly", "leftover": "paid", "leftover_price_per_kwh": 0.03}),
                       5, 31, 100, 150)
    assert (paid.total, paid.lost_kwh) == (Decimal("10.50"), 0)


def test_kwh_are_lost_where_the_next_rule_keeps_no_kwh_and_money_where_it_keeps_none():
    then_money, bank = one_bill(flat(export_rule={"rule": "net billing", "price_per_kwh": 0.05}), 1, 31, 100, bank=Bank({"": 40.0}))
    assert (then_money.total, then_money.lost_kwh, bank.total_kwh) == (Decimal("27.00"), 40, 0)
    then_kwh, bank = one_bill(flat(export_rule={"rule": "one-to-one"}), 1, 31, 100, bank=Bank(money=Decimal("8.00")))
    assert (then_kwh.total, then_kwh.lost_money, bank.money) == (Decimal("27.00"), Decimal("8.00"), 0)


# Net billing, buy-all sell-all

def test_export_prices_by_window_make_a_line_each():
    tariff = full(windows=WINDOWS, energy=BY_WINDOW, export_rule={"rule": "net billing", "prices": [
        {"window": "on-peak", "price_per_kwh": 0.20}, {"window": "off-peak", "price_per_kwh": 0.04}]})
    bill, _ = one_bill(tariff, 1, 31, {"on-peak": 100, "off-peak": 50}, {"on-peak": 10, "off-peak": 100})
    assert amounts(bill) == ["30.00", "5.00", "-2.00", "-4.00"]
    assert bill.lines[2].label == "Sent out, on-peak, 10 kWh at 0.20"


def test_export_prices_by_month_and_hour_go_by_the_households_clock():
    """1 kWh sent out each day at 12 o'clock of standard time: 12 by the clock in winter, 13 in summer time."""
    table = [[0.0] * 24 for _ in range(12)]
    for row in table:
        row[12], row[13] = 0.10, 0.50
    tariff = flat(0.15, 0, export_rule={"rule": "net billing", "prices_by_month_and_hour": table, "credit_pays": "everything",
                                        "resets": "monthly", "leftover": "paid"})
    sun = NIGHT.copy()
    sun[12::24] = 1.0
    january, july = (bill_period(tariff, flows(tariff, NIGHT, sun, "America/New_York")[m])[0] for m in (0, 6))
    assert (january.total, july.total) == (Decimal("-3.10"), Decimal("-15.50"))
    assert january.lines[2].label == "Sent out, 31 kWh at the prices of its hours, 0.1000 on average"


def test_buy_all_counts_demand_on_the_whole_use():
    tariff = full(energy=[{"price_per_kwh": 0.10}], demand=[{"price_per_kw": 2.0}],
                  export_rule={"rule": "buy-all sell-all", "price_per_kwh": 0.05})
    use, sun = NIGHT.copy(), NIGHT.copy()
    use[12], sun[12] = 6.0, 5.0
    assert amounts(year(tariff, use, sun)[0].months[0], "demand") == ["12.00"]
    netted = tariff.model_copy(update={"export_rule": flat().export_rule})
    assert amounts(year(netted, use, sun)[0].months[0], "demand") == ["2.00"]


@pytest.mark.parametrize(("pays", "total", "left"), [
    # 12.00 fixed, 10.00 net, 5.00 delivered, 6.00 demand; credit 40.00
    ("energy", "23.00", "30.00"), ("all but fixed", "12.00", "19.00"), ("everything", "0.00", "7.00")])
def test_credit_pays_the_lines_it_may(pays, total, left):
    tariff = full(fixed=[{"price": 12}], energy=[{"price_per_kwh": 0.10}, {"name": "Wires", "counts": "delivered", "price_per_kwh": 0.05}],
                  demand=[{"price_per_kw": 2}], export_rule={"rule": "net billing", "price_per_kwh": 0.20, "credit_pays": pays})
    bill, bank = one_bill(tariff, 1, 31, 100, 200, demand_kw=(3.0,))
    assert (bill.total, bank.money) == (Decimal(total), Decimal(left))


def test_credit_that_pays_everything_pays_taxes_last():
    tariff = flat(0.10, 0, taxes=[{"percent": 10, "before_credits": True}],
                  export_rule={"rule": "net billing", "price_per_kwh": 0.20, "credit_pays": "everything"})
    bill, bank = one_bill(tariff, 1, 31, 100, 52.5)      # 10.00, tax 1.00, credit 10.50
    assert (bill.total, bank.money) == (Decimal("0.50"), 0)


def test_credit_left_over_is_paid_out_at_the_reset_and_not_taxed():
    tariff = flat(0.10, 5, taxes=[{"percent": 10}],
                  export_rule={"rule": "net billing", "price_per_kwh": 0.20, "resets": "yearly", "reset_month": "March", "leftover": "paid"})
    bill, bank = one_bill(tariff, 3, 31, 100, 100)
    assert amounts(bill) == ["5.00", "10.00", "-20.00", "0.50", "10.00", "-10.00"]
    assert (bill.total, bank.money) == (Decimal("-4.50"), 0)


def test_a_negative_export_price_is_due():
    bill, _ = one_bill(flat(0.10, 5, export_rule={"rule": "net billing", "price_per_kwh": -0.02}), 1, 31, 0, 100)
    assert bill.total == Decimal("7.00")


# Minimum

@pytest.mark.parametrize(("unused", "kept", "lost"), [("kept", "4.00", "0.00"), ("lost", "0.00", "4.00")])
def test_credit_below_the_minimum_is_kept_or_lost(unused, kept, lost):
    """12.00 fixed and 10.00 of energy; credit 7.00 would leave 15.00; at least 19.00."""
    tariff = flat(0.10, 12, minimum={"price": 19, "unused_credit": unused}, export_rule={"rule": "net billing", "price_per_kwh": 0.07})
    bill, bank = one_bill(tariff, 1, 31, 100, 100)
    assert (bill.total, bank.money, bill.lost_money) == (Decimal("19.00"), Decimal(kept), Decimal(lost))


def test_what_the_minimum_adds_without_credit_is_not_kept():
    """Energy 3.00, credit 2.00, at least 10.00 of energy: 9.00 are added, of which 2.00 are credit."""
    tariff = flat(0.10, 12, minimum={"price": 10, "covers": "energy"}, export_rule={"rule": "net billing", "price_per_kwh": 0.02})
    bill, bank = one_bill(tariff, 1, 31, 30, 100)
    assert amounts(bill, "minimum") == ["9.00"]
    assert (bill.total, bank.money) == (Decimal("22.00"), Decimal("2.00"))


def test_kwh_cancelled_one_to_one_are_used_though_the_minimum_is_due():
    bill, bank = one_bill(flat(0.10, 5, minimum={"price": 9}, export_rule={"rule": "one-to-one"}), 1, 31, 100, 80)
    assert (bill.total, bank.total_kwh, bank.money) == (Decimal("9.00"), 0, 0)


# Taxes

def test_taxes_on_named_lines_before_and_after_credit_and_on_each_other():
    """Fixed 10.00, energy 20.00, credit 6.00."""
    tariff = flat(0.10, 10, export_rule={"rule": "net billing", "price_per_kwh": 0.06}, taxes=[
        {"name": "City", "percent": 10, "lines": ["Energy"], "before_credits": True},     # 2.00
        {"name": "State", "percent": 10, "lines": ["Energy"]},                            # 1.40
        {"name": "All", "percent": 10},                                                   # 2.40: no tax is in it
        {"name": "Tax on a tax", "percent": 50, "lines": ["City"]},                       # 1.00
        {"name": "Levy", "per_kwh": 0.001}])                                              # 0.20
    bill, _ = one_bill(tariff, 1, 31, 200, 100)
    assert amounts(bill, "tax") == ["2.00", "1.40", "2.40", "1.00", "0.20"]
    assert bill.total == Decimal("31.00")


def test_a_tax_per_kwh_counts_net_or_delivered_kwh():
    tariff = flat(export_rule={"rule": "one-to-one"}, taxes=[{"name": "Net", "per_kwh": 0.01, "counts": "net"},
                                                             {"name": "Delivered", "per_kwh": 0.01}])
    bill, _ = one_bill(tariff, 1, 31, 300, 100)
    assert amounts(bill, "tax") == ["2.00", "3.00"]


# Energy

def test_blocks_run_on_the_kwh_the_charge_counts():
    blocks = {"prices": [{"blocks": [{"up_to_kwh": 100, "price_per_kwh": 0.10}, {"price_per_kwh": 0.20}]}]}
    tariff = full(energy=[blocks, {"name": "Delivery", "counts": "delivered", **blocks}], export_rule={"rule": "one-to-one"})
    bill, _ = one_bill(tariff, 1, 31, 250, 170)
    assert amounts(bill) == ["8.00", "10.00", "30.00"]      # 80 net; 250 delivered


def test_blocks_of_a_price_without_a_window_count_all_windows_together():
    tariff = full(windows=WINDOWS, energy=[{"prices": [{"blocks": [{"up_to_kwh": 100, "price_per_kwh": 0.10}, {"price_per_kwh": 0.20}]}]}])
    assert amounts(one_bill(tariff, 1, 31, {"on-peak": 60, "off-peak": 60})[0]) == ["10.00", "4.00"]


def test_in_a_period_of_two_seasons_each_has_its_share_of_the_blocks_and_its_name_on_the_line():
    """Read on the 16th: 16 May to 15 June has 16 days of winter and 15 of summer; 10 kWh a day."""
    tariff = full(read_day=16, seasons=SEASONS, energy=[{"prices": [
        {"season": name, "blocks": [{"up_to_kwh": 100, "price_per_kwh": low}, {"price_per_kwh": high}]}
        for name, low, high in (("summer", 0.20, 0.30), ("winter", 0.10, 0.15))]}])
    bills, _ = year(tariff, in_hours([310, 280, 310, 300, 310, 300, 310, 310, 300, 310, 300, 310], 0, 24), NIGHT)
    june = bills.months[5]
    assert [(line.label, str(line.amount)) for line in june.lines] == [
        ("Energy, summer, 48.4 kWh at 0.20", "9.68"), ("Energy, summer, 101.6 kWh above 48.4 at 0.30", "30.48"),   # 150 kWh
        ("Energy, winter, 51.6 kWh at 0.10", "5.16"), ("Energy, winter, 108.4 kWh above 51.6 at 0.15", "16.26")]   # 160 kWh
    assert june.total == Decimal("61.58")


# Demand

@pytest.mark.parametrize(("rounded_to", "kw", "due"), [
    ("nothing", "5.449 kW", "54.49"), ("tenth of a kW", "5.4 kW", "54.00"), ("whole kW", "5 kW", "50.00")])
def test_demand_is_rounded_before_it_is_charged(rounded_to, kw, due):
    tariff = full(energy=[{"price_per_kwh": 0.10}], demand=[{"price_per_kw": 10, "rounded_to": rounded_to}])
    bill, _ = one_bill(tariff, 1, 31, 100, demand_kw=(5.449,))
    assert (bill.lines[-1].label, str(bill.lines[-1].amount)) == (f"Demand, {kw} at 10.00", due)


def test_half_a_kilowatt_is_rounded_up():
    tariff = full(energy=[{"price_per_kwh": 0.10}], demand=[{"price_per_kw": 1, "rounded_to": "whole kW"}])
    assert one_bill(tariff, 1, 31, 100, demand_kw=(4.5,))[0].demand_kw == 5


def test_a_ratchet_looks_back_on_measured_demand_for_so_many_periods():
    """10 kW in January, 80 % for two more periods; from April on nothing is left of it."""
    tariff = full(energy=[{"price_per_kwh": 0.0}], demand=[{"price_per_kw": 1, "ratchet_percent": 80, "ratchet_periods": 2}])
    use = NIGHT.copy()
    use[[10, 1000, 1500, 2300]] = 10.0, 4.0, 1.0, 3.0     # January, February, March, April
    bills, bank = year(tariff, use, NIGHT)
    assert [m.demand_kw for m in bills.months[:4]] == [10, 8, 8, 3.2]     # April: 80 % of February's 4
    assert "80 % of an earlier month" in bills.months[1].lines[-1].label
    assert bank.peaks_kw == ((0.0, 0.0),)


def test_a_sum_for_an_unknown_window_is_refused():
    with pytest.raises(ValueError, match="no window 'peak'; its windows are on-peak, off-peak"):
        period_sums(_by_window(), 1, 31, {"peak": 3.0})


# More used at once

def test_more_used_at_once_moves_both_ways_of_the_meter_as_far_as_each_window_leaves_room():
    tariff = flat(export_rule={"rule": "net billing", "price_per_kwh": 0.05})
    january = flows(tariff, in_hours([100] * 12, 18, 23), sun_hours([200] * 12))[0]
    more = january.with_more_used_at_once(0.06)
    assert (more.taken.sum(), more.sent.sum()) == (pytest.approx(88), pytest.approx(188))
    most = january.with_more_used_at_once(0.9)
    assert (most.taken.sum(), most.sent.sum()) == (pytest.approx(0), pytest.approx(100))
    least = january.with_more_used_at_once(-0.06)
    assert (least.taken.sum(), least.sent.sum()) == (pytest.approx(100), pytest.approx(200))     # nothing is used at once
    assert most.sent_by_hour.sum() == pytest.approx(100)
