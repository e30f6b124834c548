"""Certificates come whole, one for each MWh; a fraction waits for the next year; whether they are sold is the household's word."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from reportgen.payback.certificates import SOLD, certificates_sold, whole_certificates
from reportgen.payback.incentives import find_incentives
from tests.payback.parts import filled

OUTPUT = [7500.0] * 25


def _new_jersey(output=OUTPUT, owner="household", **changed):
    a_house = filled(**{"finish_day": "2025-06-01", "place": {"state": "New Jersey"}, **changed})
    return next(f for f in find_incentives(a_house, 18_000.0, 25, output, owner) if f.key == "new_jersey_certificates")


def test_a_half_mwh_waits_for_the_next_year():
    assert whole_certificates([7500.0] * 4, 15) == (7, 8, 7, 8)
    assert whole_certificates([400.0] * 6, 5) == (0, 0, 1, 0, 1)


@settings(max_examples=60, deadline=None)
@given(st.lists(st.floats(0, 30_000), min_size=1, max_size=25))
def test_no_certificate_is_made_or_lost_but_the_last_fraction(kwh):
    made = whole_certificates(kwh, 25)
    assert all(n >= 0 for n in made)
    assert sum(made) <= sum(kwh) / 1000 + 1e-6 < sum(made) + 1 + 1e-5


def test_what_is_sold_is_paid_and_the_power_may_no_longer_be_called_solar():
    finding = _new_jersey(money={"certificates_kept": False})
    assert finding.by_year[:2] == (595.0, 680.0) and finding.by_year[15:] == (0.0,) * 10
    assert SOLD in finding.sentence and "ask a tax adviser" in finding.sentence
    assert finding.kind == "certificates"


def test_whoever_keeps_them_is_paid_nothing():
    finding = _new_jersey(money={"certificates_kept": True})
    assert finding.amount == 0
    assert "you may call your own power solar" in finding.sentence


def test_where_nobody_said_whether_they_are_sold_nothing_is_counted_and_the_sum_is_shown():
    finding = _new_jersey()
    assert (finding.amount, finding.not_counted) == (0.0, 9520.0)
    assert finding.sentence.startswith("Up to $9,520, not counted: whether you sell the certificates is not said.")


def test_a_rate_that_is_unsettled_is_asked_for_and_not_counted():
    finding = _new_jersey(finish_day="2026-06-01", money={"certificates_kept": False})
    assert finding.amount == 0
    assert "Take it from the Board's page" in finding.sentence
    assert _new_jersey(finish_day="2026-06-01", money={"certificates_kept": False, "certificate_price_per_mwh": 80.0}
                       ).by_year[0] == 7 * 80.0


def test_without_a_finishing_day_or_an_output_nothing_is_assumed():
    assert _new_jersey(finish_day=None, money={"certificates_kept": False}).sentence.startswith("Nothing is assumed")
    assert "the output by year is not known" in _new_jersey(None, money={"certificates_kept": False}).sentence


def test_under_a_lease_the_company_gets_them():
    finding = _new_jersey(owner="company", money={"certificates_kept": False})
    assert finding.amount == 0
    assert finding.sentence.startswith("The company that owns the array gets them")
    assert SOLD in finding.sentence


def test_those_of_illinois_come_from_the_offer():
    sold = {"certificates_kept": False}
    a_house = filled(finish_day="2026-06-01", place={"state": "IL"}, money=sold)
    finding = next(f for f in find_incentives(a_house, 18_000.0, 25, OUTPUT) if f.key == "illinois_certificates")
    assert finding.amount == 0
    assert "Take the sum from the offer" in finding.sentence


@pytest.mark.parametrize(("changed", "sold"), [
    ({}, False), ({"money": {"certificates_kept": True}}, False), ({"money": {"certificates_kept": False}}, True),
    ({"incentives": [{"name": "offer", "kind": "certificates at once", "amount": 4000.0, "source": "the offer",
                      "read_on": "2026-11-01"}]}, True)])
def test_whether_they_are_sold_is_one_word_for_the_whole_report(changed, sold):
    assert certificates_sold(filled(**changed)) is sold
