"""Assessment: everything found about one house. No HTML, no pictures; what `assess` returns and `report` shows."""

from __future__ import annotations

from dataclasses import dataclass

from reportgen.bills.result import Bills
from reportgen.climate.typical_year import TypicalYear
from reportgen.describe.assumptions import Assumption
from reportgen.describe.models import House
from reportgen.figures import Figure
from reportgen.interconnection.result import Connection
from reportgen.payback.choices_result import Emissions, JointRange, Needs, OtherChoices, WhatIfGrid
from reportgen.payback.offers_result import OfferFound, OfferTable
from reportgen.payback.result import Payback
from reportgen.production.layout.result import RoofLayout
from reportgen.production.result import Production

YES = "yes"
NOT_AS_IT_STANDS = "not as it stands"
NOT_NOW = "not now"


@dataclass(frozen=True)
class Effect:
    """What one uncertain input does to the answer, found by running the whole chain again at its low and high."""

    key: str                   # the assumption's path, or "weather.sun", "weather.air"
    label: str
    value_text: str            # "2 %"
    low_text: str              # "0.5 %"
    high_text: str
    year_kwh: tuple[float, float]            # first-year output at low and at high [kWh]
    net_present_value: tuple[float, float]   # at low and at high [currency]
    payback_years: tuple[int | None, int | None]
    swing: float               # |difference of the two net present values|; the order of the list
    source: str
    ask: str                   # how to find out; "" where nobody can
    remark: str = ""           # why nothing can be found out
    over_deposit: tuple[float, float] | None = None   # where it moves the comparison with a deposit alone [currency]
    verdicts: tuple[str, str] | None = None           # the connection's verdict at low and at high, where it may turn


@dataclass(frozen=True)
class Answer:
    """The first page: yes, not as it stands, or not now, with the reasons and what else to do."""

    verdict: str               # YES, NOT_AS_IT_STANDS, NOT_NOW
    headline: str              # one sentence
    reasons: tuple[str, ...]   # each with its numbers
    instead: tuple[str, ...]   # what else to do; empty for YES
    rule: str                  # key of the threshold row that decided, as in DEVELOPERS.md


@dataclass(frozen=True, eq=False)
class Assessment:
    house: House               # with everything filled in
    year: TypicalYear
    assumptions: tuple[Assumption, ...]      # the size first, then in the table's order
    production: Production
    connection: Connection
    bills: Bills
    payback: Payback
    answer: Answer
    effects: tuple[Effect, ...]              # largest swing first
    settled: tuple[Assumption, ...]          # assumptions without a number line (kind of inverter, shape, ...)
    figures: dict[str, Figure]               # by key, all of the above
    layout: RoofLayout | None = None         # where the modules lie; None in assessments made by hand
    offers: tuple[OfferFound, ...] = ()      # the papers in hand, taken apart, in the file's order
    offer_table: OfferTable | None = None    # the same side by side; None without offers
    joint: JointRange | None = None          # what is uncertain moved all together; this and the next four: None in those by hand
    needs: Needs | None = None               # what would have to be true
    grid: WhatIfGrid | None = None           # what if, as plain tables
    choices: OtherChoices | None = None      # wait, fewer modules, a share elsewhere, the roof
    emissions: Emissions | None = None       # None too where the family did not ask
