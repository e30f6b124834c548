"""Cash by year in three cases: sums that add up, an order that holds, words that say what was moved."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from reportgen.bills.compare import compare_bills
from reportgen.payback.cases import case_bills, cash_columns, three_cases
from reportgen.payback.cash import pay_back, worth
from reportgen.sizing import dc_kw
from tests.bills.hours import SUN_KWH, sun_hours
from tests.bills.weather import plain_year
from tests.payback.parts import filled, paid_back, production_of

SUN = sun_hours(SUN_KWH)
NET_BILLING = {"export": "net billing", "export_price_per_kwh": 0.05}


@settings(max_examples=20, deadline=None)
@given(st.sampled_from([{}, {"reset_month": "October"}, {"reset_month": "June", "leftover_price_per_kwh": 0.03}, NET_BILLING]),
       st.floats(2_000, 40_000), st.floats(4_000, 40_000), st.floats(-3, 6))
def test_unfavourable_is_never_above_middle_nor_middle_above_favourable(tariff, use_kwh, price, growth):
    a_house = filled(use={"annual_kwh": use_kwh}, tariff=tariff,
                     money={"installed_price": price, "price_growth_percent": growth})
    payback = paid_back(a_house, SUN)
    value = payback.net_present_value
    assert value.low <= value.value <= value.high
    for figure in (payback.array_over_deposit, payback.first_year_saving, payback.first_year_net):
        assert figure.low <= figure.value <= figure.high, figure.key
    years = [case.simple_payback_years or 99 for case in (payback.high, payback.middle, payback.low)]
    assert years == sorted(years)


def test_each_years_columns_add_up_to_its_net_and_the_nets_to_the_cumulative_cash():
    payback = paid_back(filled(money={"inverter_replacement": 1500.0}, finish_day="2027-04-01"), SUN)
    for case in (payback.low, payback.middle, payback.high):
        assert [y.year for y in case.years] == list(range(26))
        for y in case.years:
            assert y.net == pytest.approx(y.bill_before - y.bill_after + y.upkeep + y.replacement + y.purchase + y.incentive)
            assert max(y.upkeep, y.replacement, y.purchase) <= 0 <= y.incentive
        assert np.cumsum([y.net for y in case.years]) == pytest.approx([y.cumulative for y in case.years])
        assert case.years[-1].discounted_cumulative == pytest.approx(case.net_present_value)


def test_the_first_year_of_the_cash_has_the_printed_bills_of_the_first_year():
    payback = paid_back(filled(), SUN)
    first = payback.middle.years[1]
    assert first.bill_before - first.bill_after == pytest.approx(payback.first_year_saving.value, abs=12 * (0.01 + 0.1 * 0.15))


def test_paid_back_means_never_negative_again():
    """A new inverter in year 15 throws the cash below zero once more; the year before does not count."""
    cheap = {"installed_price": 14_000.0, "inverter_replacement": 6000.0, "inverter_years": 15}
    case = paid_back(filled(use={"annual_kwh": 30_000}, money=cheap), SUN).middle
    assert case.years[14].cumulative > 0 > case.years[15].cumulative
    assert case.simple_payback_years > 15
    assert all(y.cumulative >= 0 for y in case.years[case.simple_payback_years:])
    assert case.years[case.simple_payback_years - 1].cumulative < 0


def test_money_that_never_comes_back_has_no_payback_year():
    payback = paid_back(filled(money={"installed_price": 90_000.0}), SUN)
    assert payback.simple_payback.value is payback.simple_payback.low is payback.simple_payback.high is None
    assert payback.internal_rate.value < 0


def test_a_given_price_has_no_range_and_an_assumed_one_moves_with_the_cases():
    given_price = paid_back(filled(), SUN)
    assert given_price.price.low is None
    assert {case.years[0].purchase for case in (given_price.low, given_price.middle, given_price.high)} == {-18000}
    open_price = paid_back(filled(money={"installed_price": None}), SUN, frozenset({"money.price_per_w"}))
    assert open_price.price.formula == "$3.25 per W × 5,000 W = $16,250"
    # 2.90 and 3.70 $/W: the row of tables/assumptions.yaml, where its sources stand
    assert (open_price.price.low, open_price.price.high) == (pytest.approx(14_500), pytest.approx(18_500))
    assert open_price.low.years[0].purchase == pytest.approx(-18_500)
    assert open_price.high.years[0].purchase == pytest.approx(-14_500)


def test_the_range_says_what_was_moved_together():
    words = paid_back(filled(), SUN).range_is
    assert words == ("low end: 90 % of the middle output (nine chances in ten of more), electricity growing 1.55 % a year; "
                     "high end: 110 % of the middle output (one chance in ten of more), electricity growing 3.15 % a year; "
                     "all moved together; interest, upkeep, ageing and the export rule stay in their middle")


def test_the_deposit_is_the_same_money_after_tax():
    """18,000 at 4 % less 22 % tax = 3.12 % a year; an array that saves nothing is behind by the whole price, and the
    deposit's end by 18,000 × 1.0312^25 = 38,801 stands in the formula: our own sum."""
    a_house = filled(tariff={"price_per_kwh": 0.0}, money={"upkeep_per_kw_year": 0.0})
    figure = paid_back(a_house, SUN).array_over_deposit
    assert figure.value == pytest.approx(-18_000) and "= $38,801" in figure.formula


