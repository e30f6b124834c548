"""The bills of four invented houses, added up line by line beside the program.

One month of each was added up by hand once, from the kWh that the meter counted and the prices in the tariff's file; the
sums are typed here. Then all twelve months, by this file's own plain arithmetic. What is taken from the program is what a
meter would show: kWh by season and window, and the highest hour. The prices are typed again, not read.
"""

from decimal import ROUND_HALF_UP, Decimal

import pytest

from reportgen.bills.bill import bill_period
from reportgen.bills.flows import period_sums
from reportgen.bills.printed import PrintedBills
from reportgen.describe.fields import MONTHS
from reportgen.describe.tariff_rules import in_full
from tests.report.built import assessed

D = Decimal
BEFORE, AFTER = "without the sun", "with the sun"


def bills_of(name):
    """{BEFORE, AFTER} to (what the meter counted in twelve periods, the year of bills)."""
    found = assessed(name)
    printed = PrintedBills(found.bills.counted.chosen, found.bills.use_hours_kwh, found.production.hours_kwh)
    return {BEFORE: (printed.without, found.bills.before), AFTER: (printed.flows, found.bills.after)}


def tenth(kwh):
    return D(repr(round(float(kwh), 6))).quantize(D("0.1"), ROUND_HALF_UP)


def cent(amount):
    return amount.quantize(D("0.01"), ROUND_HALF_UP)


# --- one month by hand -----------------------------------------------------------------------------------------------
# (house, month, sun): kWh and kW in the order of the bill, as the meter shows them; amounts in the same order; the sum.
BY_HAND = {
    # 700.0 × 0.176 = 123.200
    ("corner-house", "April", BEFORE): ([700.0], ["19.50", "123.20"], "142.70"),
    # 782.5 sent out, 379.4 taken: nothing to pay. The bank of 355.5 and the 403.1 left are paid out: 758.6 × 0.035 = 26.551
    ("corner-house", "April", AFTER): ([0.0, 758.6], ["19.50", "0.00", "-26.55"], "-7.05"),
    # 97.7 × 0.334 = 32.6318; 429.1 × 0.158 = 67.7978; 144.1 × 0.104 = 14.9864; 671.0 × 0.0125 = 8.3875
    ("two-gables", "July", BEFORE): ([97.7, 429.1, 144.1, 671.0], ["19.50", "32.63", "67.80", "14.99", "8.39"], "143.31"),
    # 44.2 × 0.334 = 14.7628; 121.4 × 0.158 = 19.1812; 144.1 as before; 309.8 × 0.0125 = 3.8725;
    # sent out 11.5 × 0.142 = 1.633 in the evening, 350.4 × 0.046 = 16.1184 by day
    ("two-gables", "July", AFTER): ([44.2, 121.4, 144.1, 309.8, 11.5, 350.4],
                                    ["19.50", "14.76", "19.18", "14.99", "3.87", "-1.63", "-16.12"], "54.55"),
    # 12 to 30 April is winter, 1 to 11 May summer: 156.7 × 0.094 = 14.7298; 270.7 × 0.081 = 21.9267; 0.9 × 8.40 = 7.56;
    # tax 3 % of 14.73 + 21.93 + 7.56 = 44.22: 1.3266
    ("mill-cottage", "May", BEFORE): ([156.7, 270.7], ["16.00", "14.73", "21.93", "7.56", "1.33"], "61.55"),
    # 89.4 × 0.094 = 8.4036; 156.9 × 0.081 = 12.7089; 0.9 × 8.40 = 7.56; sent out 253.2 × 0.041 = 10.3812; that makes
    # 16.00 + 8.40 + 12.71 + 7.56 − 10.38 = 34.29, so 3.71 up to 38.00; tax 3 % of 8.40 + 12.71 + 7.56 − 10.38 = 18.29: 0.5487
    ("mill-cottage", "May", AFTER): ([89.4, 156.9, 253.2], ["16.00", "8.40", "12.71", "7.56", "-10.38", "3.71", "0.55"], "38.55"),
    # 1,040.1 × 0.176 = 183.0576
    ("three-faces", "February", BEFORE): ([1040.1], ["19.50", "183.06"], "202.56"),
    # 700.6 taken − 472.8 sent out − 217.4 from the bank = 10.4; 10.4 × 0.176 = 1.8304
    ("three-faces", "February", AFTER): ([10.4], ["19.50", "1.83"], "21.33"),
}


@pytest.mark.parametrize(("name", "month", "sun"), BY_HAND, ids=lambda part: part.replace(" ", "-"))
def test_one_month_was_added_up_by_hand(name, month, sun):
    kwh, amounts, total = BY_HAND[name, month, sun]
    bill = bills_of(name)[sun][1].months[MONTHS.index(month)]
    assert [float(line.kwh) for line in bill.lines if line.kwh is not None] == kwh
    assert [str(line.amount) for line in bill.lines] == amounts
    assert sum(D(amount) for amount in amounts) == D(total) == bill.total


