"""Ways to pay against published numbers and practices; where the numbers are our own, they are hand formulas apart from this code."""

import numpy as np
import numpy_financial as npf
import pytest
from hypothesis import assume, example, given, settings
from hypothesis import strategies as st

from reportgen.describe.paying import HomeEquity, Loan
from reportgen.payback.home_equity import line_schedule
from reportgen.payback.lease import dearer_from_year, escalated
from reportgen.payback.loan import (
    first_payment,
    level_payment,
    principal_of,
    repay,
    repay_anew,
    schedule_of,
    true_rate_percent,
    with_fee,
)
from reportgen.payback.present_value import internal_rate, internal_rate_count, present_value
from tests.payback.ways_house import line, ways_of

# numpy-financial's documentation


def test_the_level_payment_of_the_numpy_financial_documentation():
    assert level_payment(200_000, 7.5, 180) == pytest.approx(1854.0247, abs=5e-5)


def test_the_number_of_payments_of_the_numpy_financial_documentation():
    """nper(7 %/12, −150, 8,000) = 64.07335: so many payments of 150 pay back 8,000."""
    assert level_payment(8000, 7.0, 64.07335) == pytest.approx(150.0, abs=1e-5)


def test_rates_and_values_of_the_numpy_financial_documentation():
    assert internal_rate(np.array([-100.0, 39, 59, 55, 20])) == pytest.approx(0.28095, abs=5e-6)
    assert internal_rate(np.array([-250_000.0, 100_000, 150_000, 200_000, 250_000, 300_000])) == pytest.approx(0.5672303, abs=5e-8)
    assert internal_rate(np.array([-100.0, 0, 0, 74])) == pytest.approx(-0.0955, abs=5e-5)
    assert present_value(np.array([-40_000, 5_000, 8_000, 12_000, 30_000]), 0.08) == pytest.approx(3065.22267, abs=5e-6)


# numpy-financial as an outside reference on any terms

FLOWS = st.lists(st.floats(-5_000, 5_000), min_size=2, max_size=25)


@settings(max_examples=50, deadline=None)
@given(FLOWS, st.floats(0, 0.2))
def test_present_values_are_those_of_numpy_financial(flows, rate):
    assert present_value(np.array(flows), rate) == pytest.approx(npf.npv(rate, flows), abs=1e-6)


@settings(max_examples=50, deadline=None)
@given(st.floats(100, 30_000), st.lists(st.floats(50, 5_000), min_size=2, max_size=25))
def test_internal_rates_are_those_of_numpy_financial(price, gains):
    flows = np.array([-price, *gains])
    assert internal_rate_count(flows) == 1
    rate = internal_rate(flows)
    assert rate == pytest.approx(npf.irr(flows), rel=1e-6, abs=1e-9)
    assert present_value(flows, rate) == pytest.approx(0, abs=1e-4 * np.abs(flows).max())


@settings(max_examples=50, deadline=None)
@given(st.floats(500, 200_000), st.floats(0.5, 25), st.integers(6, 360))
def test_a_loans_payments_balances_and_rate_are_those_of_numpy_financial(principal, rate, months):
    principal = round(principal, 2)
    schedule, exact = repay(principal, rate, months), -npf.pmt(rate / 1200, months, principal)
    # Each month's interest and the payment are rounded to the cent: half a cent twice a month, with interest on it.
    most = 0.01 * npf.fv(rate / 1200, months, -1, 0)
    assert schedule.payments[0] == pytest.approx(exact, abs=0.00501)
    half = months // 2
    assert schedule.balances[half - 1] == pytest.approx(-npf.fv(rate / 1200, half, -exact, principal), abs=most)
    assert schedule.balances[-1] == 0
    assert schedule.payments.sum() == pytest.approx(principal + npf.ipmt(rate / 1200, np.arange(1, months + 1), months, -principal).sum(),
                                                    abs=most)
    assert true_rate_percent(principal, np.full(months, exact)) == pytest.approx(1200 * npf.rate(months, -exact, principal, 0), abs=1e-6)
    assert true_rate_percent(principal, np.full(months, exact)) == pytest.approx(rate, abs=1e-6)


# Cents, true rate, dealer fee


def test_the_last_payment_takes_what_the_cents_have_left():
    """10,000 at 6 % over 12 months: our own sum, month by month in whole cents."""
    payments = repay(10_000, 6.0, 12).payments
    assert payments[:11].tolist() == [860.66] * 11 and payments[11] == 860.70
    assert payments.sum() == pytest.approx(10_327.96, abs=0.001)


def test_the_true_rate_of_24_payments_of_230_on_5000_is_9_69_percent():
    """Actuarial method of 12 CFR 1026 Appendix J; the example's numbers from memory, its 9.69 % worked out anew as 9.6857."""
    assert true_rate_percent(5000, np.full(24, 230.0)) == pytest.approx(9.6857, abs=5e-5)


