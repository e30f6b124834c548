"""Production with given hours, and a house with everything filled, for tests of the money alone."""

from __future__ import annotations

import numpy as np

from reportgen.bills.compare import compare_bills
from reportgen.bills.months import month_sums
from reportgen.describe.assumptions import complete
from reportgen.describe.models import House
from reportgen.figures import Figure
from reportgen.payback.cash import pay_back
from reportgen.payback.result import Payback
from reportgen.production.result import Production, Spread
from reportgen.sizing import dc_kw
from tests.bills.weather import plain_year
from tests.houses import house


def production_of(hours_kwh: np.ndarray, power_kw: float, low: float = 0.9, high: float = 1.1) -> Production:
    """Hours as given; the mean of 25 years ranges from `low` to `high` times the year."""
    year = float(hours_kwh.sum())

    def figure(key):
        return Figure(f"production.{key}", key, year, "kWh", low * year, high * year)
    return Production(hours_kwh, month_sums(hours_kwh), figure("year_kwh"), figure("mean_of_25"), figure("specific_yield"),
                      figure("performance_ratio"), (), (), Spread((), 0.1, 0.1), 60.0, power_kw, power_kw, ())


def filled(**changed) -> House:
    """A house file with its gaps filled; money has no new inverter unless one is written."""
    changed.setdefault("array", {"array_kw": 5.0})
    changed["money"] = {"installed_price": 18000.0, "inverter_replacement": 0.0, **changed.get("money", {})}
    return complete(house(**changed))[0]


def paid_back(a_house: House, hours_kwh: np.ndarray, assumed: frozenset[str] = frozenset()) -> Payback:
    bills = compare_bills(a_house, hours_kwh, plain_year())
    return pay_back(a_house, production_of(hours_kwh, dc_kw(a_house)), bills, assumed)
