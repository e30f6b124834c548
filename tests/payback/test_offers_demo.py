"""The three invented offers of the corner house: what each paper leaves unsaid or says otherwise must come out."""

import pytest

from tests.payback.offers_in_hand import about
from tests.report.built import assessed

HOUSE = "corner-house"


def _offers():
    return assessed(HOUSE).offers


def test_cash_a_loan_and_a_lease_stand_side_by_side():
    found = assessed(HOUSE)
    assert [offer.kind for offer in found.offers] == ["cash", "loan", "lease"]
    assert found.offer_table.labels == tuple(offer.label for offer in found.offers)
    assert {f.key for offer in found.offers for f in offer.figures} <= set(found.figures)


def test_the_cash_offer_of_the_houses_own_size_and_price_has_its_worth():
    cash, own = _offers()[0], assessed(HOUSE).payback
    assert (cash.size_kw, cash.price.value) == (8.0, assessed(HOUSE).house.money.installed_price)
    assert round(cash.net_present_value.value) == round(own.net_present_value.value)
    assert cash.simple_payback.span_text() == own.simple_payback.span_text()


def test_the_loan_offers_hidden_parts_are_found():
    loan = _offers()[1]
    weights = {topic: {f.weight for f in about(loan, topic)} for topic in ("size", "output", "growth", "saving", "credit", "added", "payment")}
    assert all("differs" in found for found in weights.values()), weights
    assert loan.markup.value > 0 and loan.true_rate.value > 3.99 and loan.later_payment.value > loan.first_payment.value


def test_the_lease_offer_shows_its_last_payment_and_its_total():
    lease = _offers()[2]
    assert lease.last_payment.value > lease.first_payment.value and lease.owner == "the company"
    assert any("in year 25. All payments of 25 years come to" in f.sentence for f in about(lease, "payment"))


def test_an_offer_with_more_modules_than_the_roof_holds_is_shown_with_both_outputs():
    _, loan, lease = _offers()
    assert loan.output_with_room.value == pytest.approx(loan.output.value * 20 / 23) and lease.output_with_room is None


def test_what_the_paper_leaves_to_the_household_is_in_the_whole_cost_and_shown_without_it_too():
    lease = _offers()[2]
    lifting = lease.other_costs["Lifting it for a new roof"][0]
    assert lease.whole_cost.value == pytest.approx(lease.total_paid.value + lifting, abs=1)
    assert lease.if_lifted.value - lease.net_present_value.value == pytest.approx(lifting / 1.044**19, abs=1)


def test_a_new_inverter_that_a_warranty_or_a_company_pays_is_shown_as_the_households_too():
    cash, loan, lease = _offers()
    assert cash.with_inverter is None and cash.other_costs["New inverter"][1] == (15,)
    inverter = cash.other_costs["New inverter"][0] / 1.044**15
    assert lease.net_present_value.value - lease.with_inverter.value == pytest.approx(inverter, abs=1)
    assert loan.net_present_value.value - loan.with_inverter.value == pytest.approx(inverter * 9.2 / 8, abs=1)     # by its size


def test_the_loan_is_shown_with_the_expected_sum_paid_in_too():
    loan = _offers()[1]
    month_18 = loan.first_payment.value * 18
    assert loan.total_if_paid_in.value == pytest.approx(month_18 + 11_661 + loan.first_payment.value * 282, abs=20)
    assert loan.total_if_paid_in.value < loan.total_paid.value and loan.if_paid_in is not None


def test_an_offer_with_too_many_modules_has_its_worth_with_those_that_have_room_too():
    cash, loan, lease = _offers()
    assert cash.worth_with_room is None and lease.worth_with_room is None
    assert loan.worth_with_room.value < loan.net_present_value.value
    assert loan.if_in_cash.value > loan.net_present_value.value      # what the loan takes beyond the array


def test_whole_costs_are_alike_for_all_papers():
    """Whole cost and worth differ by what the bill falls by, the same sum for arrays of one size."""
    cash, _, lease = _offers()
    saved = [offer.net_present_value.value + offer.whole_cost_today.value for offer in (cash, lease)]
    assert saved[0] == pytest.approx(saved[1], abs=1)


def test_every_paper_is_shown_under_the_export_rule_that_may_come():
    assert all(offer.if_rule_changes.value < offer.net_present_value.value for offer in _offers())
    assert any(row.label.startswith("The same, with $0.035") for row in assessed("corner-house").offer_table.rows)


def test_each_paper_agrees_somewhere_so_that_the_reading_is_fair():
    assert all(any(f.weight == "agrees" for f in offer.findings) for offer in _offers())
