"""Offers taken apart, against published cases and numbers; each goes through a house file's offer and `take_apart`."""

import pytest

from reportgen.payback.offers_table import side_by_side
from tests.payback.offers_in_hand import about, taken_apart
from tests.payback.parts import filled

LOAN = {"rate_percent": 3.99, "months": 300}


@pytest.mark.parametrize(("growth", "in_year_20"), [(2.0, "0.1894"), (2.2, "0.1966")])
def test_a_price_shown_for_year_20_is_19_rises_from_todays(growth, in_year_20):
    """A neighbourhood board's offer: 5.5 kW, 0.274 per kWh in year 20 at +4 % a year, which is 0.1300 today with 19 rises. At
    2 % the same price is 0.1894 in year 20, at 2.2 % 0.1966: our own sums."""
    shown = {"size_kw": 5.5, "growth_assumed_percent": 4.0, "utility_price_per_kwh": 0.13, "shown_price_per_kwh": 0.274, "shown_price_year": 20}
    first, second = about(taken_apart(shown, money={"price_growth_percent": growth})[0], "growth")[1:]
    assert "its $0.13 per kWh of today with 19 rises of 4 %" in first.sentence and first.weight == "agrees"
    assert f"is ${in_year_20} per kWh in year 20" in second.sentence and second.weight == "differs"


def test_todays_price_is_found_where_the_paper_shows_only_a_later_one():
    """The same offer: 0.274 / 1.04^19 = 0.13005, and 0.1895 in year 20 at 2 %."""
    shown = {"size_kw": 5.5, "growth_assumed_percent": 4.0, "shown_price_per_kwh": 0.274, "shown_price_year": 20}
    first, second = about(taken_apart(shown, money={"price_growth_percent": 2.0})[0], "growth")[1:]
    assert "that means $0.1301 per kWh today, since prices rise 19 times" in first.sentence
    assert "is $0.1895 per kWh in year 20" in second.sentence


def test_one_rise_too_many_is_worth_five_per_cent():
    """A bill of 200 a month growing 5 % a year is 645.02 in year 25 (24 rises), not 677.27 (25 rises): our own sums. Said here
    as a price per kWh of 0.20000, so that the digits are the same: 0.64502 and 0.67727."""
    offer = {"growth_assumed_percent": 5.0, "utility_price_per_kwh": 0.2, "shown_price_year": 25}
    wrong = about(taken_apart({**offer, "shown_price_per_kwh": 0.67727})[0], "growth")[1]
    assert wrong.weight == "differs"
    assert "with 25 rises of 5 %. Year 25 comes after 24 rises and has $0.645 per kWh" in wrong.sentence
    right = about(taken_apart({**offer, "shown_price_per_kwh": 0.64502})[0], "growth")[1]
    assert right.weight == "agrees" and "with 24 rises" in right.sentence


def test_the_expected_credit_that_never_comes_turns_113_48_into_162_71():
    """CFPB issue spotlight, 2024-08-07, for the practice; 30,000 at 3.99 % over 300 months, 9,000 expected by month 18: our own
    sums by hand formula."""
    loan = {**LOAN, "expected_lump_sum": 9000.0, "lump_sum_month": 18}
    (offer,) = taken_apart({"price": 30_000.0, "size_kw": 9.0, "credit_assumed_percent": 30.0, "loan": loan}, finish_day="2026-06-01")
    assert offer.first_payment.value == pytest.approx(113.48, abs=0.005)
    assert offer.later_payment.value == pytest.approx(162.71, abs=0.011)    # whole cents from month to month
    assert offer.first_payment.formula.endswith("$113.48")
    (payment,) = about(offer, "payment")
    assert payment.sentence.startswith("The payment from month 19 is $162.71 instead of $113.48, unless $9,000 is paid in by month 18.")
    assert "no tax credit that could pay it" in payment.sentence


