"""Certificates of an array's output: one for each whole MWh, a fraction carried to the next year."""

from __future__ import annotations

from collections.abc import Sequence
from math import floor

from reportgen.describe.models import House

KWH_PER_CERTIFICATE = 1000.0
SOLD = "Whoever sells the certificates may no longer say that the house uses solar power."
TAX = "Income tax may be due on it: ask a tax adviser."


def whole_certificates(kwh_by_year: Sequence[float], years: int) -> tuple[int, ...]:
    """Certificates made in each of the first `years` years; what is left of a MWh counts in the next year."""
    made, kwh, before = [], 0.0, 0
    for of_year in kwh_by_year[:years]:
        kwh += of_year
        whole = floor(kwh / KWH_PER_CERTIFICATE + 1e-9)
        made.append(whole - before)
        before = whole
    return tuple(made)


def by_the_fraction(kwh_by_year: Sequence[float], years: int, per_mwh: float) -> float:
    """What the same output would earn if fractions were paid too [currency]."""
    return float(sum(kwh_by_year[:years])) / KWH_PER_CERTIFICATE * per_mwh


def certificates_sold(house: House) -> bool:
    """Whether the house file says that certificates are sold: the power may then not be called solar."""
    return house.money.certificates_kept is False or any(one.is_certificates for one in house.incentives)
