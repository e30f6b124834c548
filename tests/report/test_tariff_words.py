"""The tariff in words holds all that the tariff says: nothing is missing that a bill needs."""

import re

import pytest
from hypothesis import given, settings

from reportgen.describe import tariff_days as days
from reportgen.describe.tariff import Tariff
from reportgen.report.price_words import exact
from reportgen.report.tariff_words import tariff_words
from tests.bills.any_tariff import tariffs
from tests.bills.tariffs import (
    PUBLISHED,
    benton_demand,
    minimum_per_day,
    palo_alto_blocks_per_day,
    river_falls_time_of_day,
    seymour,
)
from tests.report.bill_houses import DEMAND, FLAT, MONEY_BANK, SELL_ALL, TIME_OF_USE


def words(tariff: Tariff | dict, code: str = "USD") -> str:
    worded = tariff_words(tariff if isinstance(tariff, Tariff) else Tariff.model_validate(tariff), code)
    return "\n".join([worded.name, *(f"{topic}: {text}" for topic, text in worded.rows), *map(str, worded.hour_prices)])


def row(tariff: Tariff | dict, topic: str) -> str:
    worded = tariff_words(tariff if isinstance(tariff, Tariff) else Tariff.model_validate(tariff), "USD")
    return next(text for name, text in worded.rows if name == topic)


def _prices(said) -> list[float]:
    """Every price of a tariff, wherever it stands; the table by month and hour apart."""
    if isinstance(said, dict):
        own = [value for key, value in said.items() if key in ("price", "price_per_kwh", "price_per_kw", "per_kwh") and value is not None]
        return own + [price for key, value in said.items() if key != "prices_by_month_and_hour" for price in _prices(value)]
    return [price for value in said for price in _prices(value)] if isinstance(said, list) else []


def _says_all(tariff: Tariff) -> None:
    text = words(tariff)
    for price in _prices(tariff.model_dump()):
        assert exact(price, "USD") in text, price
    for name in (*days.season_names(tariff), *days.window_names(tariff)):
        assert name in text or name in (days.ALL_YEAR, days.ALL_HOURS)
    for charge in (*(tariff.fixed or ()), *(tariff.energy or ()), *(tariff.demand or ()), *(tariff.array or ()), *(tariff.taxes or ())):
        assert f"{charge.name}: " in text


@pytest.mark.parametrize("make", PUBLISHED)
def test_every_price_and_name_of_a_published_tariff_is_told(make):
    _says_all(make())


@settings(max_examples=60, deadline=None)
@given(tariffs())
def test_every_price_and_name_of_any_tariff_is_told(tariff):
    _says_all(tariff)


CHANGES = [
    (TIME_OF_USE, {"read_day": 13}), (TIME_OF_USE, {"holidays": TIME_OF_USE["holidays"] | {"celebrated": False}}),
    (TIME_OF_USE, {"seasons": [{"name": "summer", "begins": "June 2", "ends": "September 30"}, {"name": "winter", "begins": "October 1", "ends": "June 1"}]}),
    (TIME_OF_USE, {"windows": [TIME_OF_USE["windows"][0] | {"days": "weekdays and holidays"}, *TIME_OF_USE["windows"][1:]]}),
    (TIME_OF_USE, {"windows": [TIME_OF_USE["windows"][0] | {"hours": ["16-22"]}, *TIME_OF_USE["windows"][1:]]}),
    (TIME_OF_USE, {"fixed": [{"name": "Customer charge", "price": 0.4, "per": "month"}]}),
    (TIME_OF_USE, {"energy": [TIME_OF_USE["energy"][0], TIME_OF_USE["energy"][1] | {"counts": "net"}]}),
    (TIME_OF_USE, {"taxes": [{"name": "Sales tax", "percent": 4.5, "before_credits": True}]}),
    (TIME_OF_USE, {"taxes": [{"name": "Sales tax", "percent": 4.5, "lines": ["Energy"]}]}),
    (DEMAND, {"energy": [DEMAND["energy"][0] | {"blocks_per": "month"}]}),
    (DEMAND, {"demand": [DEMAND["demand"][0] | {"over": "15 minutes"}]}), (DEMAND, {"demand": [DEMAND["demand"][0] | {"rounded_to": "whole kW"}]}),
    (DEMAND, {"demand": [DEMAND["demand"][0] | {"ratchet_percent": None}]}), (DEMAND, {"demand": [DEMAND["demand"][0] | {"ratchet_periods": 12}]}),
    (DEMAND, {"demand": [DEMAND["demand"][0] | {"windows": None}]}), (DEMAND, {"minimum": DEMAND["minimum"] | {"covers": "energy"}}),
    (DEMAND, {"minimum": DEMAND["minimum"] | {"unused_credit": "lost"}}), (DEMAND, {"minimum": DEMAND["minimum"] | {"per": "day"}}),
    (DEMAND, {"taxes": [DEMAND["taxes"][0] | {"counts": "net"}, DEMAND["taxes"][1]]}), (SELL_ALL, {"array": [{"price_per_kw": 0.8, "rating": "DC"}]}),
    *((TIME_OF_USE, {"export_rule": TIME_OF_USE["export_rule"] | change}) for change in (
        {"netting": "instant"}, {"credit_pays": "everything"}, {"credit_pays": "all but fixed"}, {"resets": "monthly", "reset_month": None},
        {"reset_month": "April"}, {"leftover": "paid"}, {"ends": "2030-12-31", "then": {"rule": "none"}})),
    *((DEMAND, {"export_rule": DEMAND["export_rule"] | change}) for change in (
        {"buckets": "by window"}, {"reset_month": "May"}, {"leftover": "lost", "leftover_price_per_kwh": None})),
    (MONEY_BANK, {"export_rule": {"rule": "one-to-one"}}), (FLAT, {"reset_month": "April"}),
]


