"""A house with its bills counted and its three cases, for tests of what would change the answer."""

from __future__ import annotations

from dataclasses import dataclass, replace

from reportgen.bills.plans import HousePlans, count_plans
from reportgen.bills.use import use_hours
from reportgen.describe.models import House
from reportgen.payback.cases import CaseInputs, three_cases
from reportgen.production.result import Production
from reportgen.sizing import dc_kw
from reportgen.what_if import WhatIf, given_but_uncertain
from tests.bills.hours import SUN_KWH, sun_hours
from tests.bills.weather import plain_year
from tests.payback.parts import filled, production_of

SUN = sun_hours(SUN_KWH)   # 8,600 kWh


@dataclass(frozen=True)
class Counted:
    house: House
    production: Production
    plans: HousePlans
    cases: tuple[CaseInputs, ...]
    rule: WhatIf | None
    plans_if: HousePlans | None

    @property
    def middle(self) -> CaseInputs:
        return self.cases[1]


def plans_of(house: House) -> HousePlans:
    return count_plans(house, use_hours(house, plain_year()), SUN, plain_year())


def counted(low: float = 0.9, high: float = 1.1, **changed) -> Counted:
    """`filled` house with 8,600 kWh of sun; the mean of 25 years from `low` to `high` times that."""
    house = filled(**changed)
    production = production_of(SUN, dc_kw(house), low, high)
    plans = plans_of(house)
    rule = next((one for one in given_but_uncertain(house, frozenset()) if one.key == "tariff.export"), None)
    cases = three_cases(house, production, plans, frozenset())
    return Counted(house, production, plans, tuple(replace(c) for c in cases), rule, None if rule is None else plans_of(rule.low))
