"""Waiting a year, fewer modules, a share in a community array, a roof to renew: through the whole chain."""

import numpy as np
import pytest

from reportgen.chain import assess
from reportgen.climate.read import read_year
from reportgen.payback.cases import case_bills, cash_columns
from reportgen.payback.community import community_found
from reportgen.payback.present_value import present_value
from reportgen.payback.roof_work import roof_work
from reportgen.payback.waiting import waiting
from tests.houses import house
from tests.payback.chained import counted, plans_of

PANEL = {"edition": 2020, "busbar_a": 200, "main_breaker_a": 200}
SHARE = {"kwh_per_year": 4000.0, "price_per_month": 25.0, "credit_per_kwh": 0.10, "years": 20, "source": "the programme's page"}


@pytest.fixture(scope="module")
def found():
    described = house(electrical=PANEL, array={"module_count": 12}, money={"installed_price": 15_000.0},
                      other_measures=["insulate the attic", "seal the draughts"])
    return assess(described, read_year(described, None))


def test_each_size_is_what_the_chain_gives_for_a_house_of_that_size(found):
    """Half written into the house file, at the same price per watt: all its numbers to the bit."""
    half = next(rung for rung in found.choices.sizes if rung.module_count == 6)
    written = house(electrical=PANEL, array={"module_count": 6}, money={"installed_price": 7_500.0})
    direct = assess(written, found.year).payback
    assert half.net_present_value.value == pytest.approx(direct.net_present_value.value, rel=1e-9)
    assert (half.payback.low, half.payback.value, half.payback.high) == (
        direct.simple_payback.low, direct.simple_payback.value, direct.simple_payback.high)
    assert half.price.value == 7_500.0


def test_the_houses_own_size_stands_among_them_with_its_own_numbers(found):
    (own,) = [rung for rung in found.choices.sizes if rung.is_own]
    assert own.net_present_value.value == pytest.approx(found.payback.net_present_value.value, abs=1e-6)
    assert own.output.value == found.production.year.value
    assert 3 <= len(found.choices.sizes) <= 4
    counts = [rung.module_count for rung in found.choices.sizes]
    assert counts == sorted(counts)


def test_the_size_that_covers_the_year_does_and_one_module_less_does_not(found):
    (covers,) = [rung for rung in found.choices.sizes if rung.name == "covers the year's use"]
    per_module = found.production.year.value / 12
    assert (covers.module_count - 1) * per_module < found.house.use.year_kwh <= covers.module_count * per_module + 1e-6


def test_the_price_per_watt_is_said_to_be_the_same_for_every_size(found):
    assert "same price per watt" in found.choices.size_notes[0] and "may not grant" in found.choices.size_notes[0]


def test_other_measures_are_named_and_not_calculated(found):
    assert found.choices.other_measures == ("insulate the attic", "seal the draughts")


def test_every_figure_is_collected(found):
    for part in (found.joint, found.needs, found.choices):
        assert all(found.figures[figure.key] == figure for figure in part.figures)
    assert found.emissions is None and found.choices.community is None and found.choices.roof is None


STILL = {"installed_price": 18_000.0, "price_growth_percent": 0.0, "inflation_percent": 0.0, "discount_percent": 4.4}


def _waiting(**changed):
    case = counted(**changed)
    return case, waiting(case.house, case.plans, case.middle, plans_of)


def test_when_no_price_moves_waiting_is_the_same_array_marked_down_by_one_year():
    """Our own sum: worth / 1.044 − worth."""
    case, found = _waiting(money=STILL, use={"annual_kwh": 30_000})
    now = present_value(cash_columns(case.house, case.middle, case_bills(case.house, case.plans, case.middle)).flows, 0.044)
    assert found.gain.value == pytest.approx(now / 1.044 - now, abs=1e-6)
    assert found.gain.high - found.gain.low == pytest.approx(2 * 0.03 * 18_000 / 1.044, abs=1e-6)   # three per cent either way
    assert found.lost_saving.value == pytest.approx(8_600 * 0.15 - 5 * case.house.money.upkeep_per_kw_year, abs=1e-6)


