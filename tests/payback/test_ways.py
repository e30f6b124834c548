"""Ways to pay side by side: lines that add up, rules of meaning on the Figures, and what must hold for any house."""

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from reportgen.bills.compare import compare_bills
from reportgen.interconnection.result import PriceRange, Way
from reportgen.payback.cash import pay_back
from reportgen.payback.present_value import internal_rate_count
from reportgen.payback.way_figures import why_no_rate
from tests.bills.weather import plain_year
from tests.payback.parts import filled, paid_back, production_of
from tests.payback.ways_house import ALL_WAYS, SUN, line, ways_of

OWNED = ("cash", "own_work", "bulk", "loan_1", "loan_2", "home_equity")
PLAIN_MONEY = {"upkeep_per_kw_year": 0.0, "inverter_replacement": 0.0, "price_growth_percent": 0.0, "inflation_percent": 0.0}


@pytest.fixture(scope="module")
def payback():
    return paid_back(filled(use={"annual_kwh": 30_000}, array={"array_kw": 8.0}, money={"installed_price": 25_000.0},
                            paying={**ALL_WAYS, "sale_year": 10}, finish_day="2026-12-01"), SUN)


@pytest.fixture(scope="module")
def ways(payback):
    return {way.key: way for way in payback.ways_to_pay}


def test_cash_comes_first_and_is_the_reports_own_cash(payback, ways):
    assert list(ways) == [*OWNED[:5], "home_equity", "lease_1", "power_purchase_1"]
    cash = ways["cash"]
    for found, case in zip(cash.net_by_year, (payback.low, payback.middle, payback.high), strict=True):
        assert found == pytest.approx([y.net for y in case.years])
    for mine, theirs in ((cash.net_present_value, payback.net_present_value), (cash.internal_rate, payback.internal_rate),
                         (cash.simple_payback, payback.simple_payback), (cash.over_deposit, payback.array_over_deposit)):
        assert (mine.value, mine.low, mine.high) == pytest.approx((theirs.value, theirs.low, theirs.high), nan_ok=True)


def test_every_ways_lines_add_up_to_its_net_cash(ways):
    for way in ways.values():
        assert np.sum([one.by_year for one in way.lines], axis=0) == pytest.approx(way.net_by_year[1])
        assert all(len(one.by_year) == 26 for one in way.lines)


def test_all_stand_on_the_same_bills(ways):
    for way in ways.values():
        assert line(way, "Bill without the array") == line(ways["cash"], "Bill without the array")
        assert line(way, "Bill with it")[:21] == line(ways["cash"], "Bill with it")[:21]


def test_every_payment_is_among_the_instalments(ways):
    for way in ways.values():
        paid = sum(i.per_month * i.months for i in way.instalments)
        bought = -sum(line(way, "Buying the array") or [0])
        assert paid + way.up_front.value + bought == pytest.approx(way.total_paid.value)


# Rules of meaning


def test_a_first_year_never_stands_without_its_last(payback, ways):
    keys = {figure.key for figure in payback.figures}
    for way in ways.values():
        shown = {way.first_year_paid.key, way.last_year_paid.key} & keys
        assert len(shown) == (2 if way.instalments else 0)      # nothing is printed of payments that do not exist
        assert way.last_year_paid.value is not None
    lease = ways["lease_1"]
    assert lease.last_year_paid.value > 1.9 * lease.first_year_paid.value
    assert any("$1,200 a year in the first year, $2,380 a year in the last" in said for said in lease.cautions)


def test_a_loans_principal_stands_beside_its_cost(payback, ways):
    keys = {figure.key for figure in payback.figures}
    for key in ("loan_1", "loan_2", "home_equity"):
        way = ways[key]
        assert way.principal is not None and {way.principal.key, way.total_paid.key, way.true_rate.key} <= keys
        assert way.total_paid.value >= way.principal.value > 0
    assert ways["loan_1"].hidden_fee.key in keys and ways["loan_1"].hidden_fee.value == 7500


