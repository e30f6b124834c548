"""Cash over 25 years, present values and the dated credit, against published factors and worked examples."""

import numpy as np
import pytest

from reportgen.payback.present_value import internal_rate, present_value, present_value_factor
from tests.bills.hours import SUN_KWH, sun_hours
from tests.payback.parts import filled, paid_back

SUN = sun_hours(SUN_KWH)   # 8,600 kWh
REFERENCE = {"installed_price": 18000.0, "upkeep_per_kw_year": 30.0, "inverter_replacement": 2000.0,
             "inverter_years": 15, "price_growth_percent": 2.2, "inflation_percent": 2.2, "discount_percent": 4.4}


def _reference(growth_percent=2.2):
    """Our own reference project, computed by hand formula apart from this code (nominal): 18,000 paid; 8,600 kWh, all
    offset at 0.15; price +2.2 %, output −0.5 % a year; upkeep 150 and in year 15 an inverter of 2,000, both +2.2 %."""
    a_house = filled(use={"annual_kwh": 30_000}, money={**REFERENCE, "price_growth_percent": growth_percent},
                     array={"array_kw": 5.0, "degradation_percent_per_year": 0.5})
    return paid_back(a_house, SUN)


def test_the_reference_project_year_by_year():
    years = _reference().middle.years
    assert years[0].net == -18000
    assert years[1].net == pytest.approx(1140.00, abs=0.005)     # 8,600 × 0.15 − 150
    assert years[15].net == pytest.approx(-1284.86, abs=0.005)   # the inverter grown by 14 steps: year 1 is today's
    assert years[25].net == pytest.approx(1675.38, abs=0.005)


def test_the_reference_project_as_a_whole():
    case = _reference().middle
    assert case.net_present_value == pytest.approx(698.47, abs=0.005)
    assert case.internal_rate == pytest.approx(0.04754, abs=5e-6)
    assert case.simple_payback_years == 17
    assert case.discounted_payback_years == 24


def test_the_growth_of_the_price_turns_the_sign():
    """The same project at six growths of the electricity price, net present value printed to whole money."""
    printed = {0.0: -3825, 1.0: -1939, 2.2: 698, 3.0: 2721, 4.0: 5598, 6.0: 12770}
    assert {g: round(_reference(g).net_present_value.value) for g in printed} == printed
    table = {g: round(v) for g, v in _reference().price_growth_table}
    assert {g: v for g, v in table.items() if g >= 0} == {g: v for g, v in printed.items() if g != 6.0}
    assert table[-1.0] == round(_reference(-1.0).net_present_value.value)


@pytest.mark.parametrize(("years", "single", "uniform"), [
    # 3 % real, end of year: factors as printed in NIST's life-cycle-cost tables (Handbook 135 and its supplements)
    (5, 0.863, 4.58), (10, 0.744, 8.53), (15, 0.642, 11.94), (20, 0.554, 14.88), (25, 0.478, 17.41),
])
def test_present_value_factors_as_printed(years, single, uniform):
    assert present_value_factor(0.03, years) == pytest.approx(single, abs=0.0005)
    assert present_value(np.array([0.0] + [1.0] * years), 0.03) == pytest.approx(uniform, abs=0.005)


@pytest.mark.parametrize(("year", "factor"), [(6, 0.837), (11, 0.722), (16, 0.623), (7, 0.813), (13, 0.681), (19, 0.570)])
def test_factors_of_a_published_sample_report(year, factor):
    """usnistgov/blcc @ 3cfbded, docs/BLCC 5.3 Reports, ECIP report "DX split system": single sums from the base date."""
    assert present_value_factor(0.03, year) == pytest.approx(factor, abs=0.0005)


def test_present_value_as_in_the_numpy_financial_documentation():
    assert present_value(np.array([-40_000, 5_000, 8_000, 12_000, 30_000]), 0.08) == pytest.approx(3065.22267, abs=5e-6)