def test_when_power_and_upkeep_grow_the_later_array_saves_a_grown_year():
    """Growth, inflation and discount alike: every flow after the first keeps its worth, only the price loses a year."""
    _, found = _waiting(money={**STILL, "price_growth_percent": 4.4, "inflation_percent": 4.4}, use={"annual_kwh": 30_000})
    assert found.gain.value == pytest.approx(18_000 - 18_000 / 1.044, abs=1e-6)


def test_a_credit_that_ends_in_the_year_of_waiting_is_lost():
    """26 U.S. Code 25D with Public Law 119-21: finished in 2025 30 %, finished in 2026 nothing."""
    money = {**STILL, "federal_tax_owed_per_year": 9_000.0}
    _, found = _waiting(money=money, finish_day="2025-12-01", report_day="2025-11-20", use={"annual_kwh": 30_000})
    _, without = _waiting(money=STILL, use={"annual_kwh": 30_000})
    assert without.gain.value - found.gain.value == pytest.approx(0.30 * 18_000 / 1.044, abs=1e-6)   # taken off the first year's tax
    assert any("would be $0 for a system finished a year later" in said for said in found.sentences)


def test_a_loss_put_off_is_not_called_a_gain_without_a_word():
    _, found = _waiting(money={**STILL, "installed_price": 60_000.0})
    assert found.gain.value > 0 and any("mostly that the loss comes later" in said for said in found.sentences)


def test_a_community_share_year_by_year():
    """Our own sum: 4,000 kWh × 0.10 − 12 × 25 = 100 in the first year; without growth and ageing 100 a year for 20."""
    flat = counted(money={**STILL}, community_share=SHARE, array={"array_kw": 5.0, "degradation_percent_per_year": 0.0})
    found = community_found(flat.house, flat.production, flat.cases)
    assert found.first_year_net.value == pytest.approx(100.0)
    assert len(found.net_by_year) == 21
    level = 100.0 * (1 - 1.044 ** -20) / 0.044
    assert found.net_present_value.value == pytest.approx(level, abs=1e-6) and found.net_present_value.low == pytest.approx(level, abs=1e-6)


def test_a_share_named_by_its_size_takes_this_roofs_output_and_says_so():
    by_kw = {**{k: v for k, v in SHARE.items() if k != "kwh_per_year"}, "share_kw": 2.0}
    case = counted(community_share=by_kw)
    found = community_found(case.house, case.production, case.cases)
    assert "of this roof, since the paper names no kWh" in found.first_year_net.formula
    assert community_found(counted().house, case.production, case.cases) is None


def test_a_roof_that_falls_due_costs_its_lifting_and_its_days_without_sun():
    """Consumer cost guides: 3,800 for 15 modules; 14 days without output, common practice. Our own sum, nothing growing."""
    case = counted(money={**STILL, "refit_per_module": 3_800 / 15}, building={"roof_years_left": 8.0}, use={"annual_kwh": 30_000},
                   array={"module_count": 15, "degradation_percent_per_year": 0.0})
    found = roof_work(case.house, case.plans, case.middle)
    lost_kwh = 8_600 * 14 / 365
    assert found.year == 8 and found.cost.value == pytest.approx(3_800)
    assert found.lost_output.value == pytest.approx(lost_kwh)
    assert found.roof_first_saves.value == pytest.approx((3_800 + lost_kwh * 0.15) / 1.044 ** 8, abs=0.01)
    assert "paid for 8 years earlier" in found.sentence


def test_a_roof_that_outlasts_the_years_counted_asks_nothing():
    case = counted(building={"roof_years_left": 30.0})
    assert roof_work(case.house, case.plans, case.middle) is None


def test_output_lost_to_the_roof_is_in_the_bills_of_its_year_alone():
    with_days, without = (counted(building={"roof_years_left": 8.0, "roof_work_days": days}, use={"annual_kwh": 30_000}, money=STILL)
                          for days in (30.0, 0.0))
    saved = [cash_columns(one.house, one.middle, case_bills(one.house, one.plans, one.middle)) for one in (with_days, without)]
    difference = (saved[0].after - saved[0].before) - (saved[1].after - saved[1].before)
    assert difference[7] > 0 and np.allclose(np.delete(difference, 7), 0.0, atol=1e-9)
