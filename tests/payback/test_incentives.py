"""Incentives as dated law: the finishing day decides, the tax owed limits, and nothing is assumed in silence."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from reportgen.payback.incentives import used_by_year
from tests.bills.hours import SUN_KWH, sun_hours
from tests.payback.parts import filled, paid_back

SUN = sun_hours(SUN_KWH)


def _finding(**changed):
    return paid_back(filled(**changed), SUN).incentives[0]


def test_with_the_tax_owed_unknown_the_credit_is_shown_but_not_counted():
    payback = paid_back(filled(finish_day="2025-12-20"), SUN)
    assert payback.incentives[0].amount == 0
    assert payback.incentives[0].sentence.startswith("Up to $5,400 (30 % of $18,000), not counted")
    could_add = next(f for f in payback.figures if f.key == "payback.credit_not_counted")
    assert could_add.value == 5400
    assert any("not counted" in note for note in payback.notes)


@pytest.mark.parametrize(("day", "counted"), [("2025-12-31", 5400.0), ("2026-01-01", 0.0)])
def test_the_last_day_counts_and_the_next_does_not(day, counted):
    """Public Law 119-21, section 70506: "after December 31, 2025"."""
    assert _finding(finish_day=day, money={"federal_tax_owed_per_year": 9000.0}).amount == counted


def test_without_tax_nothing_can_be_taken_off_it():
    finding = _finding(finish_day="2025-12-20", money={"federal_tax_owed_per_year": 0.0})
    assert finding.amount == 0
    assert "No such tax is owed" in finding.sentence


def test_a_credit_that_outlasts_the_years_counted_is_counted_only_as_far():
    finding = _finding(finish_day="2025-12-20", money={"federal_tax_owed_per_year": 100.0})
    assert finding.amount == 2500
    assert "$2,900 is left unused" in finding.sentence


def test_a_day_before_the_table_begins_assumes_nothing():
    finding = _finding(finish_day="2019-06-01", money={"federal_tax_owed_per_year": 9000.0})
    assert finding.amount == 0
    assert "does not cover 2019-06-01" in finding.sentence


def test_a_claim_without_a_finishing_day_is_a_warning():
    assert _finding(money={"federal_credit_percent": 30.0}).is_warning


def test_a_claim_below_the_law_is_no_warning_but_is_told():
    finding = _finding(finish_day="2025-12-20", money={"federal_credit_percent": 26.0, "federal_tax_owed_per_year": 9000.0})
    assert (finding.is_warning, finding.amount) == (False, 5400.0)
    assert "says 26 %; the sums use 30 %" in finding.sentence


@pytest.mark.parametrize(("report_day", "is_stale"), [("2026-11-20", False), ("2027-05-23", False), ("2027-05-24", True)])
def test_law_seen_more_than_180_days_before_the_report_is_flagged(report_day, is_stale):
    finding = _finding(report_day=report_day)
    assert finding.is_stale is is_stale
    assert ("last looked at" in finding.sentence) is is_stale


@settings(max_examples=50, deadline=None)
@given(st.floats(0, 50_000), st.floats(0, 20_000))
def test_a_credit_never_exceeds_the_tax_of_a_year_nor_itself(credit, tax):
    used = used_by_year(credit, tax, True, 25)
    assert all(0 <= u <= tax for u in used)
    assert sum(used) <= credit + 1e-6
    assert sum(used) == pytest.approx(min(credit, 25 * tax))
    assert sum(used_by_year(credit, tax, False, 25)) == min(credit, tax)
