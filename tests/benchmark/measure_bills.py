"""CPU of 25 years of hourly bills for four candidate plans, and of the printed bills of one year beside it.

Run: .venv/bin/python -m tests.benchmark.measure_bills
Figures are CPU seconds of this process and ratios within this one run; compare ratios, not seconds, between machines.
"""

from __future__ import annotations

import time

import numpy as np

from reportgen.bills.compare import compare_bills
from reportgen.bills.plans import HORIZON_YEARS, ageing, count_plans, price_factors
from reportgen.bills.use import use_hours
from reportgen.describe.assumptions import complete
from reportgen.describe.tariff import Tariff
from reportgen.sizing import size
from tests.bills.any_tariff import TWO_SEASONS, WINDOWS, array_hours
from tests.bills.weather import plain_year
from tests.houses import house

FULL = {
    "seasons": TWO_SEASONS, "windows": WINDOWS["three"], "fixed": [{"price": 11.0}], "minimum": {"price": 15.0},
    "energy": [{"prices": [{"window": "on-peak", "price_per_kwh": 0.41}, {"window": "night", "price_per_kwh": 0.07},
                           {"window": "rest", "price_per_kwh": 0.2}]}, {"name": "Rider", "price_per_kwh": 0.03, "counts": "delivered"}],
    "demand": [{"price_per_kw": 2.0, "ratchet_percent": 50.0}], "taxes": [{"percent": 6.0}],
}
TABLE = [[0.04 + 0.002 * hour for hour in range(24)]] * 12
RULES = {"one-to-one by window": {"rule": "one-to-one", "buckets": "by window", "resets": "yearly", "reset_month": "March"},
         "net billing by table": {"rule": "net billing", "prices_by_month_and_hour": TABLE, "credit_pays": "everything"},
         "bank of money": {"rule": "one-to-one", "bank": "money"}, "buy-all": {"rule": "buy-all sell-all", "price_per_kwh": 0.1}}


def cpu(work, times: int = 1) -> tuple[float, object]:
    begun = time.process_time()
    for _ in range(times):
        result = work()
    return (time.process_time() - begun) / times, result


def main() -> None:
    plans = [Tariff.model_validate({"name": name, "export_rule": rule, **FULL}) for name, rule in RULES.items()]
    base = house(array={"array_kw": 6.0}, tariff={"name": "today", "open_to_solar": False}, plans_with_solar=[p.model_dump() for p in plans])
    filled, year = size(complete(base)[0], lambda *_: 400.0).house, plain_year()
    sun, use = array_hours(3, 8_600.0), use_hours(filled, year)
    count_plans(filled, use, sun, year)   # calendars are kept from here on
    chosen, counted = cpu(lambda: count_plans(filled, use, sun, year), 5)
    prices = price_factors(filled, 3.0)
    again, _ = cpu(lambda: [plan.years(ageing(filled)).bills(prices) for plan in counted.open_plans], 5)
    years = counted.chosen.years(ageing(filled))
    grown, _ = cpu(lambda: years.bills(prices), 20)
    hourly, _ = cpu(lambda: [np.maximum(use.by_year(k) - f * sun, 0.0).sum() for k, f in enumerate(ageing(filled))], 5)
    printed, bills = cpu(lambda: compare_bills(filled, sun, year, counted=counted))
    print(f"{HORIZON_YEARS} years of hours for {len(plans)} plans {chosen:.4f} s (limit 0.5 s); with other outputs {again:.4f} s; "
          f"with other prices, one plan, {grown:.5f} s")
    print(f"netting every hour of those years once, without any tariff, {hourly:.4f} s (ratio {chosen / hourly:.1f})")
    print(f"printed bills of one house, all plans {printed:.3f} s (ratio {printed / chosen:.1f}); plan taken: "
          f"{next(plan.name for plan in bills.plans if plan.is_chosen)}")


if __name__ == "__main__":
    main()
