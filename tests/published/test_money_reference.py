"""Life-cycle measures against published sample reports, and our own reference project through a house file."""

import numpy as np
import pytest

from reportgen.payback.life_cycle import adjusted_rate, levelised_cost, life_cycle_cost, savings_to_investment
from reportgen.payback.present_value import paid_back_in, present_value, present_value_factor
from tests.bills.hours import SUN_KWH, sun_hours
from tests.payback.parts import filled, paid_back

# Sample report "Heating/Cooling System, Park Service House" of NIST's life-cycle-cost program 5.3-19 (usnistgov/blcc @ 3cfbded,
# docs/BLCC 5.3 Reports): 3 % real, 15 years. Present values as printed, rounded to whole dollars there.
BASE = {"investment": 1500, "energy": 13_784, "upkeep": 597 + 149, "replacement": 446, "residual": 289}
ALTERNATIVE = {"investment": 3000, "energy": 9419, "upkeep": 1194 + 474, "replacement": 0, "residual": 481}
UPV_15 = (1 - 1.03 ** -15) / 0.03


def test_life_cycle_costs_of_a_published_sample_report():
    assert life_cycle_cost(**BASE) == 16_187
    assert life_cycle_cost(**ALTERNATIVE) == pytest.approx(13_605, abs=1)   # the printed parts are rounded: they add up to 13,606
    assert life_cycle_cost(**BASE) - life_cycle_cost(**ALTERNATIVE) == pytest.approx(2582, abs=1)


def test_savings_to_investment_and_adjusted_rate_of_the_same_report():
    """Printed: savings 3,443, extra investment 861, ratio 4.00, adjusted internal rate 12.97 %."""
    ratio = savings_to_investment(3443, 861)
    assert ratio == pytest.approx(4.00, abs=0.005)
    assert 100 * adjusted_rate(ratio, 0.03, 15) == pytest.approx(12.97, abs=0.005)
    savings = (BASE["energy"] - ALTERNATIVE["energy"]) + (BASE["upkeep"] - ALTERNATIVE["upkeep"])
    invested = (ALTERNATIVE["investment"] - ALTERNATIVE["residual"]) - (BASE["investment"] + BASE["replacement"] - BASE["residual"])
    assert savings == 3443 and invested == pytest.approx(861, abs=1)


def test_payback_of_the_same_report_in_year_5_and_discounted_in_year_6():
    """Yearly amounts from the printed present values of what recurs each year; the year of the rest is not printed."""
    yearly = ((BASE["energy"] - ALTERNATIVE["energy"]) + (597 - 1194)) / UPV_15
    flows = np.array([-(3000.0 - 1500.0), *[yearly] * 15])
    assert paid_back_in(np.cumsum(flows)) == 5
    assert paid_back_in(np.cumsum(flows * present_value_factor(0.03, np.arange(16)))) == 6
    assert 16_187 / UPV_15 == pytest.approx(1356, abs=0.5) and 13_605 / UPV_15 == pytest.approx(1140, abs=0.5)


def test_a_second_sample_report():
    """ECIP report "DX split system", same place: 170,000 for 21,382 in the first year, discounted savings 308,166, 3 %, 21 years."""
    assert 170_000 / 21_382 == pytest.approx(7.95, abs=0.005)
    assert paid_back_in(np.cumsum([-170_000.0, *[21_382.0] * 21])) == 8   # whole years: the eighth pays it back
    ratio = savings_to_investment(308_166, 170_000)
    assert ratio == pytest.approx(1.81, abs=0.005)
    assert 100 * adjusted_rate(ratio, 0.03, 21) == pytest.approx(5.96, abs=0.005)


def test_nothing_invested_has_no_ratio_and_a_loss_has_no_rate():
    assert savings_to_investment(100, 0) is None
    assert adjusted_rate(None, 0.03, 15) is None and adjusted_rate(-0.5, 0.03, 15) is None
    assert levelised_cost(1000, np.zeros(25), 0.044) is None


# Our own reference project, computed by hand formula apart from this code (nominal): see test_money_payback for its cash.
REFERENCE = {"installed_price": 18_000.0, "upkeep_per_kw_year": 30.0, "inverter_replacement": 2000.0, "inverter_years": 15,
             "price_growth_percent": 2.2, "inflation_percent": 2.2, "discount_percent": 4.4}


@pytest.fixture(scope="module")
def reference():
    a_house = filled(use={"annual_kwh": 30_000}, money=REFERENCE, array={"array_kw": 5.0, "degradation_percent_per_year": 0.5})
    found = paid_back(a_house, sun_hours(SUN_KWH))
    return found, {figure.key.removeprefix("payback."): figure for figure in found.figures}


def test_a_kwh_of_the_reference_project_costs_18_12_cents_or_14_23_in_todays_prices(reference):
    _, by_key = reference
    assert 100 * by_key["levelised_cost"].value == pytest.approx(18.12, abs=0.005)
    assert 100 * by_key["levelised_cost_real"].value == pytest.approx(14.23, abs=0.005)


def test_the_measures_of_the_report_agree_with_one_another(reference):
    """Net savings are the difference of the two life-cycle costs; ratio and rate follow from them by definition."""
    found, by_key = reference
    saved = by_key["life_cycle_cost_without"].value - by_key["life_cycle_cost_with"].value
    assert saved == pytest.approx(698.47, abs=0.005) and saved == pytest.approx(found.net_present_value.value, abs=1e-9)
    inverter = 2000 * 1.022 ** 14 / 1.044 ** 15
    ratio = by_key["savings_to_investment"].value
    assert (ratio - 1) * (18_000 + inverter) == pytest.approx(saved, abs=1e-6)
    assert 1 + by_key["adjusted_rate"].value / 100 == pytest.approx(1.044 * ratio ** (1 / 25), abs=1e-9)


def test_the_break_even_price_and_growth_bring_the_worth_to_nothing(reference):
    """At the growth found, the same house's net present value is zero; so at the price found."""
    _, by_key = reference
    growth, price = by_key["break_even_growth"].value, by_key["break_even_price"].value
    for changed in ({"price_growth_percent": growth}, {"installed_price": price}):
        a_house = filled(use={"annual_kwh": 30_000}, money={**REFERENCE, **changed},
                         array={"array_kw": 5.0, "degradation_percent_per_year": 0.5})
        assert paid_back(a_house, sun_hours(SUN_KWH)).net_present_value.value == pytest.approx(0, abs=0.05)
    assert 1.0 < growth < 2.2 and price == pytest.approx(18_698.47, abs=0.005)   # no credit: the price may rise by the worth


def test_a_roof_in_year_8_makes_12_years_of_payback_into_15():
    """Consumer cost guides: net cost 18,000, saving 1,500 a year are 12 years; 3,800 more in year 8 makes 14.5, in whole years 15."""
    def back(**building):
        a_house = filled(use={"annual_kwh": 30_000}, tariff={"price_per_kwh": 1500 / 8600}, building=building,
                         array={"array_kw": 6.0, "module_w": 400.0, "degradation_percent_per_year": 0.0},
                         money={"installed_price": 18_000.0, "upkeep_per_kw_year": 0.0, "price_growth_percent": 0.0, "inflation_percent": 0.0,
                                "refit_per_module": 3800 / 15})
        return paid_back(a_house, sun_hours(SUN_KWH)).simple_payback.value
    assert back() == 12
    assert back(roof_years_left=8.0, roof_work_days=0.0) == 15
    assert present_value(np.array([0.0] * 8 + [3800.0]), 0.044) == pytest.approx(2693, abs=0.5)
