"""What if: growth of the electricity price × price of the system × the utility's rule × use, every cell run by the same code."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from reportgen.bills.plans import HORIZON_YEARS, HousePlans
from reportgen.describe.models import House
from reportgen.figures import show
from reportgen.payback.cases import CaseBills, CaseInputs, at_price, case_bills, cash_columns
from reportgen.payback.choices_result import GridCell, GridTable, WhatIfGrid
from reportgen.payback.joint_range import price_reach
from reportgen.payback.present_value import paid_back_in, present_value
from reportgen.what_if import REACH_USE, WhatIf

USES = (1 - REACH_USE, 1.0, 1 + REACH_USE)


def what_if_grid(house: House, plans: HousePlans, cases: Sequence[CaseInputs], rule: WhatIf | None,
                 plans_if: HousePlans | None) -> WhatIfGrid:
    """All cells. cases, rule, plans_if: as for `joint_range`. A payback ranges from the favourable output to the unfavourable."""
    worst, middle, best = cases
    code, discount = house.money.currency, house.money.discount_percent / 100.0
    growths = sorted({0.0, worst.growth_percent, middle.growth_percent, best.growth_percent})
    prices = sorted({*price_reach(house, cases), middle.price})
    rules = [("as it is now", plans)] + ([(rule.texts[1], plans_if)] if plans_if is not None and rule is not None else [])

    def cell(growth: float, price: float, outputs: Sequence[CaseBills], as_stated: bool) -> GridCell:
        flows = []
        for output, bills in zip((worst, middle, best), outputs, strict=True):
            case = replace(middle, growth_percent=growth, price=price, output_share=output.output_share)
            flows.append(at_price(house, case, columns[growth, output.name]).flows if (growth, output.name) in columns else
                         columns.setdefault((growth, output.name), cash_columns(house, case, bills)).flows)
        slow, _, fast = (paid_back_in(np.cumsum(each)) for each in flows)
        return GridCell(present_value(flows[1], discount), (fast, slow), as_stated)

    tables = []
    for r, (rule_name, counted) in enumerate(rules):
        for use in USES:
            columns: dict = {}
            outputs = [case_bills(house, counted, replace(middle, output_share=case.output_share, use_factor=use)) for case in cases]
            rows = tuple(tuple(cell(growth, price, outputs, r == 0 and use == 1.0 and growth == middle.growth_percent and price == middle.price)
                               for price in prices) for growth in growths)
            tables.append(GridTable(rule_name, _use_in_words(use), rows))
    return WhatIfGrid(
        code, HORIZON_YEARS, tuple(f"{growth:g} % a year" for growth in growths), tuple(show(price, code) for price in prices), tuple(tables),
        ("Each cell: worth in today's money with the middle output, and the years in which it is paid back with a high and with a low output.",
         "Upkeep, new inverters, ageing and the price to connect are those of the middle case in every cell."))


def _use_in_words(factor: float) -> str:
    percent = 100.0 * abs(factor - 1.0)
    return "as stated" if factor == 1.0 else f"{percent:.0f} % {'more' if factor > 1 else 'less'}"