def test_a_payback_carries_both_ends_and_whole_years(ways):
    for way in ways.values():
        for figure in (way.simple_payback, way.discounted_payback):
            assert figure.range_is
            assert all(v is None or v == int(v) for v in (figure.low, figure.value, figure.high))


def test_whoever_owns_it_gets_credits_and_certificates(ways):
    for key, way in ways.items():
        expected = "the household" if key in OWNED else "the company"
        assert {way.owner, way.credits_to, way.certificates_to} == {expected}
        assert any("may not be said to run on solar power" in said for said in way.notes) == (key not in OWNED)


def test_figures_have_unique_keys_formulas_and_sources(payback):
    assert len({f.key for f in payback.figures}) == len(payback.figures)
    assert all(f.formula and f.sources for f in payback.figures)


# Lines that nobody said


def test_what_nobody_said_is_named_and_not_zero(ways):
    for key in OWNED:
        notes = " ".join(ways[key].notes)
        assert "Not counted: nobody said what the insurer adds for the array." in notes and "property tax" in notes
        assert line(ways[key], "Insurance") is line(ways[key], "Property tax") is line(ways[key], "Taking the array down") is None


def test_zero_is_a_line_only_where_it_was_said():
    way = ways_of({"insurance_per_year": 0, "property_tax_per_year": 100, "removal_price": 1000}, money={"inflation_percent": 2.0})["cash"]
    assert line(way, "Insurance") == (0.0,) * 26
    assert line(way, "Property tax")[1:3] == pytest.approx((-100, -102))
    assert line(way, "Taking the array down")[24:] == pytest.approx((0, -1000 * 1.02 ** 24))
    assert not any("Not counted" in note for note in way.notes)


def test_what_owning_costs_is_in_the_reports_own_cash_too():
    said = paid_back(filled(paying={"insurance_per_year": 60, "removal_price": 1000}, money={"inflation_percent": 0.0}), SUN)
    unsaid = paid_back(filled(money={"inflation_percent": 0.0}), SUN)
    changed = [a.net - b.net for a, b in zip(said.middle.years, unsaid.middle.years, strict=True)]
    assert changed == pytest.approx([0] + [-60] * 24 + [-1060])
    assert "insurance and property tax" in said.first_year_net.formula
    assert unsaid.first_year_net.value - said.first_year_net.value == pytest.approx(60)


def test_a_companys_array_costs_the_household_no_upkeep_unless_said():
    lease = {"per_month": 100, "years": 25}
    money = {"installed_price": 25_000.0, "inverter_replacement": 2000.0, "inverter_years": 13}
    usual = ways_of({"leases": [lease]}, money=money)["lease_1"]
    assert line(usual, "Upkeep") is line(usual, "New inverter") is None
    assert any("the contract's usual share, not its words: ask" in said for said in usual.notes)
    own = ways_of({"leases": [{**lease, "company_pays": ["new inverter"]}]}, money=money)["lease_1"]
    assert line(own, "Upkeep")[1] < 0 and line(own, "New inverter") is None


def test_the_way_to_connect_is_a_line_of_its_own():
    a_house = filled(use={"annual_kwh": 30_000}, paying={"leases": [{"per_month": 100, "years": 25}]})
    bills = compare_bills(a_house, SUN, plain_year())
    way = Way("x", "A larger panel", "fits by arithmetic", "", "", None, "a larger panel", False, "", "larger panel",
              PriceRange(1000, 3000, "an offer"), None, None, None)
    with_panel = {one.key: one for one in pay_back(a_house, production_of(SUN, 5.0), bills, way=way).ways_to_pay}
    for key in ("cash", "lease_1"):
        assert line(with_panel[key], "The way to connect")[0] == -2000
        assert (with_panel[key].up_front.low, with_panel[key].up_front.high) == (with_panel[key].up_front.value - 1000,
                                                                                  with_panel[key].up_front.value + 1000)
    unpriced = {one.key: one for one in pay_back(a_house, production_of(SUN, 5.0), bills).ways_to_pay}
    assert line(unpriced["cash"], "The way to connect") is None


