"""The house without an array: its bills alone, in the same three cases. What every way to pay is measured against."""

from __future__ import annotations

from reportgen.figures import Figure, show
from reportgen.payback.result import CashCase, DoNothing


def do_nothing(cases: tuple[CashCase, ...], code: str) -> DoNothing:
    """cases: unfavourable, middle, favourable."""
    bills = [[year.bill_before for year in case.years[1:]] for case in cases]
    last = len(bills[1])

    def figure(key, label, pick, unit, formula):
        ends = sorted(pick(by_year) for by_year in bills)
        moves = ends[-1] - ends[0] > 0.005
        return Figure(f"payback.do_nothing_{key}", label, pick(bills[1]), unit, ends[0] if moves else None, ends[-1] if moves else None,
                      formula, ("the bill without the sun, by year",), DoNothing.range_is if moves else "")
    return DoNothing(
        figure("first_year", "Doing nothing: the bill of year 1", lambda b: b[0], f"{code}/year", "the bill without the sun at today's prices"),
        figure("last_year", f"Doing nothing: the bill of year {last}", lambda b: b[-1], f"{code}/year",
               f"the bill without the sun, its prices grown {last - 1} times"),
        figure("total", f"Doing nothing: all bills of {last} years", sum, code,
               f"{last} bills without the sun, from {show(bills[1][0], code, 0)} to {show(bills[1][-1], code, 0)}"))
