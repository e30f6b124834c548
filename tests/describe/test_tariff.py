"""The full form of a tariff: what it says, and one clear sentence for each thing that is wrong with it."""

import copy
import json
from datetime import date

import pytest
import yaml
from hypothesis import given, settings
from hypothesis import strategies as st

from reportgen.describe import tariff_days as days
from reportgen.describe.tariff import Tariff
from reportgen.describe.tariff_rules import (
    energy_blocks,
    in_full,
    largest_energy_price,
    rule_on,
)
from tests.bills.tariffs import PUBLISHED, seymour

from .conftest import GOOD

HOUSE = GOOD.partition("tariff:")[0]
FULL = """\
name: Evening peak
read_day: 12
seasons:
  - {name: summer, begins: June 1, ends: September 30}
  - {name: winter, begins: October 1, ends: May 31}
holidays: {country: US, names: [Independence Day, Labor Day]}
windows:
  - {name: on-peak, days: weekdays, hours: ["16-21"]}
  - {name: off-peak}
fixed:
  - {name: Customer charge, price: 12}
energy:
  - name: Supply
    prices:
      - {season: summer, window: on-peak, price_per_kwh: 0.31}
      - {season: winter, window: on-peak, price_per_kwh: 0.24}
      - {window: off-peak, blocks: [{up_to_kwh: 400, price_per_kwh: 0.11}, {price_per_kwh: 0.14}]}
  - {name: Wires, counts: delivered, price_per_kwh: 0.03}
demand:
  - {name: Demand, price_per_kw: 2, windows: [{days: weekdays, hours: ["16-21"]}]}
taxes:
  - {name: City tax, percent: 3, lines: [Supply, Wires]}
export_rule:
  rule: net billing
  prices:
    - {window: on-peak, price_per_kwh: 0.09}
    - {window: off-peak, price_per_kwh: 0.04}
"""


def _changed(**changes):
    """FULL as data, with values put at dotted paths; None takes a key away."""
    data = yaml.safe_load(FULL)
    for path, value in changes.items():
        *above, last = (int(k) if k.isdigit() else k for k in path.split("__"))
        at = data
        for key in above:
            at = at[key]
        if value is None:
            at.pop(last)
        else:
            at[last] = value
    return data


def _problem(batch, data) -> str:
    texts = batch.texts(HOUSE + "tariff: plan\n" + _plan(batch, data))
    assert len(texts) == 1, texts
    (text,) = texts
    return text.removeprefix("tariffs/plan.yaml:").partition(": ")[2]


def _plan(batch, data) -> str:
    batch.write("tariffs/plan.yaml", data if isinstance(data, str) else json.dumps(data))
    return ""


def test_a_full_tariff_is_read_from_its_file(batch):
    tariff = batch.load(HOUSE + "tariff: plan\n" + _plan(batch, FULL)).needed().tariff
    assert (tariff.price_per_kwh, tariff.export, tariff.read_day) == (None, None, 12)
    assert days.pairs(tariff) == (("summer", "on-peak"), ("summer", "off-peak"), ("winter", "on-peak"), ("winter", "off-peak"))
    assert [b.price_per_kwh for b in energy_blocks(tariff, tariff.energy[0])["winter", "off-peak"]] == [0.11, 0.14]
    assert energy_blocks(tariff, tariff.energy[1])["summer", "on-peak"][0].price_per_kwh == 0.03
    assert largest_energy_price(tariff)[0] == 0.31