def test_an_inverter_is_bought_each_time_the_last_one_has_served():
    def bought(every):
        money = {"inverter_replacement": 1000.0, "inverter_years": every}
        return [y.year for y in paid_back(filled(money=money), SUN).middle.years if y.replacement < 0]
    assert (bought(10), bought(15), bought(25), bought(8)) == ([10, 20], [15], [], [8, 16, 24])


def test_at_the_break_even_price_the_value_is_zero_also_with_a_credit():
    for money in ({}, {"federal_tax_owed_per_year": 5000.0}):
        a_house = filled(use={"annual_kwh": 30_000}, finish_day="2025-06-01", money=money)
        figure = paid_back(a_house, SUN).break_even_price
        at_it = paid_back(a_house.replaced("money.installed_price", figure.value), SUN)
        assert at_it.net_present_value.value == pytest.approx(0, abs=0.05)


def test_more_used_at_once_is_worth_more_under_net_billing():
    a_house = filled(tariff=NET_BILLING)
    bills = compare_bills(a_house, SUN, plain_year())
    less, same, more = (worth(a_house, production_of(SUN, 5.0), bills.counted, shift=s).net_present_value for s in (-0.06, 0.0, 0.06))
    assert less < same < more and same == pytest.approx(paid_back(a_house, SUN).net_present_value.value)


def test_the_break_even_growth_makes_the_value_zero():
    a_house = filled(use={"annual_kwh": 30_000})
    figure = next(f for f in paid_back(a_house, SUN).figures if f.key == "payback.break_even_growth")
    at_it = paid_back(a_house.replaced("money.price_growth_percent", figure.value), SUN)
    assert at_it.net_present_value.value == pytest.approx(0, abs=10)   # found to 0.001 points


def test_the_middle_growth_stands_in_the_growth_table_once():
    for growth in (2.2, 3.0):
        table = paid_back(filled(money={"price_growth_percent": growth}), SUN).price_growth_table
        assert [g for g, _ in table] == sorted({-1.0, 0.0, 1.0, growth, 3.0, 4.0})


def test_notes_say_nominal_and_what_is_left_out():
    notes = " ".join(paid_back(filled(), SUN).notes)
    assert "Left out" in notes and "nominal" not in notes
    assert "nominal" in paid_back(filled(), SUN).money_basis
    assert "above every outlook" not in notes
    assert "above every outlook" in " ".join(paid_back(filled(money={"price_growth_percent": 5.0}), SUN).notes)


