"""Facts that were stated and may turn out otherwise."""

import pytest

from reportgen.describe.assumptions import complete
from reportgen.what_if import given_but_uncertain
from tests.houses import house

FULL = dict.fromkeys(("price_per_kwh", "fixed_per_month", "export")) | {
    "name": "by the hour of day", "windows": [{"name": "peak", "hours": ["16-21"]}, {"name": "rest"}],
    "energy": [{"prices": [{"window": "peak", "price_per_kwh": 0.30}, {"window": "rest", "price_per_kwh": 0.10}]}],
    "export_rule": {"rule": "one-to-one", "buckets": "by window"}}
SOLD = {"name": "sold", "price_per_kwh": 0.2, "fixed_per_month": 9, "export": "net billing", "export_price_per_kwh": 0.04}


def _export_rule(**changed):
    found = {w.key: w for w in given_but_uncertain(complete(house(array={"array_kw": 5.0}, **changed))[0], frozenset())}
    return found.get("tariff.export")


def test_one_to_one_may_become_net_billing_at_a_quarter_of_the_price_in_either_form():
    """The quarter is common practice, no source: 0.15 / 4; and the mean of 0.30 and 0.10 / 4."""
    for tariff, price in (({}, 0.0375), (FULL, 0.05)):
        rule = _export_rule(tariff=tariff).low.tariff.export_rule
        assert (rule.rule, rule.price_per_kwh) == ("net billing", pytest.approx(price))


def test_a_leftover_price_is_what_a_kwh_would_earn():
    moved = _export_rule(tariff={"reset_month": "March", "leftover_price_per_kwh": 0.035})
    assert moved.low.tariff.export_rule.price_per_kwh == 0.035 and moved.source == "today's price for surplus kWh"


def test_every_open_plan_with_one_to_one_changes_and_no_other():
    moved = _export_rule(tariff={**FULL}, plans_with_solar=[SOLD, {**SOLD, "name": "third", "export": "one-to-one",
                                                                   "export_price_per_kwh": None}])
    sold, third = moved.low.plans_with_solar
    assert sold.export == "net billing" and third.export_rule.rule == "net billing"
    assert _export_rule(tariff={"export": "net billing", "export_price_per_kwh": 0.05}) is None