# change at a path of FULL -> place and words of the one problem
WRONG = {
    "both forms": ({"price_per_kwh": 0.1}, "tariff: price_per_kwh belongs to the short form of a tariff and energy to the full one"),
    "window twice": ({"windows__1": {"name": "off-peak", "hours": ["0-24"]}},
                     ('tariff.windows.1: the windows "on-peak" and "off-peak" both hold on weekdays in summer 16-21; weekdays in winter '
                     "16-21; each hour belongs to one")),
    "hours bare": ({"windows__1": {"name": "off-peak", "hours": ["21-16"], "days": "weekdays"}},
                   ("tariff.windows: no window holds on weekends in summer 0-24; holidays in summer 0-24; weekends in winter 0-24; "
                   "holidays in winter 0-24; every hour needs one")),
    "one hour bare": ({"windows__1": {"name": "off-peak", "hours": ["22-16"]}, "windows__0__days": "every day"},
                      "tariff.windows: no window holds on weekdays in summer 21-22; weekends in summer 21-22"),
    "window of no season": ({"windows__0__seasons": ["sumer"]},
                            'tariff.windows.0.seasons: the window "on-peak": there is no season "sumer"; the seasons are summer, winter'),
    "holidays nowhere": ({"holidays": None, "windows__0__days": "weekdays and holidays"},
                         "tariff.windows.0.days: weekdays and holidays counts holidays, but the tariff names none"),
    "seasons twice": ({"seasons__1__begins": "September 29"},
                      'tariff.seasons.1: the seasons "summer" and "winter" both hold on September 29 to September 30'),
    "days bare": ({"seasons__0__begins": "June 3"}, "tariff.seasons: no season holds on June 1 to June 2; seasons must fill the year"),
    "no such day": ({"seasons__0__begins": "June 31"}, "tariff.seasons.0.begins: found 'June 31'; June has the days 1 to 30 here"),
    "a day misspelt": ({"seasons__0__begins": "Jun 1"},
                       "tariff.seasons.0.begins: found 'Jun 1'; the month and the day, such as \"June 1\", is expected"),
    "hours misspelt": ({"windows__0__hours": ["4pm-9pm"]},
                       "tariff.windows.0.hours.0: found '4pm-9pm'; whole hours on the clock of 24 hours"),
    "no hours": ({"windows__0__hours": ["5-5"]}, "tariff.windows.0.hours.0: found '5-5'; the first hour and the hour at which it ends"),
    "price missing": ({"energy__0__prices__1": {"season": "summer", "window": "off-peak", "price_per_kwh": 1.0},
                       "energy__0__prices__2": {"season": "winter", "window": "off-peak", "price_per_kwh": 1.0}},
                      'tariff.energy.0.prices: the charge "Supply" has no price for "on-peak" in "winter"'),
    "price twice": ({"energy__0__prices__1": {"window": "on-peak", "price_per_kwh": 0.2}},
                    'tariff.energy.0.prices: the charge "Supply" has more than one price for "on-peak" in "summer"'),
    "price of no window": ({"energy__0__prices__0__window": "peak"},
                           ('tariff.energy.0.prices.0.window: the charge "Supply": there is no window "peak"; the windows are on-peak, '
                           "off-peak")),
    "price of no season": ({"energy__0__prices__0__season": "spring"}, 'there is no season "spring"; the seasons are summer, winter'),
    "no price": ({"energy__1": {"name": "Wires"}}, 'tariff.energy.1: the charge "Wires" needs one of price_per_kwh and prices'),
    "two prices": ({"energy__0__prices__2__price_per_kwh": 0.1},
                   'tariff.energy.0.prices.2: the charge "Supply" needs one of price_per_kwh and blocks here'),
    "blocks fall": ({"energy__0__prices__2__blocks": [{"up_to_kwh": 700, "price_per_kwh": 0.1}, {"up_to_kwh": 450, "price_per_kwh": 0.2},
                                                      {"price_per_kwh": 0.3}]},
                    'tariff.energy.0.prices.2.blocks.1: the charge "Supply": a block up to 450 kWh comes after one up to 700'),
    "blocks end": ({"energy__0__prices__2__blocks": [{"up_to_kwh": 700, "price_per_kwh": 0.1}]},
                   'the charge "Supply": the last block ends at 700 kWh; write one more without up_to_kwh'),
    "blocks open": ({"energy__0__prices__2__blocks": [{"price_per_kwh": 0.1}, {"price_per_kwh": 0.2}]},
                    'the charge "Supply": only the last block may have no end'),
    "blocks per day without blocks": ({"energy__1__blocks_per": "day"}, 'the charge "Wires" has no blocks; leave blocks_per out'),
    "tax on nothing": ({"taxes__0__lines": ["Suply"]},
                       ('tariff.taxes.0.lines: the tax "City tax" stands on "Suply", which is no line above it; the lines are Customer '
                       "charge, Supply, Wires, Demand")),
    "tax of nothing": ({"taxes__0": {"name": "City tax"}}, 'the tax "City tax" needs one of percent and per_kwh'),
    "tax per kWh on lines": ({"taxes__0": {"per_kwh": 0.001, "lines": ["Supply"]}}, "lines and before_credits belong to a tax in percent"),
    "one name": ({"energy__1__name": "Supply", "taxes__0__lines": ["Supply"]},
                 'tariff.energy.1: two lines are called "Supply"; give each a name of its own'),
    "demand of no season": ({"demand__0__windows__0__seasons": ["spring"]}, 'the charge "Demand": there is no season "spring"'),
    "demand price missing": ({"demand__0": {"prices": [{"season": "summer", "price_per_kw": 8.16}]}},
                             'tariff.demand.0.prices: the charge "Demand" has no price for "winter"'),
    "month without reset": ({"export_rule__reset_month": "March"},
                            "tariff.export_rule.reset_month: export_rule: reset_month needs resets: yearly; found never"),
    "reset without month": ({"export_rule__resets": "yearly"}, "tariff.export_rule: export_rule: resets: yearly needs reset_month"),
    "month 13": ({"export_rule__reset_month": 13}, "tariff.export_rule.reset_month: found 13; one of January, February"),
    "key of another rule": ({"export_rule__buckets": "by window"},
                            "export_rule: buckets has no meaning under net billing; it belongs to one-to-one"),
    "net billing without price": ({"export_rule__prices": None}, "export_rule: net billing needs a price"),
    "net billing, two prices": ({"export_rule__price_per_kwh": 0.04}, "export_rule: give only one of price_per_kwh, prices"),
    "export price missing": ({"export_rule__prices": [{"window": "on-peak", "price_per_kwh": 0.09}]},
                             'tariff.export_rule.prices: export_rule has no price for "off-peak" in "summer"; "off-peak" in "winter"'),
    "eleven months": ({"export_rule": {"rule": "net billing", "prices_by_month_and_hour": [[0.1] * 24] * 11}},
                      "tariff.export_rule.prices_by_month_and_hour: found 11 months; twelve are expected"),
    "23 hours": ({"export_rule": {"rule": "net billing", "prices_by_month_and_hour": [[0.1] * 24] * 2 + [[0.1] * 23] + [[0.1] * 24] * 9}},
                 "tariff.export_rule.prices_by_month_and_hour.2 (March): found 23 hours; twenty-four are expected"),
    "no table": ({"export_rule": {"rule": "net billing", "prices_by_month_and_hour": 0.1}},
                 "found 0.1; twelve rows of 24 numbers, January first, is expected"),
    "paid with what": ({"export_rule": {"rule": "one-to-one", "resets": "yearly", "reset_month": "March", "leftover": "paid"}},
                       "leftover: paid needs leftover_price_per_kwh"),
    "paid when": ({"export_rule": {"rule": "one-to-one", "leftover": "paid", "leftover_price_per_kwh": 0.03}},
                  "nothing is left over where the bank is never emptied"),
    "ends without then": ({"export_rule__ends": "2030-12-31"}, "tariff.export_rule: ends and then belong together"),
    "the rule that follows": ({"export_rule__ends": "2030-12-31", "export_rule__then": {"rule": "net billing"}},
                              "tariff.export_rule.then: export_rule.then: net billing needs a price"),
    "a holiday misspelt": ({"holidays__names": ["Labour Day", "Independence Day"]},
                           'tariff.holidays: the calendar of US knows no holiday "Labour Day"; near it are Labor Day'),
    "a country without calendar": ({"holidays__country": "XX"}, 'tariff.holidays: no calendar of holidays is known for "XX"'),
    "no such state": ({"holidays__state": "QQ"}, 'tariff.holidays: the holidays of US know no state "QQ"'),
    "no rule": ({"export_rule": None}, "tariff.export_rule: the key export_rule is missing; write export_rule: with rule: one-to-one"),
    "no energy": ({"energy": None}, "tariff.energy: the key energy is missing; write energy:"),
    "no season name": ({"seasons__0": {"begins": "June 1", "ends": "September 30"}},
                       "tariff.seasons.0.name: the key name is missing; write name: summer"),
    "ratchet": ({"demand__0__ratchet_periods": 6}, "ratchet_periods needs ratchet_percent"),
}


