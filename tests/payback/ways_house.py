"""A house with every way to pay, and the ways found for it."""

from __future__ import annotations

from reportgen.payback.ways_result import WayToPay
from tests.bills.hours import SUN_KWH, sun_hours
from tests.payback.parts import filled, paid_back

SUN = sun_hours(SUN_KWH)   # 8,600 kWh
ALL_WAYS = {
    "own_work": {"expenses": [{"item": "parts", "price": 9000}, {"item": "permit", "price": 400}], "hours": 160,
                 "leaves_out": "the work on the panel"},
    "bulk": {"price_per_w": 2.4, "fee": 200},
    "loans": [{"name": "seller's loan", "rate_percent": 3.99, "months": 300, "fee_percent": 30.0, "fee_is_share_of": "cash price",
               "expected_lump_sum": 7500, "lump_sum_month": 18},
              {"name": "bank loan", "rate_percent": 7.0, "months": 120, "down_payment": 5000}],
    "home_equity": {"rate_percent": 8.5},
    "leases": [{"per_month": 100, "escalator_percent": 2.9, "years": 25}],
    "power_purchases": [{"price_per_kwh": 0.13, "escalator_percent": 2.9, "years": 20, "buy_out": [{"year": 20, "price": 3000}]}],
}


def ways_of(paying: dict, sun=SUN, **changed) -> dict[str, WayToPay]:
    """By key. The house uses 30,000 kWh, so that all of the sun is worth the full price under one-to-one."""
    changed.setdefault("use", {"annual_kwh": 30_000})
    return {way.key: way for way in paid_back(filled(paying=paying, **changed), sun).ways_to_pay}


def line(way: WayToPay, name: str) -> tuple[float, ...] | None:
    return next((one.by_year for one in way.lines if one.name == name), None)