@pytest.mark.parametrize(("plain", "change"), CHANGES)
def test_whatever_changes_a_bill_changes_the_words(plain, change):
    assert words(plain | change) != words(plain)


def test_windows_are_told_with_their_days_and_hours():
    assert row(river_falls_time_of_day(), "Hours") == (
        "on-peak is 8 to 20 o’clock from Monday to Friday without holidays; off-peak is every other hour.")
    assert row(TIME_OF_USE, "Hours").startswith(
        "on-peak is in summer 16 to 21 o’clock from Monday to Friday without holidays, in winter 6 to 9 and 17 to 20 o’clock from")


def test_blocks_are_told_with_their_ends():
    assert "the first 250 kWh at $0.064, kWh above 250 up to 700 at $0.049 and kWh above 700 at $0.0446" in row(seymour(), "Energy")
    assert "multiply them by the days of the bill" in row(palo_alto_blocks_per_day(), "Energy")
    assert "multiply" not in row(seymour(), "Energy")


def test_demand_is_told_with_its_own_calendar():
    assert row(benton_demand(), "Demand") == (
        "For each kW of the highest demand in a bill $1.00. Demand is a mean of 1 hour, counted in October to April 6 to 9 and 17 to 20 "
        "o’clock every day, in May to September 17 to 20 o’clock every day, rounded to a whole kW, half upwards.")


def test_a_minimum_is_told_with_what_it_does_to_credit():
    assert row(minimum_per_day(), "Minimum charge") == (
        "What the lines for energy come to, after credit, is raised to at least $0.53 for each day of the bill. Credit that this "
        "leaves without use is kept for the next bill.")


def test_the_rule_for_what_is_sent_out_is_told_with_its_reset():
    assert row(FLAT | {"reset_month": "April", "leftover_price_per_kwh": 0.035}, "Sent out").endswith(
        "The bank is emptied at the end of April, at $0.035 a kWh.")
    assert row(FLAT | {"export": "net billing", "export_price_per_kwh": 0.05}, "Sent out") == (
        "Net billing: sun is set against use in the same hour; each kWh beyond that is sent out and earns $0.05 a kWh. This credit pays "
        "the lines for energy and no other. What is left over is carried on from bill to bill.")


def test_hours_with_the_same_prices_share_a_row_of_the_table():
    table = tariff_words(Tariff.model_validate(SELL_ALL), "USD").hour_prices
    assert [each.hours for each in table] == ["0 to 15", "15 to 20", "20 to 24"]
    assert [each.prices[0] for each in table] == ["0.04", "0.06", "0.05"] and table[1].prices[6] == "0.11"


def test_prices_carry_the_currency_and_every_decimal():
    assert "SEK 0.04755" in words(FLAT | {"price_per_kwh": 0.04755}, "SEK")
    assert exact(-0.03, "USD") == "−$0.03" and exact(12, "EUR") == "€12.00" and exact(0.00001, "USD") == "$0.00001"


def test_a_tariffs_day_and_source_are_told():
    assert tariff_words(Tariff.model_validate(TIME_OF_USE), "USD").source == "Prices from an invented sheet, read on 1 October 2026."
    assert not re.search("[a-z]-[a-z]+_", words(TIME_OF_USE))