def test_a_fee_of_30_per_cent_in_the_principal():
    """CFPB issue spotlight, 2024-08-07: markups of 10 to 30 % and more in the principal. Cash 25,000, financed 32,500 at "3.99 %"
    over 300 months: 171.37 a month, 51,410 in all, 6.66 % on the cash price: our own sums."""
    (offer,) = taken_apart({"price": 25_000.0, "price_financed": 32_500.0, "size_kw": 8.0, "loan": LOAN})
    assert offer.first_payment.value == 171.37
    assert offer.total_paid.value == pytest.approx(51_410, abs=0.5)
    assert offer.true_rate.value == pytest.approx(6.66, abs=0.005)
    assert offer.markup.value == 7500
    (markup,) = about(offer, "added")
    assert "30 % of the cash price, or 23 % of what is financed" in markup.sentence and "6.66 % a year; the paper says 3.99 %" in markup.sentence


def test_a_fee_said_as_25_per_cent_of_the_loan_is_33_333():
    """The same fee said otherwise, 175.76 a month: our own sums. Where the paper does not say the base, both are shown."""
    (offer,) = taken_apart({"price": 25_000.0, "size_kw": 8.0, "loan": {**LOAN, "fee_percent": 25.0, "fee_is_share_of": "loan"}})
    assert offer.principal.value == pytest.approx(33_333.33, abs=0.01)
    assert offer.first_payment.value == 175.76
    (open_base,) = taken_apart({"price": 25_000.0, "size_kw": 8.0, "loan": {**LOAN, "fee_percent": 25.0}})
    asked = about(open_base, "added")[-1]
    assert "$31,250 if it counts from the cash price and $33,333 if it counts from the loan" in asked.sentence and asked.weight == "ask"


def test_a_lease_at_150_a_month_rising_2_9_per_cent():
    """A consumer page's example: year 25 at 297.89 a month, 64,771.81 in 25 years against 45,000 flat (our own sums; the page
    rounds otherwise)."""
    lease = {"price": None, "lease": {"per_month": 150.0, "escalator_percent": 2.9, "years": 25}}
    flat = {"price": None, "lease": {"per_month": 150.0, "years": 25}}
    rising, level = taken_apart(lease, flat)
    assert rising.last_payment.value == pytest.approx(297.89, abs=0.005)
    assert rising.total_paid.value == pytest.approx(64_771.81, abs=1.0)    # whole cents a month
    assert level.total_paid.value == 45_000
    sentence = next(f.sentence for f in about(rising, "payment"))
    assert "$150.00 a month in the first year" in sentence and "$297.89 in year 25" in sentence


@pytest.mark.parametrize(("finish_day", "weight", "says"), [
    ("2026-06-01", "differs", "Nothing: this credit ended for systems finished after 2025-12-31"),
    ("2025-12-20", "agrees", "30 % of the price is $4,950"),
    (None, "ask", "Nothing is assumed: the day the system is finished is not given"),
])
def test_a_credit_of_expired_law(finish_day, weight, says):
    """Public Law 119-21, section 70506: nothing for systems finished after 2025-12-31; without a day nothing is assumed."""
    (offer,) = taken_apart({"credit_assumed_percent": 30.0}, finish_day=finish_day, money={"federal_tax_owed_per_year": 9000.0})
    (credit,) = about(offer, "credit")
    assert credit.weight == weight and says in credit.sentence
    assert (credit.question == "") == (weight == "agrees")
    worth = offer.net_present_value.value
    (plain,) = taken_apart({}, finish_day=finish_day, money={"federal_tax_owed_per_year": 9000.0})
    assert worth == plain.net_present_value.value      # what a paper counts on never enters the sums


def test_the_published_series_of_prices_stands_beside_the_usual_range():
    """NREL/TP-7A40-87303: 3.18 (Q1 2022), 2.90 and 2.34 (Q1 2023); trade press 2.68 for the same quarter. Berkeley Lab: 3.7 (2018)."""
    found = taken_apart({})
    notes = " ".join(side_by_side(found, filled(offers=[{"seller": "offer 1", "size_kw": 5.0, "price": 16_500.0}])).notes)
    for printed in ("$3.18", "$2.90", "$2.34", "2.68", "$3.70", "NREL/TP-7A40-87303", "Berkeley Lab"):
        assert printed in notes
