"""What is uncertain, moved all together."""

import numpy as np
import pytest
from scipy import stats

from reportgen.bills.plans import HORIZON_YEARS
from reportgen.describe.assumptions import Assumption
from reportgen.payback.cases import case_bills, cash_columns
from reportgen.payback.joint_range import POINTS, RULE_CHANGES_AT_SHARE, joint_range
from reportgen.payback.points import even_points, normal, triangular
from reportgen.payback.present_value import present_value
from tests.payback.chained import counted

NET_BILLING = {"export": "net billing", "export_price_per_kwh": 0.06}


def _joint(house, assumptions=()):
    return joint_range(house.house, house.production, house.plans, house.cases, assumptions, house.rule, house.plans_if)


def test_the_points_are_those_of_the_plain_halton_sequence():
    """Outside reference: scipy.stats.qmc.Halton without scrambling, whose first point is the origin."""
    reference = stats.qmc.Halton(7, scramble=False).random(POINTS + 1)[1:]
    assert even_points(POINTS, 7) == pytest.approx(reference, abs=1e-12)


def test_the_spreads_are_those_of_scipy():
    share = even_points(64, 1)[:, 0]
    assert triangular(share, 1.0, 2.0, 5.0) == pytest.approx(stats.triang(0.25, 1.0, 4.0).ppf(share), abs=1e-12)
    assert normal(share, 0.1) == pytest.approx(stats.norm(1.0, 0.1).ppf(share), abs=1e-12)
    assert triangular(share, 2.0, 2.0, 2.0).tolist() == [2.0] * 64


def test_an_output_below_nothing_is_nothing():
    assert normal(np.array([0.001]), 1.0)[0] == 0.0


def test_same_house_same_range_to_the_bit():
    house = counted(tariff=NET_BILLING)
    assert _joint(house) == _joint(house)


def test_the_share_above_zero_is_what_the_sentence_says():
    for price, per_kwh, says in ((14_000.0, 0.15, None), (14_000.0, 0.9, "At all 256 points"), (300_000.0, 0.15, "At none of 256 points")):
        joint = _joint(counted(money={"installed_price": price}, tariff={"price_per_kwh": per_kwh}))
        above = sum(worth > 0 for worth in joint.sorted_worths)
        assert joint.share_above_zero.value == pytest.approx(100 * above / POINTS)
        assert joint.sentence.startswith(says or f"About {round(10 * above / POINTS)} in 10 of these 256 points")


def test_low_middle_and_high_are_the_tenth_the_fiftieth_and_the_ninetieth_percentile():
    joint = _joint(counted())
    figure, worths = joint.net_present_value, np.array(joint.sorted_worths)
    assert [np.mean(worths < x) for x in (figure.low, figure.value, figure.high)] == pytest.approx([0.1, 0.5, 0.9], abs=1 / POINTS)
    assert joint.payback.low <= joint.payback.value <= (joint.payback.high or HORIZON_YEARS + 1)
    assert all(float(year).is_integer() for year in (joint.payback.low, joint.payback.value))


def test_a_utility_that_may_change_its_rule_lowers_the_low_end():
    keeps = counted(tariff={"export": "net billing", "export_price_per_kwh": 0.15})
    may_change = counted()
    assert keeps.rule is None and may_change.rule is not None
    assert _joint(may_change).net_present_value.low < _joint(keeps).net_present_value.low
    named = next(one for one in _joint(may_change).inputs if one.name.startswith("the utility's rule"))
    assert "25 %" in named.spread_is and "our number, no source" in named.spread_is
    assert np.mean(even_points(POINTS, 7)[:, 0] < RULE_CHANGES_AT_SHARE) == RULE_CHANGES_AT_SHARE


def test_upkeep_moves_where_it_is_assumed_and_stays_where_it_is_written():
    house = counted()
    upkeep = Assumption("money.upkeep_per_kw_year", ("money.upkeep_per_kw_year",), "Upkeep", 33.0, 15.0, 60.0, "USD/kW", "", "", "")
    moved = _joint(house, (upkeep,))
    assert any(one.name == "upkeep per kW and year" for one in moved.inputs)
    assert "upkeep, as written in the house file" in _joint(house).fixed
    assert moved.net_present_value != _joint(house).net_present_value


def test_with_nothing_uncertain_left_every_point_is_the_middle_case():
    """Output certain, one price for all kWh taken or sent, no reach left: all points agree with the cash by year."""
    house = counted(low=1.0, high=1.0, tariff={"export": "net billing", "export_price_per_kwh": 0.15}, use={"annual_kwh": 30_000})
    joint = joint_range(house.house, house.production, house.plans, (house.middle,) * 3, (), None, None)
    flows = cash_columns(house.house, house.middle, case_bills(house.house, house.plans, house.middle)).flows
    middle = present_value(flows, house.house.money.discount_percent / 100)
    price = house.middle.price   # a written price still moves by a tenth either way
    assert min(joint.sorted_worths) > middle - 0.1 * price - 1e-6 and max(joint.sorted_worths) < middle + 0.1 * price + 1e-6
    assert joint.net_present_value.value == pytest.approx(middle, abs=0.01 * price)
