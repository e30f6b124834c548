"""Incentives against the text of the law, published examples and sums of our own, through a house file and the findings."""

import numpy as np
import pytest

from reportgen.payback.certificates import by_the_fraction
from reportgen.payback.incentives import find_incentives
from reportgen.payback.present_value import present_value
from tests.bills.hours import SUN_KWH, sun_hours
from tests.payback.parts import filled, paid_back

FEDERAL = "federal_residential_credit"
SUN = sun_hours(SUN_KWH)


AGEING = tuple(7500.0 * 0.995 ** n for n in range(25))


def _payback(**changed):
    money = {"installed_price": 20_000.0, "federal_tax_owed_per_year": 5000.0, **changed.pop("money", {})}
    return paid_back(filled(money=money, **changed), SUN)


def _law(payback, key=FEDERAL):
    return next(f for f in payback.incentives if f.key == key)


# A credit larger than the tax of one year. A rural forum's case, answered there wrongly as "a refund of 1,000": 20,000 at
# 30 %, 5,000 of tax a year. 26 U.S. Code 25D(c); Form 5695, lines 13 to 16: line 15 is the lesser of credit and limit.

def test_a_credit_of_6000_against_5000_a_year_is_used_in_two_years_and_refunds_nothing():
    finding = _law(_payback(finish_day="2025-11-15"))
    assert finding.by_year[:3] == (5000.0, 1000.0, 0.0)
    assert finding.amount == 6000.0
    assert max(finding.by_year) <= 5000.0


def test_the_same_house_completed_in_february_2026_gets_nothing_and_carries_nothing():
    """Public Law 119-21 (2025-07-04), section 70506: nothing for expenditures made after December 31, 2025."""
    payback = _payback(finish_day="2026-02-10")
    assert _law(payback).by_year == (0.0,) * 25
    assert all(year.incentive == 0 for year in payback.middle.years)


# A file of 2025 that counts on 30 %. 25D(e)(8)(A): an expenditure is made when the original installation is completed.

@pytest.mark.parametrize(("day", "amount", "warns"), [("2026-06-01", 0.0, True), ("2025-12-20", 6000.0, False), (None, 0.0, True)])
def test_a_claim_of_30_percent_holds_by_the_day_of_completion_alone(day, amount, warns):
    finding = _law(_payback(finish_day=day, money={"federal_credit_percent": 30.0}))
    assert (finding.amount, finding.is_warning) == (amount, warns)
    if day is None:
        assert finding.sentence.startswith("Nothing is assumed: the day the system is finished is not given.")
    elif warns:
        assert "says 30 %; the sums use 0 %" in finding.sentence


# 30,000 completed in November 2025, 2,500 of tax left a year: 2,500, 2,500, 2,500, 1,500. Our own sum; that the carry
# survives: Congressional Research Service Insight IN12611 (2025-09-25).

@pytest.mark.parametrize(("tax", "used", "worth"), [(2500.0, [2500, 2500, 2500, 1500, 0], 8148), (9000.0, [9000, 0, 0, 0, 0], 8621)])
def test_a_credit_of_9000_is_worth_8148_over_four_years_and_8621_where_the_tax_takes_it_at_once(tax, used, worth):
    """Marked down at 4.4 % a year, the first use one year on."""
    a_house = filled(finish_day="2025-11-30", money={"installed_price": 30_000.0, "federal_tax_owed_per_year": tax})
    received = [year.incentive for year in paid_back(a_house, SUN).middle.years]
    assert received[:6] == [0, *used]
    assert present_value(np.array(received), 0.044) == pytest.approx(worth, abs=0.5)


# New York: energy.gov's example for form IT-255: 6 kW, 18,000, rebate 6,000 W × 0.35 = 2,100; (18,000 − 2,100) × 25 %.

def test_the_new_york_example_gives_3975():
    rebate = {"name": "utility rebate", "kind": "rebate", "amount": 2100.0, "source": "the example", "read_on": "2026-11-01"}
    a_house = filled(array={"array_kw": 6.0}, finish_day="2026-12-01", place={"state": "New York"}, incentives=[rebate],
                     money={"installed_price": 18_000.0, "state_tax_owed_per_year": 5000.0})
    payback = paid_back(a_house, SUN)
    assert _law(payback, "new_york_credit").amount == pytest.approx(3975.00)
    assert payback.middle.years[1].incentive == pytest.approx(3975.00 + 2100.00)


