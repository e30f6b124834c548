"""The same paper with one thing otherwise, so that what each part of it is worth can be told apart."""

from __future__ import annotations

from reportgen.describe.offers import Offer
from reportgen.payback.way_cash import LIFTING, NEW_INVERTER, OWNING


def with_room(offer: Offer, most: int | None) -> Offer | None:
    """With no more modules than the roof holds, all its money as it stands; None where it has no more."""
    if most is None or offer.module_count is None or offer.module_count <= most:
        return None
    return offer.model_copy(update={"module_count": most, "size_kw": offer.dc_kw * most / offer.module_count})


def paid_in_cash(offer: Offer) -> Offer | None:
    """A loan's array at the paper's cash price, paid at once; None where there is no loan or no such price."""
    if offer.loan is None or offer.cash_price is None:
        return None
    price = offer.price if offer.price is not None else offer.loan.cash_price
    return offer.model_copy(update={"loan": None, "price": price, "price_financed": None})


def inverter_by_household(offer: Offer) -> Offer | None:
    """The new inverter bought by the household, labour with it: no warranty on it counts, and no company pays for it. None where
    the contract says who does."""
    contract = offer.lease or offer.power_purchase
    if contract is None:
        return offer.model_copy(update={"warranties": offer.warranties.model_copy(update={"inverter_years": None})})
    if "company_pays" in contract.model_fields_set:
        return None
    return _paid_by_company(offer, [item for item in contract.company_pays if item != OWNING[NEW_INVERTER]])


def lifted_by_company(offer: Offer) -> Offer | None:
    """A company's array that the company lifts for a new roof; None where the household owns it or the contract says who pays."""
    contract = offer.lease or offer.power_purchase
    if contract is None or "company_pays" in contract.model_fields_set:
        return None
    return _paid_by_company(offer, [*contract.company_pays, OWNING[LIFTING]])


def _paid_by_company(offer: Offer, items: list[str]) -> Offer:
    key = "lease" if offer.lease is not None else "power_purchase"
    return offer.model_copy(update={key: getattr(offer, key).model_copy(update={"company_pays": items})})