def test_outside_the_united_states_there_are_no_incentives_and_missing_costs_are_said():
    place = {"country": "NL", "latitude": 52.0, "longitude": 5.3, "time_zone": "Europe/Amsterdam"}
    a_house = filled(place=place, finish_day="2025-06-01", money={"currency": "EUR", "inverter_replacement": None})
    payback = paid_back(a_house, SUN)
    assert payback.incentives == ()
    notes = " ".join(payback.notes)
    assert "No incentives are known" in notes and "No new inverter is counted" in notes and "No upkeep is counted" in notes
    assert payback.net_present_value.unit == "EUR"
    claims = paid_back(a_house.replaced("money.federal_credit_percent", 30.0), SUN)
    assert "is United States law" in " ".join(claims.notes)


def test_the_sources_of_what_was_assumed_are_carried_and_what_was_written_is_told_apart():
    assumed = paid_back(filled(), SUN, frozenset({"money.price_growth_percent"})).net_present_value
    assert any("NIST 2025" in source for source in assumed.sources)
    assert "price growth: the house file" in paid_back(filled(), SUN).net_present_value.sources


def test_figures_have_unique_keys_formulas_and_sources():
    figures = paid_back(filled(), SUN).figures
    assert len({f.key for f in figures}) == len(figures)
    assert all(f.formula and f.sources for f in figures)


def test_under_net_billing_the_modelled_hours_widen_every_money_range():
    """Another household's hours moved the share used at once by up to 6 points in six sample years; the figures below
    hold output, growth and price still, so that only those points are left."""
    sun = SUN
    for tariff, moves in (({}, False), (NET_BILLING, True)):
        a_house = filled(tariff=tariff, money={"price_growth_percent": 2.0})
        bills = compare_bills(a_house, sun, plain_year())
        still = production_of(sun, dc_kw(a_house), low=1.0, high=1.0)
        low, middle, high = three_cases(a_house, still, bills.counted, frozenset())
        flows = [cash_columns(a_house, replace(case, growth_percent=2.0), case_bills(a_house, bills.counted, case)).flows
                 for case in (low, middle, high)]
        worse, better = (flows[1] - flows[0])[1:], (flows[2] - flows[1])[1:]
        assert ((worse > 1) & (better > 1)).all() if moves else np.allclose([worse, better], 0)
        first = pay_back(a_house, still, bills).first_year_saving
        assert (first.high - first.low > 1) == moves and first.low <= first.value <= first.high


def test_the_short_way_for_reruns_gives_the_middle_of_the_long_one():
    for tariff in ({}, {"reset_month": "June"}, NET_BILLING):
        a_house = filled(tariff=tariff, money={"fixed_growth_percent": 1.0, "export_growth_percent": 0.0})
        production, bills = production_of(SUN, dc_kw(a_house)), compare_bills(a_house, SUN, plain_year())
        whole, short = pay_back(a_house, production, bills), worth(a_house, production, bills.counted)
        assert short.net_present_value == whole.net_present_value.value
        assert short.simple_payback_years == whole.middle.simple_payback_years
        assert short.over_deposit == whole.array_over_deposit.value


def test_prices_that_grow_apart_move_their_own_part_of_the_bill_and_are_told():
    """Without the sun: 144 fixed and 9,100 kWh at 0.15; in year 11 ten steps of growth have passed. Our own sum."""
    payback = paid_back(filled(money={"price_growth_percent": 3.0, "fixed_growth_percent": 1.0}), SUN)
    assert payback.middle.years[11].bill_before == pytest.approx(144 * 1.01**10 + 1365 * 1.03**10)
    assert any("fixed charges by 1 %" in note for note in payback.notes)
    together = paid_back(filled(money={"price_growth_percent": 3.0}), SUN)
    assert together.middle.years[11].bill_before == pytest.approx(1509 * 1.03**10)
    assert any(note.startswith("All prices on the bill grow by 3 %") for note in together.notes)
