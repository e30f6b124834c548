"""Invented houses, one for each kind of tariff, assessed once for the tests of the part on the bill."""

from __future__ import annotations

from datetime import date, timedelta
from functools import cache

import numpy as np

from reportgen.assessment import Assessment
from reportgen.bills.meter.year import MeterYear
from reportgen.chain import assess
from reportgen.climate.read import read_year
from reportgen.describe.models import House
from reportgen.report.charts import draw_charts
from reportgen.report.pages import render_house
from tests.houses import PLAIN
from tests.report.built import BATCH

SEASONS = [{"name": "summer", "begins": "June 1", "ends": "September 30"},
           {"name": "winter", "begins": "October 1", "ends": "May 31"}]
HOLIDAYS = {"country": "US", "names": ["New Year's Day", "Independence Day", "Labor Day", "Thanksgiving Day", "Christmas Day"]}
WINDOWS = [{"name": "on-peak", "seasons": ["summer"], "days": "weekdays", "hours": ["16-21"]},
           {"name": "on-peak", "seasons": ["winter"], "days": "weekdays", "hours": ["6-9", "17-20"]},
           {"name": "mid-peak", "days": "weekdays", "hours": ["9-16"]},
           {"name": "off-peak"}]
TIME_OF_USE = {
    "name": "Evening plan", "source": "an invented sheet", "read_on": "2026-10-01", "read_day": 12,
    "seasons": SEASONS, "holidays": HOLIDAYS, "windows": WINDOWS,
    "fixed": [{"name": "Customer charge", "price": 0.4, "per": "day"}],
    "energy": [{"name": "Energy", "prices": [
                   {"season": "summer", "window": "on-peak", "price_per_kwh": 0.38}, {"season": "winter", "window": "on-peak", "price_per_kwh": 0.27},
                   {"window": "mid-peak", "price_per_kwh": 0.19}, {"window": "off-peak", "price_per_kwh": 0.1125}]},
               {"name": "Public programmes", "counts": "delivered", "price_per_kwh": 0.0125}],
    "taxes": [{"name": "Sales tax", "percent": 4.5}],
    "export_rule": {"rule": "net billing", "credit_pays": "energy", "resets": "yearly", "reset_month": "March", "leftover": "lost", "prices": [
        {"season": "summer", "window": "on-peak", "price_per_kwh": 0.16}, {"season": "winter", "window": "on-peak", "price_per_kwh": 0.09},
        {"window": "mid-peak", "price_per_kwh": 0.045}, {"window": "off-peak", "price_per_kwh": 0.05}]}}
DEMAND = {
    "name": "Demand plan", "seasons": SEASONS, "fixed": [{"name": "Customer charge", "price": 18}],
    "energy": [{"name": "Energy", "blocks_per": "day", "prices": [{"blocks": [{"up_to_kwh": 10, "price_per_kwh": 0.06}, {"price_per_kwh": 0.085}]}]}],
    "demand": [{"name": "Demand", "rounded_to": "tenth of a kW", "ratchet_percent": 60,
                "prices": [{"season": "summer", "price_per_kw": 9.5}, {"season": "winter", "price_per_kw": 5}],
                "windows": [{"seasons": ["winter"], "days": "weekdays", "hours": ["6-9", "17-20"]},
                            {"seasons": ["summer"], "days": "weekdays", "hours": ["15-20"]}]}],
    "minimum": {"name": "Minimum charge", "price": 25},
    "taxes": [{"name": "City fee", "per_kwh": 0.003}, {"name": "Tax", "percent": 5, "lines": ["Energy", "Demand", "City fee"]}],
    "export_rule": {"rule": "one-to-one", "resets": "yearly", "reset_month": "December", "leftover": "paid", "leftover_price_per_kwh": 0.02}}
SELL_ALL = {
    "name": "Two meters", "fixed": [{"price": 11}], "energy": [{"price_per_kwh": 0.14}], "array": [{"price_per_kw": 0.8, "rating": "AC"}],
    "export_rule": {"rule": "buy-all sell-all", "credit_pays": "everything",
                    "prices_by_month_and_hour": [[0.04] * 15 + [0.11 if 5 <= month <= 8 else 0.06] * 5 + [0.05] * 4 for month in range(12)]}}
MONEY_BANK = {
    "name": "Credit plan", "seasons": SEASONS, "windows": [{"name": "day", "hours": ["7-21"]}, {"name": "night"}],
    "fixed": [{"price": 9.5}], "energy": [{"name": "Supply", "prices": [
        {"season": "summer", "window": "day", "price_per_kwh": 0.21}, {"season": "winter", "window": "day", "price_per_kwh": 0.17}, {"window": "night", "price_per_kwh": 0.09}]}],
    "minimum": {"price": 0.35, "per": "day", "covers": "energy", "unused_credit": "lost"},
    "export_rule": {"rule": "one-to-one", "bank": "money", "credit_pays": "everything", "resets": "yearly", "reset_month": "April", "leftover": "paid"}}
FLAT = {"name": "Flat plan", "price_per_kwh": 0.15, "fixed_per_month": 12, "export": "one-to-one"}
CAR = [{"what": "electric car", "kwh_per_year": 2600, "begins": "2029-05-01"}]

_HOUSES = {
    "one-to-one": {},
    "yearly reset": {"tariff": FLAT | {"reset_month": "April"}},
    "time of use": {"tariff": TIME_OF_USE},
    "demand": {"tariff": DEMAND, "array": {"module_count": 22}},
    "sell all": {"tariff": SELL_ALL},
    "money bank": {"tariff": MONEY_BANK, "array": {"module_count": 24}},
    "two plans and a car": {"tariff": FLAT | {"open_to_solar": False}, "plans_with_solar": [TIME_OF_USE, DEMAND],
                            "use": {"annual_kwh": 9100, "changes": CAR}},
}
_HOUSES["measured"] = {"tariff": TIME_OF_USE | {"read_day": None}, "use": {"meter_file": {"file": "readings.csv"}}}
BILL_HOUSES = tuple(_HOUSES)


def described(name: str) -> House:
    return House.model_validate(PLAIN | _HOUSES[name])


@cache
def bill_assessed(name: str) -> Assessment:
    found = described(name)
    return assess(found, read_year(found, BATCH), _readings() if found.use.meter_file is not None else None)


def _readings() -> MeterYear:
    """A year of invented readings, two hours of which were missing."""
    hours = 0.7 + 0.5 * np.sin(np.arange(8760) * 2 * np.pi / 24 - 2) ** 2 + 0.3 * (np.arange(8760) * 7919 % 13) / 13
    days = tuple(date(2025, 1, 1) + timedelta(days=n) for n in range(365))
    return MeterYear(hours, None, 2025, days, 2, ("2 hours are missing in the file; the same hour of the days around stands in.",))


@cache
def bill_charts(name: str) -> dict[str, str]:
    return draw_charts(bill_assessed(name))


@cache
def bill_page_of(name: str) -> str:
    return render_house(bill_assessed(name), bill_charts(name))
