"""The chain from a house and a year of weather to an Assessment."""

import numpy as np
import pytest

from reportgen.chain import assess
from reportgen.climate.read import read_year
from reportgen.describe.assumptions import complete
from tests.houses import house

PANEL = {"edition": 2020, "busbar_a": 200, "main_breaker_a": 200}


@pytest.fixture(scope="module")
def plain():
    described = house(electrical=PANEL)
    return described, read_year(described, None)


@pytest.fixture(scope="module")
def found(plain):
    return assess(*plain)


def test_same_inputs_give_the_same_result_to_the_bit(plain, found):
    again = assess(*plain)
    assert again.figures == found.figures
    assert again.effects == found.effects
    assert np.array_equal(again.production.hours_kwh, found.production.hours_kwh)


def test_every_assumption_with_a_range_has_an_effect(found):
    assert {a.path for a in found.assumptions if a.low is not None} <= {e.key for e in found.effects}


def test_the_size_is_said_first_among_the_assumptions(found):
    assert found.assumptions[0].path == "array.module_count"


def test_effects_are_ordered_by_what_they_do_to_the_answer(found):
    swings = [e.swing for e in found.effects]
    assert swings == sorted(swings, reverse=True) and swings[0] > 0


def test_an_effect_is_what_running_the_chain_with_that_value_gives(plain, found):
    _, year = plain
    dirt = next(e for e in found.effects if e.key == "losses.dirt_percent")
    rerun = assess(found.house.replaced("losses.dirt_percent", [5.0] * 12), year)
    assert dirt.year_kwh[1] == pytest.approx(rerun.production.year.value, rel=1e-12)
    assert dirt.net_present_value[1] == pytest.approx(rerun.payback.net_present_value.value, rel=1e-9)


def test_the_order_of_what_to_find_out_changes_with_the_house(plain, found):
    """A house that knows its price no longer asks for it; shade then stands higher."""
    described, year = plain
    known = described.model_copy(update={"money": described.money.model_copy(update={"installed_price": 20_000.0})})
    before = [e.key for e in found.effects]
    after = [e.key for e in assess(known, year).effects]
    assert "money.price_per_w" in before and "money.price_per_w" not in after
    dear = assess(described.model_copy(update={"tariff": described.tariff.model_copy(update={"price_per_kwh": 0.02})}), year)
    assert [e.key for e in dear.effects] != before


def test_more_of_a_loss_never_helps(found):
    for effect in found.effects:
        if effect.key.startswith("losses."):
            assert effect.year_kwh[0] > effect.year_kwh[1], effect.key
            assert effect.net_present_value[0] > effect.net_present_value[1], effect.key


def test_figures_are_found_by_their_key(found):
    assert all(key == figure.key for key, figure in found.figures.items())
    assert found.production.year.key in found.figures
    assert found.payback.net_present_value.key in found.figures


def test_headline_figures_carry_range_formula_and_source(found):
    for figure in (found.production.year, found.payback.net_present_value, found.bills.saving):
        assert figure.low <= figure.value <= figure.high, figure.key
        assert figure.formula and figure.sources, figure.key


def test_a_house_given_in_full_has_nothing_left_to_assume(found):
    assert complete(found.house)[1] == ()


def test_the_weather_part_of_the_range_is_an_effect_of_its_own(found):
    sun = next(e for e in found.effects if e.key == "weather.sun")
    assert sun.year_kwh[0] < found.production.year.value < sun.year_kwh[1]


def test_what_was_stated_and_may_turn_out_otherwise_is_run_again_too(plain, found):
    keys = {e.key for e in found.effects}
    assert {"use.year_kwh", "tariff.export"} <= keys and "money.installed_price" not in keys
    rule = next(e for e in found.effects if e.key == "tariff.export")
    assert rule.net_present_value[0] < rule.net_present_value[1] == pytest.approx(found.payback.net_present_value.value)
    described, year = plain
    told = assess(described.replaced("money.installed_price", 18_000.0), year)
    price = next(e for e in told.effects if e.key == "money.installed_price")
    assert price.net_present_value[0] > told.payback.net_present_value.value > price.net_present_value[1]


def test_what_moves_the_deposit_alone_says_so(found):
    interest = next(e for e in found.effects if e.key == "money.deposit_percent")
    assert interest.swing == 0 and interest.over_deposit[0] > interest.over_deposit[1]


def test_under_net_billing_the_modelled_hours_are_an_effect(plain):
    described, year = plain
    tariff = described.tariff.model_copy(update={"export": "net billing", "export_price_per_kwh": 0.04})
    hours = next(e for e in assess(described.model_copy(update={"tariff": tariff}), year).effects if e.key == "use.hours")
    assert hours.net_present_value[0] < hours.net_present_value[1]
