"""Sentences that put the hidden part of a paper first, for readers who hate numbers."""

from __future__ import annotations

from reportgen.figures import Figure, digits_for, show


def fee_sentence(more: str, principal: str, fee_percent: float | None) -> str:
    """Of a loan whose principal is more than the cash price. fee_percent: the fee that the paper names; None where it names none."""
    said = f"The paper calls it a fee of {fee_percent:g} %." if fee_percent else "The paper does not say what that is for."
    return f"You borrow {more} more than the same array costs in cash, {principal} in all, before any interest. {said}"


def company_sentence(first: str, last: str, per: str, total: str) -> str:
    """Of an array that stays a company's: the first price never without the last."""
    change = f"The {first} {per} of the first year becomes {last} {per} in the last" if first != last else f"The payment is {first} {per} to the end"
    return f"The array is not yours: a company owns it and you pay for its use. {change}; all payments come to {total}, in each year's own money."


def end_sentence(value: Figure, years: int) -> str:
    """Where a way to pay ends, against the house without an array."""
    return f"By this report, {years} years of it end {where_it_ends(value)}, in today's money."


def where_it_ends(value: Figure) -> str:
    """'$200 to $13,200 ahead of doing nothing'."""
    if value.low is None or value.high is None:
        return f"{show(abs(value.value), value.unit)} {_side(value.value)} doing nothing"
    places = digits_for(max(abs(value.low), abs(value.high)), value.unit)      # both ends rounded alike
    ends = [show(abs(v), value.unit, places) for v in (value.low, value.high)]
    if (value.low < 0) == (value.high < 0):
        near, far = ends if value.low >= 0 else ends[::-1]
        return f"{near} to {far} {_side(value.value)} doing nothing"
    return f"between {ends[0]} behind doing nothing and {ends[1]} ahead of it"


def _side(value: float) -> str:
    return "ahead of" if value >= 0 else "behind"
