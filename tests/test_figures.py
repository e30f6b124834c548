"""One formatter rounds for the whole report."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from reportgen.figures import MINUS, show, show_input, significant, span, years_span

NB = " "


@pytest.mark.parametrize(("value", "unit", "text"), [
    (7123.4, "kWh", f"7,120{NB}kWh"),
    (412.6, "kWh", f"413{NB}kWh"),
    (18_234, "USD", "$18,200"),
    (-1_284.86, "USD", f"{MINUS}$1,280"),
    (0.15, "USD/kWh", "$0.15 per kWh"),
    (0.0125, "USD/kWh", "$0.0125 per kWh"),
    (0.176, "USD/kWh", "$0.176 per kWh"),
    (3.25, "USD/W", "$3.25 per W"),
    (412.4, "EUR/year", "€412 a year"),
    (18_234, "SEK", f"SEK{NB}18,200"),
    (31.666, "A", f"31.7{NB}A"),
    (40.0, "A", f"40{NB}A"),
    (5.678, "kW", f"5.68{NB}kW"),
    (0.0, "kW", f"0{NB}kW"),
    (12.34, "%", f"12{NB}%"),
    (0.5, "%", f"0.5{NB}%"),
    (23.4, "°", "23.4°"),
    (None, "A", "not known"),
])
def test_a_number_is_rounded_as_its_unit_deserves(value, unit, text):
    assert show(value, unit) == text


def test_halves_round_away_from_zero_and_not_to_even():
    assert show(2.5, "years") == f"3{NB}years"
    assert show(-2.5, "years") == f"{MINUS}3{NB}years"


def test_both_ends_of_a_range_are_rounded_alike():
    assert span(987.4, 12_345.6, "kWh") == f"1,000 to 12,300{NB}kWh"
    assert span(-450, 5_600, "USD") == f"{MINUS}$450 to $5,600"
    assert span(0.1234, 0.2, "USD/kWh") == "$0.1234 to $0.2000 per kWh"


def test_a_range_whose_ends_print_alike_is_one_number():
    assert span(-22_710, -22_690, "USD") == f"{MINUS}$22,700"
    assert span(0, 0, "USD") == "$0.00"


def test_a_range_that_rounds_to_one_number_is_shown_as_one_number():
    assert span(39.99, 40.01, "A") == f"40{NB}A"


@pytest.mark.parametrize(("low", "high", "text"), [
    (16, 19, "16 to 19 years"), (19, 16, "16 to 19 years"), (14, None, "from 14 years to not within 25"),
    (None, None, "not within 25 years"), (12, 12, "about 12 years"), (11.2, 15.9, "12 to 16 years"),
])
def test_a_payback_is_a_range_of_whole_years(low, high, text):
    assert years_span(low, high, 25) == text


@given(st.one_of(st.none(), st.floats(0, 25)), st.one_of(st.none(), st.floats(0, 25)))
def test_a_payback_never_shows_a_decimal(low, high):
    assert "." not in years_span(low, high, 25)


def test_six_significant_digits_go_to_files():
    assert significant(1234.56789) == 1234.57
    assert significant(0.0) == 0.0


def test_a_money_range_never_shows_minus_zero():
    assert span(-0.3, 120, "USD") == "$0 to $120"


def test_the_package_offers_assess_as_a_function_whatever_was_imported_before():
    import reportgen
    import reportgen.chain

    assert callable(reportgen.assess) and reportgen.assess is reportgen.chain.assess
    assert callable(reportgen.load_house)


@pytest.mark.parametrize(("value", "unit", "text"), [
    (2.15, "%", f"2.15{NB}%"), (15, "years", f"15{NB}years"), (-0.36, "%/°C", f"{MINUS}0.36{NB}%/°C"), ("ground", "", "ground"),
    (3.25, "USD/W", "$3.25 per W"),
])
def test_an_input_is_shown_as_it_was_written(value, unit, text):
    assert show_input(value, unit) == text