FEE = {"rate_percent": 3.99, "months": 300, "fee_percent": 30.0, "fee_is_share_of": "cash price"}


def test_a_dealer_fee_of_30_percent_makes_3_99_percent_into_6_66():
    """Markups of 10 to 30 % and more of the cash price sit in the principal, outside the stated rate: CFPB issue spotlight,
    2024-08-07. The sums on 25,000 are our own."""
    loan = ways_of({"loans": [FEE]}, money={"installed_price": 25_000.0})["loan_1"]
    assert loan.principal.value == 32_500 and loan.hidden_fee.value == 7_500
    assert loan.instalments[0].per_month == 171.37
    assert round(loan.total_paid.value, -1) == 51_410
    assert loan.true_rate.value == pytest.approx(6.66, abs=0.005)
    assert any("$7,500 is added to the cash price" in said and "6.66 %, not 3.99 %" in said for said in loan.cautions)


def test_the_same_fee_counted_from_the_loan_makes_33333():
    loan = Loan(**{**FEE, "fee_percent": 25.0, "fee_is_share_of": "loan"})
    assert with_fee(25_000, 25.0, "loan") == pytest.approx(33_333, abs=0.5)
    assert schedule_of(loan, principal_of(loan, 25_000.0)).payments[0] == 175.76


def test_where_nobody_said_what_the_fee_counts_from_both_readings_are_shown():
    fee = {"rate_percent": 3.99, "months": 300, "fee_percent": 25.0}
    loan = ways_of({"loans": [fee]}, money={"installed_price": 25_000.0})["loan_1"]
    milder = repay(31_250, 3.99, 300).payments[0]
    assert loan.instalments[0].per_month == 175.76
    assert loan.instalments_otherwise[0].per_month == milder
    assert any("$175.76" in said and f"${milder:.2f}" in said for said in loan.cautions)


# Payments worked out anew

AGAIN = {"rate_percent": 3.99, "months": 300, "expected_lump_sum": 9000, "lump_sum_month": 18}


def test_113_a_month_becomes_162_71_when_no_credit_comes():
    """The practice: CFPB issue spotlight, 2024-08-07. The sums are our own: 30,000 at 3.99 % over 300 months, 9,000 expected."""
    loan = ways_of({"loans": [AGAIN]}, money={"installed_price": 30_000.0}, finish_day="2026-06-01")["loan_1"]
    assert [(i.label, i.per_month) for i in loan.instalments[:2]] == [("months 1 to 18", 113.48), ("months 19 to 299", 162.71)]
    promised = loan.instalments_otherwise[0]
    assert promised.per_month == 113.48 and promised.months == 299 and "if the expected sum is paid in by month 18" in promised.label
    assert any("Payment from month 19: $162.71 instead of $113.48, unless you pay $9,000 by month 18" in said for said in loan.cautions)


@pytest.mark.parametrize(("paid_in", "after"), [(0, 162.71), (5000, 135.36), (9000, 113.48)])
def test_what_is_paid_in_by_month_18_decides_the_payment_after_it(paid_in, after):
    loan = Loan(**AGAIN)
    assert schedule_of(loan, 30_000.0, paid_in).payments[18] == after


def test_a_first_payment_sized_on_21000_rises_even_when_the_credit_is_paid_in():
    at_first = level_payment(21_000, 3.99, 300)
    assert at_first == pytest.approx(110.73, abs=0.005)
    written = schedule_of(Loan(**AGAIN, first_payment=110.73), 30_000.0, 9000.0)
    assert written.payments[17] == 110.73 and written.payments[18] == 113.76
    assert repay_anew(30_000, 3.99, 300, 18, at_first, 9000).payments[18] == 113.76


def test_the_payment_that_stays_level_is_worth_what_is_financed():
    """Outside reference: numpy-financial's present value of the payments and of the sum paid in."""
    payment = first_payment(30_000, 3.99, 300, 9000, 18)
    worth = -npf.pv(0.0399 / 12, 300, payment) + 9000 / (1 + 0.0399 / 12) ** 18
    assert worth == pytest.approx(30_000, abs=1e-6)


# A line of credit on the house: our own sums


def test_a_home_equity_line_rises_when_repayment_begins():
    line_of = {"rate_percent": 8.5, "draw_months": 120, "repay_months": 240}
    way = ways_of({"home_equity": line_of}, money={"installed_price": 25_000.0})["home_equity"]
    assert [i.per_month for i in way.instalments[:2]] == [177.08, 216.96]
    assert line_schedule(HomeEquity(**{**line_of, "repay_months": 180}), 25_000.0).payments[120] == 246.18
    # two points more: 25,000 × 10.5 % / 12
    assert way.instalments_otherwise[0].per_month == 218.75 and any("2 points more" in said for said in way.cautions)
    assert any("ask a tax adviser" in said for said in way.cautions)


