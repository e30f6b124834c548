"""Rates that exist, rates that don't, and the year from which cash stays above zero."""

import numpy as np

from reportgen.payback.present_value import internal_rate, paid_back_in


def test_no_rate_where_nothing_ever_comes_back():
    assert internal_rate(np.array([-100.0, -5.0, -5.0])) is None
    assert internal_rate(np.array([-100.0, 0.0, 0.0])) is None


def test_no_rate_is_named_where_several_exist():
    """−100, 230, −132 is zero at 10 % and at 20 %: (1.1 − x)(1.2 − x) written out."""
    assert internal_rate(np.array([-100.0, 230.0, -132.0])) is None


def test_one_rate_in_spite_of_several_changes_of_sign_is_named():
    flows = np.array([-100.0, 60.0, -10.0, 80.0])
    rate = internal_rate(flows)
    assert abs(sum(f / (1 + rate) ** n for n, f in enumerate(flows))) < 1e-6


def test_no_rate_where_several_changes_of_sign_have_no_zero():
    assert internal_rate(np.array([100.0, -150.0, 100.0])) is None


def test_paid_back_in_the_first_year_from_which_the_cash_stays_above_zero():
    assert paid_back_in(np.array([-10.0, -2.0, 1.0, -1.0, 3.0])) == 4
    assert paid_back_in(np.array([-10.0, -2.0, 0.0])) == 2
    assert paid_back_in(np.array([-10.0, -2.0, -1.0])) is None
