"""What `bills` hands on: a year of bills before and after, as lines that add up."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from typing import TYPE_CHECKING

import numpy as np

from reportgen.figures import Figure

if TYPE_CHECKING:
    from reportgen.bills.plans import HousePlans


@dataclass(frozen=True)
class BillLine:
    label: str                    # "Fixed charge", "Energy, 412 kWh at 0.15"
    amount: Decimal               # rounded half-up to the cent; credits negative
    kind: str = "energy"          # fixed, energy, demand, array, credit, minimum, tax
    window: str = ""              # the window it is for, where the line is for one
    name: str = ""                # the charge's name in the tariff; "" for credits
    kwh: Decimal | None = None    # the kWh it counts, to a tenth


@dataclass(frozen=True)
class MonthBill:
    month: int                    # 1 to 12
    lines: tuple[BillLine, ...]
    total: Decimal                # the sum of the lines, exactly
    import_kwh: float             # taken from the grid, hour by hour
    export_kwh: float             # sent to the grid, hour by hour
    billed_kwh: float             # what the energy line charges for
    bank_kwh: float               # left in the bank after this month, all windows together
    lost_kwh: float               # taken from the bank at a reset without pay
    bank_money: Decimal = Decimal("0.00")    # credit left after this month
    lost_money: Decimal = Decimal("0.00")    # credit taken at a reset, or left unused by the minimum, without pay
    demand_kw: float | None = None           # the highest demand charged for; None without a demand charge


@dataclass(frozen=True)
class YearBill:
    months: tuple[MonthBill, ...]
    total: Decimal


@dataclass(frozen=True)
class PlanBill:
    """A plan that the array may be billed under."""
    name: str
    first_year: YearBill          # with the sun, an empty bank at its start
    settled: YearBill             # with the sun
    horizon_sum: float | None     # 25 years of bills with the sun, nominal; None where there is one plan only
    is_today: bool                # the plan the house has now
    is_chosen: bool
    why: str                      # a sentence: why it was taken, or by how much it costs more


@dataclass(frozen=True)
class UseYear:
    """A year of changing use, at today's prices."""
    year: int                     # 1 is the first with the sun
    use_kwh: float
    before: float                 # the bill without the sun [currency]
    after: float                  # with it


@dataclass(frozen=True, eq=False)
class Bills:
    """The two bills of one year at today's prices. `after` is a settled year: the bank starts as the year before left it.

    `before` is under today's plan, `after` under the plan chosen. Both have the use of the first year with the sun.
    """
    use_hours_kwh: np.ndarray     # 8,760
    shape_name: str
    shape_source: str
    hours_are_modelled: bool
    before: YearBill
    after: YearBill
    first_year_after: YearBill    # the first year, with an empty bank on 1 January
    saving: Figure                # a settled year: before − after, with the range that the hours' shape gives
    self_use: Figure              # share of the array's output used at once [%], ±6 points where hours are modelled
    stays_due: Figure             # what a year's bill can't fall below, whatever the sun does
    figures: tuple[Figure, ...]
    notes: tuple[str, ...] = ()
    plans: tuple[PlanBill, ...] = ()             # today's first where it is open to an array
    changing_use: tuple[UseYear, ...] = ()       # one a year; empty where no change of use is named
    counted: HousePlans | None = None            # for the cash by year; None in bills made by hand