# A sale of the house


def test_ends_stand_in_order_also_where_more_output_costs_more():
    dear = ways_of({"power_purchases": [{"price_per_kwh": 0.5, "years": 25}]})["power_purchase_1"]
    for figure in (dear.net_present_value, dear.over_deposit, dear.first_year_paid, dear.total_paid):
        assert figure.low < figure.value < figure.high, figure.key


def test_what_is_owed_on_a_sale_under_each_way(ways):
    owed = {key: way.owed_at_sale.value for key, way in ways.items()}
    assert owed["cash"] == owed["own_work"] == owed["bulk"] == owed["loan_2"] == 0
    assert owed["home_equity"] == 25_000                                      # interest alone for ten years
    assert owed["lease_1"] == pytest.approx(sum(1200 * 1.029 ** k for k in range(10, 25)))
    assert 20_000 < owed["loan_1"] < 32_500
    assert all("sold at the end of year 10" in way.owed_at_sale.label for way in ways.values())


def test_a_price_to_buy_in_the_year_of_the_sale_goes_before_the_payments_to_come():
    purchase = {"price_per_kwh": 0.13, "years": 20, "buy_out": [{"year": 8, "price": 9000}]}
    assert ways_of({"power_purchases": [purchase], "sale_year": 8})["power_purchase_1"].owed_at_sale.value == 9000
    assert ways_of({"power_purchases": [purchase], "sale_year": 9})["power_purchase_1"].owed_at_sale.value > 9000
    assert ways_of({"power_purchases": [purchase]})["power_purchase_1"].owed_at_sale is None


def test_the_houses_price_gains_nothing_unless_somebody_says_so():
    without = ways_of({"sale_year": 10}, money={"discount_percent": 5.0})["cash"]
    said = ways_of({"sale_year": 10, "home_value_gain": 5000}, money={"discount_percent": 5.0})["cash"]
    assert said.if_sold.value - without.if_sold.value == pytest.approx(5000 / 1.05 ** 10)
    assert any("Nothing is added for the house's price" in note for note in without.notes)
    assert not any("Nothing is added for the house's price" in note for note in said.notes)
    assert without.net_present_value.value == said.net_present_value.value


# Contracts and loans against the 25 years counted


def test_a_loan_longer_than_the_array_is_counted_is_cautioned_about_and_its_rest_paid():
    loan = ways_of({"loans": [{"rate_percent": 5, "months": 360}]})["loan_1"]
    assert any("longer than the 25 years of the array counted here" in said for said in loan.cautions)
    assert line(loan, "Still owed after the years counted")[25] < -3000
    assert not any("longer" in said for said in ways_of({"loans": [{"rate_percent": 5, "months": 300}]})["loan_1"].cautions)


def test_a_contract_that_ends_is_given_back_or_bought_whichever_is_worth_more():
    def of(price):
        buy = [{"year": 15, "price": price}] if price is not None else []
        return ways_of({"leases": [{"per_month": 80, "years": 15, "buy_out": buy}]})["lease_1"]
    gone, cheap, dear = of(None), of(500), of(50_000)
    assert line(gone, "Bill with it")[16] == -line(gone, "Bill without the array")[16]
    assert gone.net_present_value.value == dear.net_present_value.value < cheap.net_present_value.value
    assert line(cheap, "Buying the array")[15] == -500 and line(cheap, "Upkeep")[15] == 0 > line(cheap, "Upkeep")[16]
    assert any("counted as given back" in note for note in dear.notes)
    assert cheap.total_paid.value == pytest.approx(80 * 12 * 15 + 500)