def test_the_rebate_comes_off_the_federal_basis_and_the_states_credit_does_not():
    """IRS FAQ, FS-2024-15 and FS-2025-01: a public utility's subsidy for the purchase and price adjustments reduce the cost,
    a state's incentive otherwise does not. (18,000 − 2,100) × 30 %: our own sum."""
    rebate = {"name": "utility rebate", "kind": "rebate", "amount": 2100.0, "source": "the example", "read_on": "2026-11-01"}
    a_house = filled(finish_day="2025-12-01", place={"state": "NY"}, incentives=[rebate],
                     money={"installed_price": 18_000.0, "state_tax_owed_per_year": 5000.0, "federal_tax_owed_per_year": 9000.0})
    assert _law(paid_back(a_house, SUN)).amount == pytest.approx(4770.00)


# New Jersey certificates (SREC-II), 85 per MWh for 15 years: Board orders 2021-07-28 and 2023-03-06. A published example:
# 7.5 MWh a year is 637.50 a year and 9,562.50 in 15 years. With 0.5 % of ageing a year, and in whole certificates: our own.

def _new_jersey(output):
    a_house = filled(finish_day="2025-06-01", place={"state": "New Jersey"}, money={"certificates_kept": False})
    return next(f for f in find_incentives(a_house, 18_000.0, 25, output) if f.key == "new_jersey_certificates")


def test_by_the_fraction_seven_and_a_half_mwh_earn_as_published():
    steady = (7500.0,) * 25
    assert by_the_fraction(steady, 1, 85.0) == pytest.approx(637.50)
    assert by_the_fraction(steady, 15, 85.0) == pytest.approx(9562.50)
    assert "By the fraction it would be $9,563;" in _new_jersey(steady).sentence
    assert _new_jersey(steady).amount == 112 * 85   # whole certificates: the last half MWh earns nothing


def test_an_ageing_array_earns_9234_96_by_the_fraction_and_9180_in_whole_certificates():
    assert by_the_fraction(AGEING, 15, 85.0) == pytest.approx(9234.96, abs=0.005)
    finding = _new_jersey(AGEING)
    assert finding.amount == 9180.00
    assert "108 certificates, $9,180 in all" in finding.sentence
    assert "By the fraction it would be $9,235;" in finding.sentence


def test_the_same_certificates_enter_the_cash_with_the_houses_own_output():
    """8,600 kWh × 0.995^(n − 1) over 15 years, in whole certificates, at 85: our own sum apart from this code."""
    a_house = filled(finish_day="2025-06-01", place={"state": "NJ"}, array={"array_kw": 5.0, "degradation_percent_per_year": 0.5},
                     money={"certificates_kept": False})
    years = paid_back(a_house, SUN).middle.years
    total, mwh, expected = 0, 0.0, []
    for n in range(15):
        mwh += 8.6 * 0.995 ** n
        expected.append((int(mwh) - total) * 85.0)
        total = int(mwh)
    assert [year.incentive for year in years[1:]] == expected + [0.0] * 10


# The leased system: section 70513: nothing for solar property placed in service after December 31, 2027, unless its
# construction began by 2026-07-04 (tax publishers, reports of IRS notices). It is the company's, never the household's.

@pytest.mark.parametrize(("day", "words"), [("2027-12-31", "The company may claim it"), ("2028-01-01", "began by 2026-07-04")])
def test_the_credit_of_a_leased_system_ends_and_is_never_booked_by_the_household(day, words):
    a_house = filled(finish_day=day, money={"federal_tax_owed_per_year": 9000.0})
    finding = next(f for f in find_incentives(a_house, 18_000.0, 25, owner="company") if f.key == "federal_leased_credit")
    assert finding.amount == 0.0
    assert words in finding.sentence
    assert FEDERAL not in [f.key for f in find_incentives(a_house, 18_000.0, 25, owner="company")]