@pytest.mark.parametrize("name", WRONG)
def test_each_thing_that_is_wrong_is_one_sentence_that_names_it(batch, name):
    changes, words = WRONG[name]
    assert words in _problem(batch, _changed(**copy.deepcopy(changes)))


def test_the_problem_is_told_at_its_line(batch):
    (text,) = batch.texts(HOUSE + "tariff: plan\n" + _plan(batch, FULL.replace("lines: [Supply, Wires]", "lines: [Suply]")))
    line = next(i for i, line in enumerate(FULL.splitlines(), start=1) if "City tax" in line)
    assert text.startswith(f"tariffs/plan.yaml:{line}:")


def test_several_wrong_things_are_told_at_once(batch):
    wrong = FULL.replace("begins: June 1,", "begins: June 3,").replace("percent: 3,", "").replace("price: 12", "price: much")
    assert len(batch.texts(HOUSE + "tariff: plan\n" + _plan(batch, wrong))) == 1          # a number that can't be read comes first
    wrong = wrong.replace("price: much", "price: 12")
    assert len(batch.texts(HOUSE + "tariff: plan\n" + _plan(batch, wrong))) == 2


def test_a_tariff_that_says_no_price_is_told_both_forms(batch):
    (text,) = batch.texts(HOUSE + "tariff: {name: Residential}\n")
    assert "write price_per_kwh, fixed_per_month and export, or the charges of the sheet under fixed and energy" in text


