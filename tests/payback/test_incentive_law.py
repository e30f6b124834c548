"""The table of laws holds together, a state is found by name or letters, a bill is never counted, an end is told in time."""

import timeit
from datetime import date

import pytest

from reportgen.payback.incentive_law import law_rows, laws_for, two_years_after
from reportgen.payback.incentives import find_incentives, if_laws_change, incentive_notes
from tests.bills.hours import SUN_KWH, sun_hours
from tests.payback.parts import filled, paid_back


def _found(key, owner="household", payments=(), price=18_000.0, **changed):
    return next(f for f in find_incentives(filled(**changed), price, 25, None, owner, payments) if f.key == key)


def test_the_days_of_one_law_never_overlap_and_every_row_has_a_source_and_a_day():
    for country, state, owner in {(r.country, r.state, o) for r in law_rows() for o in r.owned_by}:
        for law in laws_for(country, state, owner):
            for earlier, later in zip(law.rows, law.rows[1:], strict=False):
                assert earlier.finished_to < later.finished_from
    for row in law_rows():
        assert row.source and isinstance(row.seen_on, date) and row.claimed_by in ("household", "company", "owner")
        assert row.kind != "credit_on_price" or row.pending or row.percent is not None
        assert not row.pending or (row.percent is None and row.amount_per_mwh is None)


@pytest.mark.parametrize("written", ["New York", "new york", "NY", "ny", "N.Y.", "New York State"])
def test_a_state_is_known_by_its_name_or_two_letters(written):
    assert "new_york_credit" in [law.last.key for law in laws_for("US", written, "household")]


@pytest.mark.parametrize("written", [None, "", "York", "New Jersey", "Newyork"])
def test_another_state_is_not_taken_for_it(written):
    assert "new_york_credit" not in [law.last.key for law in laws_for("US", written, "household")]


def test_a_bill_is_told_as_a_bill_and_counts_nothing():
    finding = _found("federal_residential_credit", finish_day="2027-04-15", money={"federal_tax_owed_per_year": 9000.0})
    assert finding.amount == 0
    assert "S. 3722" in finding.if_law_changes and "not law" in finding.if_law_changes


def test_an_end_within_two_years_is_told_with_what_it_takes_away():
    finding = _found("federal_residential_credit", report_day="2024-06-01", finish_day="2024-12-01",
                     money={"federal_tax_owed_per_year": 9000.0})
    assert finding.until == date(2025, 12, 31)
    assert finding.if_law_changes == ("Federal residential clean energy credit (26 U.S. Code 25D): for systems finished by 2025-12-31. "
                                      "Finished later, it gives nothing: $5,400 less.")


def test_an_end_further_away_is_not_told():
    assert _found("federal_residential_credit", report_day="2023-06-01", finish_day="2023-12-01").if_law_changes == ""


def test_two_years_after_a_leap_day_is_a_day():
    assert two_years_after(date(2028, 2, 29)) == date(2030, 2, 28)


def test_the_credit_of_a_leased_array_is_the_companys():
    assert "federal_leased_credit" not in [f.key for f in find_incentives(filled(finish_day="2027-04-15"), 18_000.0, 25)]
    finding = _found("federal_leased_credit", "company", finish_day="2027-04-15")
    assert finding.amount == 0 and finding.until == date(2027, 12, 31)
    assert "The household never books it" in finding.sentence
    assert "2027-12-31" in finding.if_law_changes


@pytest.mark.parametrize(("day", "begins"), [("2027-12-31", "The company may claim it"), ("2028-01-01", "Nothing for arrays switched on after"),
                                             (None, "Not known")])
def test_the_last_day_of_the_leased_credit_is_by_switching_on(day, begins):
    """Public Law 119-21, section 70513: nothing for what is placed in service after December 31, 2027."""
    finding = _found("federal_leased_credit", "company", finish_day=day)
    assert finding.sentence.startswith(begins)
    assert day == "2027-12-31" or "2026-07-04" in finding.sentence


def test_the_state_of_new_york_gives_at_most_5000():
    finding = _found("new_york_credit", price=40_000.0, finish_day="2027-04-15", place={"state": "NY"},
                     money={"state_tax_owed_per_year": 9000.0})
    assert finding.amount == 5000
    assert "at most $5,000" in finding.sentence


def test_what_five_years_of_tax_leave_of_it_is_lost():
    finding = _found("new_york_credit", finish_day="2027-04-15", place={"state": "NY"}, money={"state_tax_owed_per_year": 300.0})
    assert finding.by_year[:7] == (300.0,) * 6 + (0.0,)
    assert "$2,700 is lost, since it is carried 5 years only" in finding.sentence