def test_a_minimum_is_paid_for_whatever_the_array_makes():
    purchase = {"price_per_kwh": 0.10, "years": 20, "minimum_kwh_per_year": 10_000}   # more than the 8,600 kWh made
    way = ways_of({"power_purchases": [purchase]})["power_purchase_1"]
    assert way.total_paid.value == pytest.approx(20 * 1000) and way.total_paid.low is None


# A rate of return, or why there is none


def test_why_there_is_no_single_rate_of_return():
    assert why_no_rate(np.array([-100.0, 39, 59, 55, 20])) == ""
    assert why_no_rate(np.array([-100.0, -5, -5])).startswith("None: the cash never turns")
    assert why_no_rate(np.array([0.0, 5, 5])).startswith("None: the cash is never below zero")
    assert why_no_rate(np.array([0.0, 5, -50])).startswith("None: the household is ahead first")
    # −1000 + 2300 x − 1320 x² = 0 at 10 % and 20 %: a textbook pair
    two = np.array([-1000.0, 2300, -1320])
    assert internal_rate_count(two) == 2 and why_no_rate(two).startswith("None that says anything:") and "2 different rates" in why_no_rate(two)
    assert internal_rate_count(np.array([-1000.0, 1500, -1000])) == 0
    assert "no rate makes it zero" in why_no_rate(np.array([-1000.0, 1500, -1000]))


def test_a_way_without_a_rate_says_why(ways):
    for way in ways.values():
        assert (way.internal_rate.value is None) == bool(way.rate_why)


# What must hold for any house

KINDS = ("cash", "loan_1", "lease_1")


def _years(figure):
    return [math.inf if v is None else v for v in (figure.low, figure.value, figure.high)]


def _three(factor=1.0, **changed):
    paying = {"loans": [{"rate_percent": 6, "months": 180}], "leases": [{"per_month": 90 * factor, "years": 25, "up_front": 500}]}
    return ways_of(paying, **changed)


@settings(max_examples=10, deadline=None)
@given(st.floats(3_000, 40_000), st.floats(1.0, 2.0))
def test_a_higher_cost_never_shortens_payback(price, factor):
    base, dearer = (_three(f, money={"installed_price": price * f}) for f in (1.0, factor))
    for key in KINDS:
        for one, other in ((base[key].simple_payback, dearer[key].simple_payback),
                           (base[key].discounted_payback, dearer[key].discounted_payback)):
            assert all(b >= a for a, b in zip(_years(one), _years(other), strict=True)), key


@settings(max_examples=10, deadline=None)
@given(st.floats(0.05, 0.5), st.floats(1.0, 2.0))
def test_a_higher_price_of_power_never_lengthens_payback(price, factor):
    base, dearer = (_three(tariff={"price_per_kwh": price * f}) for f in (1.0, factor))
    for key in KINDS:
        for one, other in ((base[key].simple_payback, dearer[key].simple_payback),
                           (base[key].discounted_payback, dearer[key].discounted_payback)):
            assert all(b <= a for a, b in zip(_years(one), _years(other), strict=True)), key


@settings(max_examples=15, deadline=None)
@given(st.floats(3_000, 30_000), st.floats(0.05, 0.4))
def test_without_growth_ageing_or_upkeep_payback_is_cost_over_saving_and_doubled_prices_halve_it(cost, price):
    """8,600 kWh, all of them worth the full price, no fixed charge."""
    def years(per_kwh):
        way = ways_of({}, money={**PLAIN_MONEY, "installed_price": cost}, array={"array_kw": 5.0, "degradation_percent_per_year": 0.0},
                      tariff={"price_per_kwh": per_kwh, "fixed_per_month": 0})["cash"]
        assert way.net_by_year[1][1] == pytest.approx(8600 * per_kwh)
        return way.simple_payback.value or math.inf
    exact = cost / (8600 * price)
    for found, expected in ((years(price), exact), (years(2 * price), exact / 2)):
        assert found == (math.ceil(expected - 1e-9) if expected <= 25 else math.inf)