@pytest.mark.parametrize(("said", "words"), [
    ("export: net billing", "net billing needs export_price_per_kwh"),
    ("export: net billing, export_price_per_kwh: 0.1, reset_month: March", "net billing keeps no bank of kWh"),
    ("export: one-to-one, export_price_per_kwh: 0.1", "export_price_per_kwh belongs to net billing"),
    ("export: one-to-one, leftover_price_per_kwh: 0.1", "leftover_price_per_kwh needs the reset_month"),
    ("reset_month: March", "the key export is missing; write export: one-to-one"),
])
def test_the_short_form_says_what_it_always_said(batch, said, words):
    (text,) = batch.texts(HOUSE + f"tariff: {{price_per_kwh: 0.15, fixed_per_month: 12, {said}}}\n")
    assert words in text


def test_cents_for_dollars_are_seen_in_the_full_form_too(batch):
    (text,) = batch.texts(HOUSE + "tariff: plan\n" + _plan(batch, FULL.replace("0.31", "31")))
    line = next(i for i, line in enumerate(FULL.splitlines(), start=1) if "name: Supply" in line)
    assert text.startswith(f"tariffs/plan.yaml:{line}:")
    assert 'tariff.energy.0: the line "Supply" has a kWh at 31; prices are in dollars' in text
    assert "looks like cents" in text


# --- the full form of a short tariff -------------------------------------------------------------------------------

PRICE = st.integers(0, 90).map(lambda cents: cents / 100)
SHORT = st.one_of(
    st.builds(lambda p, f: {"price_per_kwh": p, "fixed_per_month": f, "export": "one-to-one"}, PRICE, PRICE),
    st.builds(lambda p, m, left: {"price_per_kwh": p, "fixed_per_month": 9.0, "export": "one-to-one", "reset_month": m,
                                  "leftover_price_per_kwh": left}, PRICE, st.sampled_from(["March", "December"]), PRICE),
    st.builds(lambda p, e: {"price_per_kwh": p, "fixed_per_month": 9.0, "export": "net billing", "export_price_per_kwh": e}, PRICE, PRICE))


def _written_again(tariff: Tariff) -> Tariff:
    return Tariff.model_validate(tariff.model_dump(exclude_none=True))


@settings(max_examples=40, deadline=None)
@given(SHORT)
def test_the_full_form_of_a_short_tariff_says_the_same_and_may_itself_be_written(said):
    full = in_full(Tariff.model_validate(said))
    assert full == _written_again(full) == in_full(full)
    (block,) = energy_blocks(full, full.energy[0])[days.ALL_YEAR, days.ALL_HOURS]
    assert (block.up_to_kwh, block.price_per_kwh, full.fixed[0].price) == (None, said["price_per_kwh"], said["fixed_per_month"])
    assert (full.export_rule.rule, full.export_rule.reset_month) == (said["export"], said.get("reset_month"))
    assert full.export_rule.price_per_kwh == said.get("export_price_per_kwh")
    paid = said.get("leftover_price_per_kwh")
    assert (full.export_rule.leftover, full.export_rule.leftover_price_per_kwh) == (("paid", paid) if paid else ("lost", None))


@pytest.mark.parametrize("published", PUBLISHED, ids=lambda tariff: tariff.__name__)
def test_a_full_tariff_keeps_what_it_says(published):
    tariff = published()
    full = in_full(tariff)
    assert full == _written_again(full) == in_full(full)
    assert (full.energy, full.export_rule, full.minimum) == (tariff.energy, tariff.export_rule, tariff.minimum)
    assert all(isinstance(getattr(full, key), list) for key in ("seasons", "windows", "fixed", "demand", "array", "taxes"))


def test_blocks_are_looked_up_by_season():
    ends = [block.up_to_kwh for block in energy_blocks(in_full(seymour()), seymour().energy[0])["summer", days.ALL_HOURS]]
    assert ends == [250, 700, 1250, None]


