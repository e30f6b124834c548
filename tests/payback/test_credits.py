"""A credit taken off a tax: limited by the tax of each year, carried or lost by its own rule, one tax for all credits."""

from math import inf

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from reportgen.payback.credits import TaxesOwed, take_off

AMOUNT = st.floats(0, 50_000)


def test_a_credit_carried_five_years_is_used_in_six_and_the_rest_is_lost():
    used = take_off((3975.0,), (500.0,) * 10, 5)
    assert used == (500.0,) * 6 + (0.0,) * 4


def test_a_credit_that_is_not_carried_is_used_in_its_year_alone():
    assert take_off((900.0,), (400.0,) * 3, 0) == (400.0, 0.0, 0.0)


def test_a_year_without_tax_passes_the_credit_on():
    assert take_off((900.0,), (0.0, 600.0, 600.0), inf) == (0.0, 600.0, 300.0)


def test_credits_of_several_years_are_used_oldest_first_and_expire_each_on_its_own_day():
    assert take_off((100.0, 100.0), (0.0, 150.0, 150.0), 1) == (0.0, 150.0, 50.0)
    assert take_off((100.0, 100.0), (0.0, 0.0, 150.0), 1) == (0.0, 0.0, 100.0)


def test_two_credits_against_one_tax_share_it():
    taxes = TaxesOwed(None, 1000.0, 3)
    assert taxes.take("state income tax", (1500.0,), inf) == (1000.0, 500.0, 0.0)
    assert taxes.take("state income tax", (800.0,), inf) == (0.0, 500.0, 300.0)
    assert not taxes.is_known("federal income tax")


@settings(max_examples=60, deadline=None)
@given(st.lists(AMOUNT, min_size=1, max_size=6), st.lists(AMOUNT, min_size=1, max_size=12), st.sampled_from([0, 1, 5, inf]))
def test_never_more_than_the_tax_of_a_year_nor_than_was_earned_by_then(earned, owed, carry_years):
    used = take_off(earned, owed, carry_years)
    assert all(0 <= u <= o for u, o in zip(used, owed, strict=True))
    for n in range(1, len(owed) + 1):
        assert sum(used[:n]) <= sum(earned[:n]) * (1 + 1e-9) + 1e-6


@settings(max_examples=60, deadline=None)
@given(st.lists(AMOUNT, min_size=1, max_size=6), st.lists(AMOUNT, min_size=8, max_size=12))
def test_a_longer_carry_never_uses_less(earned, owed):
    sums = [sum(take_off(earned, owed, years)) for years in (0, 1, 5, inf)]
    assert sums == pytest.approx(sorted(sums))