# Escalators


def test_13_cents_growing_2_9_percent_are_25_82_in_year_25():
    assert escalated(0.13, 2.9, 25)[24] == pytest.approx(0.2582, abs=5e-5)


def test_13_cents_at_2_9_percent_are_dearer_than_15_at_2_from_year_18():
    """0.2114 > 0.2100: our own sum, once on the prices and once through a house whose every kWh is worth the utility's price."""
    contract, utility = escalated(0.13, 2.9, 25), escalated(0.15, 2.0, 25)
    assert (contract[17], utility[17]) == (pytest.approx(0.2114, abs=5e-5), pytest.approx(0.2100, abs=5e-5))
    assert dearer_from_year(contract, utility) == 18
    purchase = {"price_per_kwh": 0.13, "escalator_percent": 2.9, "years": 25}
    way = ways_of({"power_purchases": [purchase]}, money={"price_growth_percent": 2.0})["power_purchase_1"]
    assert way.dearer_from.value == 18 and way.dearer_from.text() == "year 18"
    assert any("From year 18" in said for said in way.cautions)


def test_a_lease_of_150_with_2_9_percent_costs_64771_81_in_25_years():
    """A consumer page says "over 200 in ten years, over 300 by the end": it is 194.01 in year 10 and 297.89 in year 25."""
    lease = ways_of({"leases": [{"per_month": 150, "escalator_percent": 2.9, "years": 25}]})["lease_1"]
    per_month = [i.per_month for i in lease.instalments]
    assert len(per_month) == 25 and all(i.months == 12 for i in lease.instalments)
    assert [round(per_month[year - 1], 2) for year in (1, 10, 11, 12, 25)] == [150.00, 194.01, 199.64, 205.43, 297.89]
    assert next(year for year, paid in enumerate(per_month, start=1) if paid > 200) == 12
    assert lease.total_paid.value == pytest.approx(64_771.81, abs=0.005)
    # another page says 76 % for 20 years; it is 77.1 % after 20 rises and 72.1 % in year 20
    assert per_month[20] / 150 == pytest.approx(1.771, abs=5e-4) and per_month[19] / 150 == pytest.approx(1.721, abs=5e-4)


@settings(max_examples=10, deadline=None)
@given(st.floats(10, 500), st.integers(1, 40))
def test_a_lease_without_an_escalator_costs_n_payments(per_month, years):
    lease = ways_of({"leases": [{"per_month": per_month, "years": years}]})["lease_1"]
    assert lease.total_paid.value == pytest.approx(per_month * 12 * years, rel=1e-12)
    assert lease.first_year_paid.value == pytest.approx(lease.last_year_paid.value)


# A loan at the rate that money is worth changes nothing


@settings(max_examples=15, deadline=None)
@given(st.floats(0.5, 15), st.integers(12, 360), st.floats(5_000, 60_000), st.floats(0, 5_000))
@example(0.5, 301, 5_000.0, 4_981.0)
@example(6.0, 360, 30_000.0, 0.0)
def test_a_loan_at_what_money_is_worth_has_the_worth_of_cash(discount_percent, months, price, down):
    """Monthly rate (1 + d)^(1/12) − 1, discounted monthly, no fee: present value algebra. What is left are the cents."""
    assume(down <= price)
    monthly = (1 + discount_percent / 100) ** (1 / 12) - 1
    assume(1200 * monthly >= 0.15)
    ways = ways_of({"loans": [{"rate_percent": 1200 * monthly, "months": months, "down_payment": down}]},
                   money={"installed_price": price, "discount_percent": discount_percent})
    loan, cash = ways["loan_1"].net_present_value, ways["cash"].net_present_value
    cents = 0.005 * (1 + min(months, 300))
    if months <= 300:
        assert [loan.value, loan.low, loan.high] == pytest.approx([cash.value, cash.low, cash.high], abs=cents)
    else:   # what is owed after the 25 years is paid then: the same algebra
        assert loan.value == pytest.approx(cash.value, abs=cents)
        # The payments left, marked down to month 300 (numpy-financial). Payment and interest are rounded to the cent each month, and
        # what that moves grows with interest; a loan of a few dollars may so be paid off before its time.
        left = npf.pv(monthly, months - 300, npf.pmt(monthly, months, price - down))
        rounding = 0.01 * ((1 + monthly) ** 300 - 1) / monthly
        owed = -line(ways["loan_1"], "Still owed after the years counted")[-1]
        assert owed >= 0 and owed == pytest.approx(left, abs=rounding)
