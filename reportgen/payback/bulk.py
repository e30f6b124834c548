"""A co-op's bulk purchase: cash at the co-op's price per watt, and its fee."""

from __future__ import annotations

from reportgen.describe.paying import BulkPurchase
from reportgen.figures import show, show_number


def bulk_price(bulk: BulkPurchase, power_kw: float) -> float:
    return bulk.price_per_w * power_kw * 1000.0 + bulk.fee


def bulk_sum(bulk: BulkPurchase, power_kw: float, code: str) -> str:
    fee = f" + fee {show(bulk.fee, code, 0)}" if bulk.fee else ""
    return (f"{show(bulk.price_per_w, code + '/W')} × {show_number(power_kw * 1000.0, 0)} W{fee} = "
            f"{show(bulk_price(bulk, power_kw), code, 0)}")