def test_after_its_last_day_a_rule_gives_way_to_the_next():
    tariff = Tariff.model_validate(_changed(export_rule={
        "rule": "one-to-one", "ends": "2032-06-30", "then": {"rule": "net billing", "price_per_kwh": 0.05}}))
    assert rule_on(tariff, date(2032, 6, 30)).rule == "one-to-one"
    assert rule_on(tariff, date(2032, 7, 1)).rule == "net billing"
    past = Tariff.model_validate(_changed(export_rule={"rule": "one-to-one", "ends": "2020-01-01", "then": {"rule": "none"}}))
    assert rule_on(past, date(2026, 11, 20)).rule == "none"


@settings(max_examples=60, deadline=None)
@given(st.integers(0, 23), st.integers(1, 24))
def test_hours_run_over_midnight(first, last):
    if first == last % 24:
        return
    hours = days.hours_of(f"{first}-{last}")
    assert len(hours) == (last - first) % 24
    assert first in hours
    assert last % 24 not in hours
    assert days.hours_of(days.hours_text(hours)) == hours


def test_days_and_their_names_are_two_sides_of_one_thing():
    assert [days.day_of_year(days.day_name(day)) for day in range(365)] == list(range(365))
    assert days.days_text([364, 0, 1, 40]) == "February 10, December 31 to January 2"


# --- plans an array may be billed under ------------------------------------------------------------------------------

SHORT_PLAN = "name: Standard\nprice_per_kwh: 0.2\nfixed_per_month: 8\nexport: one-to-one\n"


def test_plans_with_solar_are_named_or_written(batch):
    batch.write("tariffs/standard.yaml", SHORT_PLAN + "open_to_solar: false\n")
    batch.write("tariffs/plan.yaml", FULL)
    described = batch.load(HOUSE + "tariff: standard\nplans_with_solar:\n  - plan\n  - {name: Flat solar, price_per_kwh: 0.18, "
                                   "fixed_per_month: 15, export: net billing, export_price_per_kwh: 0.05}\n")
    house = described.needed()
    assert [plan.name for plan in house.plans_with_solar] == ["Evening peak", "Flat solar"]
    assert not house.tariff.open_to_solar
    assert described.where["plans_with_solar.0.read_day"].file == "tariffs/plan.yaml"
    assert {path.name for path in described.inputs} == {"elm.yaml", "standard.yaml", "plan.yaml"}


def test_plans_may_stand_in_the_batch_and_go_where_the_house_has_a_tariff_of_its_own(batch):
    batch.write("tariffs/standard.yaml", SHORT_PLAN)
    batch.write("tariffs/plan.yaml", FULL)
    shared = "defaults:\n  tariff: standard\n  plans_with_solar: [plan]\n"
    assert batch.load(HOUSE, batch=shared).needed().plans_with_solar[0].name == "Evening peak"
    assert batch.load(GOOD, batch=shared).needed().plans_with_solar is None
    assert batch.load(HOUSE + "tariff: plan\n", batch=shared).needed().plans_with_solar is None


@pytest.mark.parametrize(("said", "words"), [
    ("tariff: standard\nplans_with_solar: [plam]\n", ("plans_with_solar.0: found 'plam'; there is no tariffs/plam.yaml in the batch; the "
                                                     "nearest is plan")),
    ("tariff: standard\nplans_with_solar: [plan, plan]\n", "need a name each, all different; found Standard, Evening peak, Evening peak"),
    ("tariff: closed\n", "tariff.open_to_solar: open_to_solar is false, so an array needs another plan; name it under plans_with_solar"),
    ("tariff: standard\nplans_with_solar: [closed]\n", "plans_with_solar.0: open_to_solar is false here"),
    ("tariff: standard\nplans_with_solar: plan\n", "plans_with_solar: found 'plan'; a list"),
    ("tariff: standard\nplans_with_solar: [plan, plan, plan, plan, plan]\n", "found 5 entries; at most 4 are expected"),
])
def test_a_wrong_plan_is_one_sentence(batch, said, words):
    batch.write("tariffs/standard.yaml", SHORT_PLAN)
    batch.write("tariffs/closed.yaml", SHORT_PLAN.replace("Standard", "Closed") + "open_to_solar: false\n")
    batch.write("tariffs/plan.yaml", FULL)
    (text,) = batch.texts(HOUSE + said)
    assert words in text


def test_prices_may_grow_apart(batch):
    money = batch.load(GOOD + "money: {price_growth_percent: 2, fixed_growth_percent: 4, export_growth_percent: -1}\n").needed().money
    assert (money.fixed_growth_percent, money.export_growth_percent) == (4, -1)
    assert batch.load(GOOD).needed().money.fixed_growth_percent is None
