"""Property tax that an array adds: the rate times what the assessor adds, unless the house file says that it is exempt."""

from __future__ import annotations

from reportgen.describe.models import House


def without_exemption(house: House) -> float | None:
    """What would be due a year [currency]; None: rate or assessed addition is not said."""
    money = house.money
    if money.property_tax_percent is None or money.property_tax_added_value is None:
        return None
    return money.property_tax_percent * money.property_tax_added_value / 100.0


def property_tax_per_year(house: House) -> float | None:
    """What is due a year [currency]; nothing where the house file says exempt; None: not known."""
    return 0.0 if house.money.property_tax_exempt else without_exemption(house)
