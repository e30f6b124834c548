"""An array put up by the household, in part or whole: what is bought, added up; hours are shown and not priced."""

from __future__ import annotations

from reportgen.describe.paying import OwnWork
from reportgen.figures import show


def own_work_price(own: OwnWork) -> float:
    return sum(expense.price for expense in own.expenses)


def own_work_sum(own: OwnWork, code: str) -> str:
    """'panels $6,000 + permit $400 = $6,400'."""
    parts = " + ".join(f"{expense.item} {show(expense.price, code, 0)}" for expense in own.expenses)
    return f"{parts} = {show(own_work_price(own), code, 0)}"
