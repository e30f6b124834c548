"""A plain house with offers in hand, taken apart on given hours of sun."""

from __future__ import annotations

from functools import cache

from reportgen.bills.compare import compare_bills
from reportgen.describe.assumptions import complete
from reportgen.describe.models import House
from reportgen.payback.offers import take_apart
from reportgen.payback.offers_result import Finding, OfferFound
from reportgen.sizing import dc_kw
from tests.bills.hours import SUN_KWH, sun_hours
from tests.bills.weather import plain_year
from tests.payback.parts import filled, production_of

SUN = sun_hours(SUN_KWH)   # 8,600 kWh from 5 kW
CASH = {"seller": "offer A", "size_kw": 5.0, "price": 16_500.0}


def taken_apart(*offers: dict, **changed) -> tuple[OfferFound, ...]:
    """Each offer is laid over CASH; a value of None takes a key out. `changed`: of the house."""
    made = [{k: v for k, v in {**CASH, "seller": f"offer {n}", **offer}.items() if v is not None} for n, offer in enumerate(offers, 1)]
    changed.setdefault("use", {"annual_kwh": 12_000})
    a_house = filled(offers=made, **changed)
    return take_apart(a_house, production_of(SUN, dc_kw(a_house)), _plans(a_house.model_copy(update={"offers": []})))


@cache
def _counted(text: str):
    return compare_bills(complete(House.model_validate_json(text))[0], SUN, plain_year()).counted


def _plans(a_house):
    return _counted(a_house.model_dump_json())


def about(found: OfferFound, topic: str) -> list[Finding]:
    return [finding for finding in found.findings if finding.topic == topic]