@pytest.mark.parametrize(("flows", "rate"), [
    # numpy-financial's documentation of irr
    ([-100, 39, 59, 55, 20], 0.28095), ([-250_000, 100_000, 150_000, 200_000, 250_000, 300_000], 0.56723),
    ([-100, 0, 0, 74], -0.0955),
])
def test_internal_rates_as_in_the_numpy_financial_documentation(flows, rate):
    assert internal_rate(np.array(flows, dtype=float)) == pytest.approx(rate, abs=5e-6 if rate > 0 else 5e-5)


def test_a_bill_of_200_a_month_growing_5_percent_is_645_02_in_year_25_not_677_27():
    """Twenty-four rises, not twenty-five: the question of a neighbourhood board, the sum our own."""
    a_house = filled(use={"annual_kwh": 16_000}, tariff={"fixed_per_month": 0.0}, money={"price_growth_percent": 5.0})
    years = paid_back(a_house, SUN).middle.years
    assert years[1].bill_before / 12 == pytest.approx(200.00, abs=0.005)
    assert years[25].bill_before / 12 == pytest.approx(645.02, abs=0.005)


def _credit(**changed):
    money = {"installed_price": 20_000.0, "federal_tax_owed_per_year": 5000.0, **changed.pop("money", {})}
    return paid_back(filled(money=money, **changed), SUN)


def test_a_credit_larger_than_the_tax_is_carried_to_the_next_year():
    """26 U.S. Code 25D(c) and Form 5695 lines 13 to 16: 6,000 against 5,000 of tax is 5,000 and then 1,000, never more.
    The case of a rural forum, answered there wrongly as a refund of 1,000."""
    finding = _credit(finish_day="2025-11-15").incentives[0]
    assert finding.by_year[:3] == (5000.0, 1000.0, 0.0)
    assert finding.amount == 6000.0


def test_the_same_house_finished_in_2026_gets_nothing_and_carries_nothing():
    """Public Law 119-21, section 70506: nothing for expenditures made after 31 December 2025; made when completed."""
    payback = _credit(finish_day="2026-02-10")
    assert payback.incentives[0].amount == 0
    assert all(y.incentive == 0 for y in payback.middle.years)


def test_a_credit_used_over_four_years_is_worth_8148_and_not_9000():
    """30,000 completed in November 2025, 2,500 of tax a year, 4.4 %: our own sum after 25D(c)."""
    a_house = filled(finish_day="2025-11-30", money={"installed_price": 30_000.0, "federal_tax_owed_per_year": 2500.0})
    by_year = [y.incentive for y in paid_back(a_house, SUN).middle.years]
    assert by_year[:6] == [0, 2500, 2500, 2500, 1500, 0]
    assert present_value(np.array(by_year), 0.044) == pytest.approx(8148, abs=0.5)


def test_a_claimed_credit_that_has_expired_is_warned_about_and_counts_nothing():
    finding = _credit(finish_day="2026-06-01", money={"federal_credit_percent": 30.0}).incentives[0]
    assert (finding.is_warning, finding.amount) == (True, 0.0)
    assert "ended for systems finished after 2025-12-31" in finding.sentence
    assert "says 30 %; the sums use 0 %" in finding.sentence


def test_a_claimed_credit_finished_in_time_counts_in_full():
    finding = _credit(finish_day="2025-12-20", money={"federal_credit_percent": 30.0}).incentives[0]
    assert (finding.is_warning, finding.amount) == (False, 6000.0)


def test_without_a_finishing_day_no_credit_is_assumed():
    finding = _credit(money={"federal_credit_percent": 30.0}).incentives[0]
    assert finding.amount == 0
    assert finding.sentence.startswith("Nothing is assumed: the day the system is finished is not given.")


def test_lifting_the_array_for_a_new_roof_costs_its_year():
    """Refit of 3,800 in year 8 lowers the net present value by 3,800 / 1.044^8 = 2,693: consumer cost guides for the
    price, our own sum for the rest (no inflation, and no output lost meanwhile)."""
    def worth(years_left):
        a_house = filled(array={"module_count": 15}, building={"roof_years_left": years_left, "roof_work_days": 0.0},
                         money={"refit_per_module": 3800 / 15, "inflation_percent": 0.0, "discount_percent": 4.4})
        return paid_back(a_house, SUN).net_present_value.value
    assert worth(25.0) - worth(8.0) == pytest.approx(2693, abs=0.5)