def test_a_states_credit_is_not_counted_while_the_states_tax_is_not_known():
    finding = _found("new_york_credit", finish_day="2027-04-15", place={"state": "NY"}, money={"federal_tax_owed_per_year": 9000.0})
    assert (finding.amount, finding.not_counted) == (0.0, 4500.0)
    assert "New York State income tax owed, which is not given" in finding.sentence


def test_a_lease_earns_the_new_york_credit_as_it_is_paid_for():
    changed = {"finish_day": "2027-04-15", "place": {"state": "NY"}, "money": {"state_tax_owed_per_year": 9000.0}}
    lease = _found("new_york_credit", "company", (1200.0,) * 20, **changed)
    assert lease.by_year == (300.0,) * 15 + (0.0,) * 10
    assert _found("new_york_credit", "company", (4000.0,) * 20, **changed).amount == 5000
    assert _found("new_york_credit", "company", (1200.0,) * 9, **changed).amount == 0
    assert "payments are not given" in _found("new_york_credit", "company", **changed).sentence


def test_a_system_finished_before_the_report_is_told_as_finished():
    a_house = filled(finish_day="2025-12-20", money={"federal_tax_owed_per_year": 9000.0})
    assert "finished on 2025-12-20, before this report" in " ".join(incentive_notes(a_house))
    assert "finished on 2025-12-20, before this report" in find_incentives(a_house, 18_000.0, 25)[0].sentence
    assert "before this report" not in " ".join(incentive_notes(filled(finish_day="2026-12-20")))


def test_a_day_far_ahead_is_said_to_lie_beyond_the_law():
    finding = _found("new_york_credit", finish_day="2090-04-15", place={"state": "NY"}, money={"state_tax_owed_per_year": 900.0})
    assert "the law may be another by then" in finding.sentence


def test_taxes_that_are_not_asked_are_told_only_where_the_house_file_speaks_of_them():
    keys = [f.key for f in find_incentives(filled(), 18_000.0, 25)]
    assert keys == ["federal_residential_credit"]
    exempt = {"property_tax_percent": 1.5, "property_tax_added_value": 10_000.0, "property_tax_exempt": True}
    finding = _found("property_tax_exemption", money=exempt)
    assert (finding.kind, finding.amount) == ("tax exemption", 0.0)
    assert "spares $150 a year" in finding.sentence and "$3,750 in 25 years" in finding.sentence
    finding = _found("sales_tax_exemption", money={"sales_tax_percent": 8.0, "sales_tax_exempt": True})
    assert "worth $1,440 (8 % of $18,000)" in finding.sentence


def test_property_tax_is_a_cost_where_no_exemption_is_said():
    sun = sun_hours(SUN_KWH)
    money = {"property_tax_percent": 1.5, "property_tax_added_value": 10_000.0, "inflation_percent": 0.0, "discount_percent": 0.0}
    due = paid_back(filled(money=money), sun).net_present_value.value
    exempt = paid_back(filled(money={**money, "property_tax_exempt": True}), sun).net_present_value.value
    assert exempt - due == pytest.approx(150.0 * 25)
    assert "No exemption is said" in _found("property_tax_exemption", money=money).sentence
    assert "with all taxes in it, $1,330 of it" in _found("sales_tax_exemption", money={"sales_tax_percent": 8.0}).sentence


def test_a_state_that_is_not_said_or_not_held_is_told():
    assert "the state is not said" in " ".join(incentive_notes(filled()))
    assert "does not mean that there are none" in " ".join(incentive_notes(filled(place={"state": "Ohio"})))
    assert incentive_notes(filled(place={"state": "NJ"})) == ()


def test_the_lines_of_what_may_change_are_gathered():
    assert len(if_laws_change(find_incentives(filled(finish_day="2027-04-15"), 18_000.0, 25))) == 1


def test_an_owner_that_is_neither_is_refused():
    with pytest.raises(ValueError, match="household, company"):
        find_incentives(filled(), 18_000.0, 25, owner="landlord")


def test_asking_often_is_cheap():
    """Break-evens ask hundreds of times: a fifth of a millisecond is many times what it takes, and holds on a busy machine."""
    a_house = filled(finish_day="2025-12-20", money={"federal_tax_owed_per_year": 2500.0})
    find_incentives(a_house, 18_000.0, 25)
    assert min(timeit.repeat(lambda: find_incentives(a_house, 18_000.0, 25), number=200, repeat=5)) / 200 < 200e-6
