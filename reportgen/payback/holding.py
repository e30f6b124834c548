"""What owning an array costs beside upkeep: insurance, property tax, taking it down. Nothing is counted that nobody said."""

from __future__ import annotations

import numpy as np

from reportgen.bills.plans import HORIZON_YEARS
from reportgen.describe.models import House
from reportgen.payback.property_tax import property_tax_per_year

INSURANCE, PROPERTY_TAX, TAKING_DOWN = "insurance", "property tax", "taking down"
_ASK = {INSURANCE: "what the insurer adds for the array", PROPERTY_TAX: "whether property tax rises, or that it is exempt",
        TAKING_DOWN: "what taking the array down at the end costs"}


def holding_costs(house: House) -> dict[str, np.ndarray]:
    """Years 1 to the horizon, ≤ 0, by inflation from today's money [currency]; only what the house file says, be it zero."""
    paying, others = house.paying, (1.0 + house.money.inflation_percent / 100.0) ** np.arange(HORIZON_YEARS)
    made = {}
    if paying.insurance_per_year is not None:
        made[INSURANCE] = -paying.insurance_per_year * others
    taxed = property_tax_per_year(house) if paying.property_tax_per_year is None else paying.property_tax_per_year
    if taxed is not None:
        made[PROPERTY_TAX] = -taxed * others
    if paying.removal_price is not None:
        made[TAKING_DOWN] = np.zeros(HORIZON_YEARS)
        made[TAKING_DOWN][-1] = -paying.removal_price * others[-1]
    return made


def not_counted(house: House) -> tuple[str, ...]:
    """A sentence for each of them that nobody said."""
    said = holding_costs(house)
    return tuple(f"Not counted: nobody said {what}." for key, what in _ASK.items() if key not in said)