def test_the_example_in_the_demand_plans_file_is_what_the_program_bills():
    tariff = in_full(assessed("mill-cottage").house.tariff)
    month, bank = bill_period(tariff, period_sums(tariff, 7, 30, 266.0, 365.9, demand_kw=(0.7,), season="summer"))
    assert [str(line.amount) for line in month.lines] == ["16.00", "25.00", "7.84", "-15.00", "4.16", "0.54"]
    assert str(month.total) == "38.54" and bank.money == 0


# --- the whole year by plain arithmetic ------------------------------------------------------------------------------

def home_plan(flows, bank):
    """(Bill, bank after it): fork-river.yaml. flows: of one month."""
    net = flows.taken.sum() - flows.sent.sum() - bank
    due = D("19.50") + cent(tenth(max(net, 0.0)) * D("0.176"))
    bank = max(-net, 0.0)
    if flows.month == 4:
        due, bank = due - cent(tenth(bank) * D("0.035")), 0.0
    return due, bank


@pytest.mark.parametrize("name", ["corner-house", "three-faces"])
@pytest.mark.parametrize("sun", [BEFORE, AFTER])
def test_a_year_of_the_home_plan(name, sun):
    months, year = bills_of(name)[sun]
    bank, bills = year.months[-1].bank_kwh, []     # a settled year begins as the one before ended
    for flows in months:
        due, bank = home_plan(flows, bank)
        bills.append(due)
    assert bank == pytest.approx(year.months[-1].bank_kwh, abs=1e-6)
    assert bills == [month.total for month in year.months]
    assert sum(bills) == year.total


def evening_plan(flows):
    """fork-river-evening.yaml. Seasons: summer, winter; windows: evening, night, day, in the order of the file."""
    (summer_evening, summer_night, summer_day), (winter_evening, winter_night, winter_day) = flows.taken
    energy = [cent(tenth(summer_evening) * D("0.334")), cent(tenth(winter_evening) * D("0.272")),
              cent(tenth(summer_day + winter_day) * D("0.158")), cent(tenth(summer_night + winter_night) * D("0.104"))]
    (summer_evening, summer_night, summer_day), (winter_evening, winter_night, winter_day) = flows.sent
    pay = [cent(tenth(summer_evening) * D("0.142")), cent(tenth(winter_evening) * D("0.088")),
           cent(tenth(summer_day + winter_day) * D("0.046")), cent(tenth(summer_night + winter_night) * D("0.046"))]
    assert sum(pay) <= sum(energy), "credit is carried over: the sum below is no longer the whole bill"
    return D("19.50") + sum(energy) + cent(tenth(flows.taken.sum()) * D("0.0125")) - sum(pay)


@pytest.mark.parametrize("sun", [BEFORE, AFTER])
def test_a_year_of_the_evening_plan(sun):
    months, year = bills_of("two-gables")[sun]
    bills = [evening_plan(flows) for flows in months]
    assert bills == [month.total for month in year.months]
    assert sum(bills) == year.total


def demand_plan(flows):
    """fork-river-demand.yaml. Seasons: summer, winter; one window."""
    summer, winter = (kwh.sum() for kwh in flows.taken)
    energy = cent(tenth(summer) * D("0.094")) + cent(tenth(winter) * D("0.081"))
    demand = cent(tenth(flows.demand_kw[0]) * (D("11.20"), D("8.40"))[flows.demand_season[0]])
    pay = cent(tenth(flows.sent.sum()) * D("0.041"))
    assert pay <= energy, "credit is carried over: the sum below is no longer the whole bill"
    before_tax = D("16.00") + energy + demand - pay
    return max(before_tax, D("38.00")) + cent((energy + demand - pay) * D("0.03"))


@pytest.mark.parametrize("sun", [BEFORE, AFTER])
def test_a_year_of_the_demand_plan(sun):
    months, year = bills_of("mill-cottage")[sun]
    bills = [demand_plan(flows) for flows in months]
    assert bills == [month.total for month in year.months]
    assert sum(bills) == year.total


def test_the_years_totals():
    """Each the sum of twelve bills on paper. The year without the sun hangs on use and prices alone: the corner house pays
    12 × 19.50 and 11,080 × 0.176 = 1,950.08, each month's kWh being whole."""
    totals = {name: str(bills_of(name)[BEFORE][1].total) for name in ("corner-house", "two-gables", "mill-cottage", "three-faces")}
    assert totals == {"corner-house": "2184.08", "two-gables": "1660.07", "mill-cottage": "761.56", "three-faces": "2305.50"}


def test_what_the_meter_file_holds():
    """11,770 kWh less the 70 Wh that rounding each hour to 10 Wh took; its largest hour is 5.25 kWh."""
    hours = assessed("three-faces").bills.use_hours_kwh
    assert (round(float(hours.sum()), 3), round(float(hours.max()), 2)) == (11769.93, 5.25)
    assert assessed("three-faces").bills.hours_are_modelled is False


def test_staying_on_the_old_plan_or_moving_to_the_one_for_new_arrays():
    stay, move = assessed("three-faces").bills.plans
    assert (stay.name, stay.is_today, stay.is_chosen) == ("Fork River Co-operative, home plan", True, True)
    assert (move.name, move.is_today, move.is_chosen) == ("Fork River Co-operative, evening plan", False, False)
    assert stay.horizon_sum < move.horizon_sum
