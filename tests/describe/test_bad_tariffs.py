"""Slips that people make when they copy a tariff's sheet: one sentence each, at its line in the tariff's own file.

`test_tariff.py` goes through what the full form forbids, key by key; these are whole files with one thing wrong.
"""

from pathlib import Path

import pytest

from .conftest import GOOD

HOUSE = GOOD.partition("tariff:")[0] + "tariff: plan\n"
TARIFFS = Path(__file__).resolve().parents[2] / "sites" / "alder-lane" / "tariffs"
EVENING, DEMAND = ((TARIFFS / f"fork-river-{name}.yaml").read_text(encoding="utf-8") for name in ("evening", "demand"))

# (file, what stands there, what is written instead, the words of the sentence)
SLIPS = {
    "a window too long": (EVENING, '["23-6"]', '["20-6"]', 'the windows "evening" and "night" both hold on weekdays in summer 20-21'),
    "the weekend left out": (EVENING, "{name: day} ", "{name: day, days: weekdays} ", "no window holds on weekends in summer 6-23"),
    "minutes": (EVENING, '["17-21"]', '["17:30-21"]', "found '17:30-21'; whole hours on the clock of 24 hours"),
    "an hour 25": (EVENING, '["17-21"]', '["17-25"]', "found '17-25'; whole hours on the clock of 24 hours"),
    "hours without brackets": (EVENING, '["17-21"]', '"17-21"', "a list, each entry starting with"),
    "a week left out": (EVENING, "begins: October 1", "begins: October 8", "no season holds on October 1 to October 7"),
    "a month misspelt": (EVENING, "begins: June 1", "begins: Jnue 1", "found 'Jnue 1'; the month and the day"),
    "30 February": (EVENING, "ends: May 31", "ends: February 30", "February has the days 1 to 28 here"),
    "a price for no window": (EVENING, "{window: day, price_per_kwh: 0.158}", "{window: daytime, price_per_kwh: 0.158}",
                              'there is no window "daytime"; the windows are evening, night, day'),
    "a holiday misspelt": (EVENING, "Memorial Day", "Memory Day", "near it are Memorial Day"),
    "a country in words": (EVENING, 'country: "US"', "country: America", "found 'America'; a code of two capital letters"),
    "the trade's word for a rule": (EVENING, "rule: net billing", "rule: net metering", "one of one-to-one, net billing, buy-all sell-all"),
    "month 13": (EVENING, "reset_month: April", "reset_month: 13", "found 13; one of January"),
    "a month cut short": (EVENING, "reset_month: April", "reset_month: Apr", "the nearest is April"),
    "a sign of money": (EVENING, "price_per_kwh: 0.0125", "price_per_kwh: $0.0125", "found '$0.0125'; a number (money per kWh)"),
    "a decimal comma": (EVENING, "price_per_kwh: 0.0125", "price_per_kwh: 0,0125", "write a decimal point, 0.0125"),
    "a decimal comma and three figures": (EVENING, "price_per_kwh: 0.0125", "price_per_kwh: 0,125", "write a decimal point, 0.125"),
    "a key misspelt": (EVENING, "credit_pays", "credits_pay", "the nearest is credit_pays"),
    "a tab": (EVENING, "  netting: hour", "\tnetting: hour", "found a tab; indent with spaces"),
    "no such day": (EVENING, "read_on: 2026-11-02", "read_on: 2026-02-30", "there is no such day in the calendar"),
    "a charge below nothing": (EVENING, "price: 19.50", "price: -19.50", "found -19.5; a number (money) from 0"),
    "a tax on no line": (DEMAND, "[Energy, Peak demand]", "[Energy, Peak]",
                         "which is no line above it; the lines are Grid access, Energy, Peak demand, Minimum bill"),
    "demand without a price": (DEMAND, "      - {season: winter, price_per_kw: 8.40}\n", "", 'has no price for "winter"'),
    "demand without hours": (DEMAND, ', hours: ["15-19"]', "", "the key hours is missing"),
    "demand in no season": (DEMAND, "seasons: [summer], days", "seasons: [sumer], days", 'there is no season "sumer"'),
    "read on the 31st": (DEMAND, "read_day: 12", "read_day: 31", "found 31; a whole number from 1 to 28"),
    "a word of its own": (DEMAND, "covers: everything", "covers: all", "found 'all'; one of energy, everything"),
    "blocks out of order": (DEMAND, "{season: summer, price_per_kwh: 0.094}",
                            ("{season: summer, blocks: [{up_to_kwh: 900, price_per_kwh: 0.09}, {up_to_kwh: 400, price_per_kwh: 0.1}, "
                             "{price_per_kwh: 0.11}]}"), "a block up to 400 kWh comes after one up to 900"),
}


@pytest.mark.parametrize("slip", SLIPS)
def test_a_slip_is_one_sentence_in_the_tariffs_own_file(batch, slip):
    text, right, wrong, words = SLIPS[slip]
    assert text.count(right) == 1
    batch.write("tariffs/plan.yaml", text.replace(right, wrong))
    (said,) = batch.texts(HOUSE)
    assert said.startswith("tariffs/plan.yaml:")
    assert words in said


def test_the_line_is_that_of_the_slip(batch):
    batch.write("tariffs/plan.yaml", EVENING.replace("price_per_kwh: 0.334", "price_per_kwh: 33.4"))
    (said,) = batch.texts(HOUSE)
    line = next(i for i, line in enumerate(EVENING.splitlines(), start=1) if "name: Energy" in line)
    assert said.startswith(f"tariffs/plan.yaml:{line}:")
    assert 'the line "Energy" has a kWh at 33.4; prices are in dollars' in said


@pytest.mark.parametrize(("text", "words"), [
    ("", "the file is empty"), ("- a\n- b\n", "found a list of 2 entries"), (EVENING + "price_per_kwh: 0.2\n", "belongs to the short form")])
def test_a_file_that_is_no_tariff(batch, text, words):
    batch.write("tariffs/plan.yaml", text)
    (said,) = batch.texts(HOUSE)
    assert said.startswith("tariffs/plan.yaml:") and words in said


def test_no_such_file(batch):
    assert batch.texts(HOUSE) == ["elm.yaml:9:1: tariff: found 'plan'; there is no tariffs/plan.yaml in the batch"]
