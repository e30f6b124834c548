"""What would change the answer, gathered: joint range, what would have to be true, what if, and other things to do."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from reportgen.bills.plans import HousePlans
from reportgen.describe.assumptions import Assumption
from reportgen.describe.models import House
from reportgen.figures import Figure
from reportgen.interconnection.result import Way
from reportgen.payback.break_even import needs
from reportgen.payback.cases import NO_EXTRA, three_cases
from reportgen.payback.choices_result import Emissions, JointRange, Needs, OtherChoices, WhatIfGrid
from reportgen.payback.community import community_found
from reportgen.payback.emissions import emissions
from reportgen.payback.joint_range import joint_range
from reportgen.payback.roof_work import roof_work
from reportgen.payback.sizes import size_ladder
from reportgen.payback.waiting import waiting
from reportgen.payback.what_if_grid import what_if_grid
from reportgen.production.result import Production
from reportgen.what_if import WhatIf


@dataclass(frozen=True)
class Choices:
    joint: JointRange
    needs: Needs
    grid: WhatIfGrid
    others: OtherChoices
    emissions: Emissions | None

    @property
    def figures(self) -> tuple[Figure, ...]:
        released = () if self.emissions is None else self.emissions.figures
        return (*self.joint.figures, *self.needs.figures, *self.others.figures, *released)


@dataclass(frozen=True)
class Reruns:
    """What the chain runs again for a changed house."""
    of_size: Callable[[House], tuple[Production, HousePlans, Way | None]]
    plans: Callable[[House], HousePlans]
    later_plans: Callable[[House], HousePlans]


def weigh_choices(house: House, production: Production, assumed: frozenset[str], assumptions: Sequence[Assumption],
                  way: Way | None, rule: WhatIf | None, reruns: Reruns) -> Choices:
    """rule: the other rule that the utility may turn to for what is sent out; None where there is none to fear."""
    plans = reruns.plans(house)
    plans_if = None if rule is None else reruns.plans(rule.low)
    extra = way.price if way is not None and way.price is not None else NO_EXTRA
    cases = three_cases(house, production, plans, assumed, extra)
    middle = cases[1]
    follows = tuple(a.path for a in assumptions if a.follows_size)
    sizes, size_notes = size_ladder(house, production, assumed, follows, reruns.of_size)
    return Choices(
        joint_range(house, production, plans, cases, assumptions, rule, plans_if), needs(house, plans, middle),
        what_if_grid(house, plans, cases, rule, plans_if),
        OtherChoices(waiting(house, plans, middle, reruns.later_plans), sizes, size_notes, tuple(house.other_measures),
                     community_found(house, production, cases), roof_work(house, plans, middle)),
        emissions(house, production))
