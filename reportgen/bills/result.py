"""What `bills` hands on: a year of bills before and after, as lines that add up."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal

import numpy as np

from reportgen.figures import Figure


@dataclass(frozen=True)
class BillLine:
    label: str                    # "Fixed charge", "Energy, 412 kWh at 0.15"
    amount: Decimal               # rounded half-up to the cent; credits negative


@dataclass(frozen=True)
class MonthBill:
    month: int                    # 1 to 12
    lines: tuple[BillLine, ...]
    total: Decimal                # the sum of the lines, exactly
    import_kwh: float             # taken from the grid, hour by hour
    export_kwh: float             # sent to the grid, hour by hour
    billed_kwh: float             # what the energy line charges for
    bank_kwh: float               # left in the bank after this month; 0 under net billing
    lost_kwh: float               # taken from the bank at a reset without pay


@dataclass(frozen=True)
class YearBill:
    months: tuple[MonthBill, ...]
    total: Decimal


@dataclass(frozen=True, eq=False)
class Bills:
    """The two bills of one year at today's prices. `after` is a settled year: the bank starts as the year before left it."""
    use_hours_kwh: np.ndarray     # 8,760
    shape_name: str
    shape_source: str
    hours_are_modelled: bool
    before: YearBill
    after: YearBill
    first_year_after: YearBill    # the first year, with an empty bank on 1 January
    saving: Figure                # a settled year: before − after, with the range that the hours' shape gives
    self_use: Figure              # share of the array's output used at once [%], ±6 points where hours are modelled
    stays_due: Figure             # the fixed charge over a year, whatever the sun does
    figures: tuple[Figure, ...]
    notes: tuple[str, ...] = ()
