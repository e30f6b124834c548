"""What a way to connect costs beyond the offer: only what the house file names, never a guess."""

from __future__ import annotations

from reportgen.describe.models import House
from reportgen.interconnection.result import PriceRange

NO_SOURCE = "the house file, no source named"


def price_of(house: House, *parts: str) -> PriceRange | None:
    """Price range of `parts` together, each a key under electrical.prices; None where one of them has no price."""
    named = {price.way: price for price in house.electrical.prices}
    found = [named.get(part) for part in parts]
    if not found or None in found:
        return None
    return PriceRange(sum(p.low for p in found), sum(p.high for p in found),
                      "; ".join(dict.fromkeys(p.source or NO_SOURCE for p in found)))
