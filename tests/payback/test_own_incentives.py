"""What the house file brings: rebates lower what credits count from, days decide, certificates are paid as written."""

import pytest

from reportgen.payback.incentives import find_incentives
from tests.bills.hours import SUN_KWH, sun_hours
from tests.payback.parts import filled, paid_back

TAXES = {"federal_tax_owed_per_year": 90_000.0, "state_tax_owed_per_year": 90_000.0}
OUTPUT = [7500.0] * 25


def _own(**keys):
    return {"name": "city rebate", "kind": "rebate", "source": "the city's page", "read_on": "2026-11-01", **keys}


def _found(*owns, owner="household", price=18_000.0, output=OUTPUT, **changed):
    a_house = filled(**{"finish_day": "2026-12-01", "money": TAXES, **changed, "incentives": list(owns)})
    return {f.key: f for f in find_incentives(a_house, price, 25, output, owner)}


def test_a_rebate_is_paid_in_its_year():
    finding = _found(_own(amount=2100.0, paid_in_year=2))["own_1"]
    assert finding.by_year[:3] == (0.0, 2100.0, 0.0)
    assert (finding.kind, finding.name, finding.seen_on) == ("rebate", "city rebate", "2026-11-01")


def test_a_rebate_lowers_what_the_credits_count_from_and_no_credit_lowers_another():
    found = _found(_own(amount=3000.0), finish_day="2025-12-20", place={"state": "NY"})
    assert found["federal_residential_credit"].amount == pytest.approx(0.30 * 15_000)
    assert found["new_york_credit"].amount == pytest.approx(0.25 * 15_000)
    assert "price after rebates ($15,000)" in found["new_york_credit"].sentence


def test_a_rebate_outside_its_days_lowers_nothing():
    found = _found(_own(amount=3000.0, finished_to="2025-06-30"), finish_day="2025-12-20")
    assert found["own_1"].amount == 0
    assert found["own_1"].sentence.startswith("Nothing: it holds for systems finished until 2025-06-30")
    assert found["federal_residential_credit"].amount == pytest.approx(0.30 * 18_000)


def test_a_rebate_is_never_more_than_the_price():
    assert _found(_own(amount=3000.0), price=1000.0)["own_1"].amount == 1000


def test_a_share_is_of_the_price_and_ends_at_its_cap():
    assert _found(_own(percent=10.0))["own_1"].amount == 1800
    assert _found(_own(percent=10.0, cap=1500.0))["own_1"].amount == 1500


def test_without_a_finishing_day_nothing_is_assumed():
    finding = _found(_own(amount=2100.0), finish_day=None)["own_1"]
    assert finding.amount == 0
    assert finding.sentence.startswith("Nothing is assumed")


def test_a_credit_shares_the_tax_with_the_laws_credits():
    own = _own(name="state credit", kind="credit", percent=25.0, against="state income tax", carry_years=1)
    found = _found(own, place={"state": "NY"}, money={"state_tax_owed_per_year": 4000.0})
    assert found["new_york_credit"].by_year[:2] == (4000.0, 500.0)
    assert found["own_1"].by_year[:3] == (0.0, 3500.0, 0.0)
    assert "$1,000 is lost" in found["own_1"].sentence


def test_a_credit_against_a_tax_that_is_not_known_is_shown_and_not_counted():
    own = _own(name="state credit", kind="credit", amount=1000.0, against="state income tax")
    finding = _found(own, money={})["own_1"]
    assert (finding.amount, finding.not_counted) == (0.0, 1000.0)
    assert "Up to $1,000" in finding.sentence


@pytest.mark.parametrize(("kind", "keys", "first", "total"), [
    ("certificates at once", {"amount": 4000.0}, 4000.0, 4000.0),
    ("certificates quarterly", {"amount": 50.0, "years": 7}, 200.0, 1400.0),
    ("certificates quarterly", {"amount": 50.0, "years": 40}, 200.0, 5000.0),
    ("certificates per MWh", {"amount": 60.0, "years": 10}, 420.0, 4500.0),
])
def test_certificates_are_paid_as_written(kind, keys, first, total):
    finding = _found(_own(name="certificates", kind=kind, **keys))["own_1"]
    assert (finding.by_year[0], finding.amount) == (first, total)
    assert "may no longer say that the house uses solar power" in finding.sentence
    assert "ask a tax adviser" in finding.sentence


def test_where_the_house_brings_its_own_certificates_the_tables_are_not_counted_too():
    own = _own(name="certificates", kind="certificates at once", amount=4000.0)
    found = _found(own, place={"state": "NJ"}, finish_day="2025-12-20", money={"certificates_kept": False})
    assert found["new_jersey_certificates"].amount == 0
    assert found["own_1"].amount == 4000


def test_what_is_taxed_is_counted_after_tax_where_its_share_is_known():
    own = _own(name="certificates", kind="certificates at once", amount=4000.0, taxed="taxed", tax_percent=25.0)
    assert _found(own)["own_1"].amount == 3000


def test_certificates_that_begin_after_the_years_counted_are_none():
    own = _own(name="certificates", kind="certificates per MWh", amount=60.0, years=10, paid_in_year=25)
    assert _found(own)["own_1"].amount == pytest.approx(7 * 60.0)
    assert find_incentives(filled(finish_day="2026-12-01", incentives=[own]), 18_000.0, 5, OUTPUT)[-1].amount == 0


def test_under_a_lease_only_what_the_household_still_gets_is_counted():
    own = _own(amount=500.0)
    assert "own_1" not in _found(own, owner="company")
    assert _found({**own, "for_leases": True}, owner="company")["own_1"].amount == 500


def test_what_was_read_long_ago_is_flagged_and_an_end_near_by_is_told():
    finding = _found(_own(amount=500.0, finished_to="2027-06-30", read_on="2026-03-01"))["own_1"]
    assert finding.is_stale and "more than 180 days" in finding.sentence
    assert finding.if_law_changes == "city rebate: for systems finished by 2027-06-30. Finished later, it gives nothing: $500 less."


def test_outside_the_united_states_the_house_files_own_are_all_there_is():
    place = {"country": "NL", "latitude": 52.0, "longitude": 5.3, "time_zone": "Europe/Amsterdam"}
    found = _found(_own(amount=500.0), place=place, money={"currency": "EUR"})
    assert list(found) == ["own_1"]


def test_they_enter_the_cash_of_their_years():
    years = paid_back(filled(finish_day="2026-12-01", incentives=[_own(amount=2100.0), _own(
        name="certificates", kind="certificates per MWh", amount=100.0, years=2)]), sun_hours(SUN_KWH)).middle.years
    assert (years[1].incentive, years[2].incentive, years[3].incentive) == (2100.0 + 800.0, 900.0, 0.0)
