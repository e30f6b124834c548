"""A share in a community array: an array elsewhere whose output is credited on the household's bill."""

from __future__ import annotations

from typing import Annotated

from pydantic import Field, model_validator

from reportgen.describe.fields import Money, Section, ShortText, exactly_one


class CommunityShare(Section):
    share_kw: Annotated[float, Field(gt=0, le=1000)] | None = None
    """Size of the share, kW DC."""
    kwh_per_year: Annotated[float, Field(gt=0, le=1_000_000)] | None = None
    """What the share makes in a year, as the paper says; instead of share_kw."""
    price_up_front: Money = 0.0
    """Paid at once."""
    price_per_month: Money = 0.0
    """Paid each month."""
    credit_per_kwh: Annotated[float, Field(gt=0, le=10)]
    """What each kWh takes off the bill today."""
    years: Annotated[int, Field(ge=1, le=40)]
    """Length of the contract."""
    source: ShortText
    """Where the terms stand: the offer, the programme's page."""

    @model_validator(mode="after")
    def _check(self):
        exactly_one(self, "share_kw", "kwh_per_year")
        if not self.price_up_front and not self.price_per_month:
            raise ValueError("a share has a price; write price_up_front, price_per_month or both")
        return self
