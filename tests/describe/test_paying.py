"""The section `paying`: what can't be is told in one sentence."""

import pytest

LOAN = "paying: {loans: [{rate_percent: 3.99, months: 300}]}\n"


def test_ways_to_pay_are_read(batch, good):
    paying = batch.load(good + LOAN).needed().paying
    assert paying.loans[0].rate_percent == 3.99 and paying.target_years == 7 and paying.insurance_per_year is None


@pytest.mark.parametrize(("written", "said"), [
    ("loans: [{rate_percent: 399, months: 300}]", "a rate of 399 looks like 3.99"),
    ("loans: [{rate_percent: 0.0399, months: 300}]", "a rate of 0.0399 looks like 3.99"),
    ("leases: [{per_month: 150, years: 25, escalator_percent: 29}]", "an escalator of 29 looks like 2.9"),
    ("loans: [{rate_percent: 65, months: 300}]", "a rate of 65 looks like 6.5"),
    ("loans: [{rate_percent: -4, months: 300}]", "found -4; a number (percent) from 0 to 40 is expected"),
    ("loans: [{rate_percent: 4, months: 300, expected_lump_sum: 9000}]", "needs the month by which it is expected"),
    ("loans: [{rate_percent: 4, months: 300, lump_sum_month: 18}]", "lump_sum_month stands without expected_lump_sum"),
    ("loans: [{rate_percent: 4, months: 12, expected_lump_sum: 900, lump_sum_month: 18}]", "is not before the loan's end"),
    ("loans: [{rate_percent: 4, months: 300, principal: 8000, expected_lump_sum: 9000, lump_sum_month: 18}]", "not below the 8000"),
    ("loans: [{rate_percent: 4, months: 300, fee_is_share_of: loan}]", "fee_is_share_of stands without fee_percent"),
    ("loans: [{rate_percent: 4, months: 300, principal: 9000, fee_percent: 20}]", "give only one of principal, fee_percent"),
    ("loans: [{rate_percent: 4, months: 300, cash_price: 9000, down_payment: 9500}]", "down_payment 9500 is above cash_price 9000"),
    ("loans: [{rate_percent: 4}]", "the key months is missing; write months: 240"),
    ("loans: [{rate_percent: 4, months: 300}, {rate_percent: 5, months: 120}]", 'two ways to pay are called "loan"'),
    ("loans: [{name: cash, rate_percent: 4, months: 300}]", 'two ways to pay are called "cash"'),
    ("insurance_per_year: -30", "found -30; a number (money a year) from 0 to"),
    ("home_value_gain: 5000", "write sale_year too"),
    ("leases: [{per_month: 150, years: 20, buy_out: [{year: 21, price: 1}]}]", "year 21 is after the contract's 20 years"),
    ("leases: [{per_month: 150, years: 20, buy_out: [{year: 5, price: 1}, {year: 5, price: 2}]}]", "two prices are written for year 5"),
])
def test_each_bad_value_gets_one_clear_sentence(batch, good, written, said):
    (text,) = batch.texts(good + f"paying: {{{written}}}\n")
    assert said in text


def test_a_loan_longer_than_the_array_is_not_refused(batch, good):
    assert batch.texts(good + "paying: {loans: [{rate_percent: 4, months: 360}]}\n") == []
