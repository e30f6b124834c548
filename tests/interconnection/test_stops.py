"""A stop and wires that do not pass: neither may be read as "nothing has to change"."""

import pytest

from reportgen.interconnection.connect import connect
from reportgen.interconnection.result import CANNOT_SAY, DOES_NOT_FIT, FITS
from reportgen.interconnection.wording_plain import in_plain_words
from tests.interconnection.houses import panel_house
from tests.interconnection.ways_houses import plain
from tests.interconnection.wired_houses import wired

GENERATOR = {"name": "generator inlet", "kind": "generator", "breaker_a": 30, "interlocked": True}
BATTERY = {"name": "battery", "kind": "battery", "breaker_a": 20, "output_a": 16.0}
THIN = {"size": "10", "metal": "copper", "insulation_c": 90, "terminals_c": 75, "hottest_air_c": 30, "current_carrying": 3, "length_ft": 40}


def way(connection, key):
    return next(way for way in connection.ways if way.key == key)


@pytest.mark.parametrize("source, inverter_a, what", [(GENERATOR, 32.0, "the generator"), (BATTERY, 16.0, "the battery")])
def test_a_generator_or_a_battery_is_the_first_word_and_its_way_keeps_its_sum(source, inverter_a, what):
    connection = connect(panel_house(200, 200, inverter_a, sources=[source]))
    assert connection.sentence.startswith(f"Stop first: {what}") and in_plain_words(connection).startswith("Stop first")
    as_is = way(connection, "rule_120")
    assert connection.verdict == as_is.verdict == FITS and as_is.conditions[0] == connection.stop
    assert not as_is.changes_nothing and as_is.price is None and f"necessary first for {what}" in as_is.change
    assert connection.chosen.key == "rule_120" and connection.chosen.change == as_is.change and connection.chosen.price is None
    assert not any(way.changes_nothing for way in connection.ways)
    assert "nothing there has to change" not in in_plain_words(connection)


def test_a_connection_ahead_of_the_main_breaker_goes_round_a_generator():
    supply = way(connect(panel_house(200, 200, 32.0, sources=[GENERATOR])), "supply_side")
    assert "necessary first" not in supply.change and supply.conditions[0].startswith("Stop first")


def test_a_price_never_covers_what_the_stop_may_bring():
    priced = [{"way": "breaker on the busbar", "low": 150, "high": 250}]
    connection = connect(panel_house(200, 200, 32.0, sources=[GENERATOR], prices=priced))
    assert connection.chosen.price.low == 150 and "no price covers that" in connection.chosen.change


@pytest.mark.parametrize("sight, who", [("scorching", "by an electrician"), ("worn service drop", "by the utility"),
                                        ("fuse box", "by an electrician")])
def test_what_is_seen_and_stops_everything_stops_every_way(sight, who):
    connection = connect(panel_house(200, 200, 24.0, seen=[sight]))
    assert connection.stop.startswith(f"Stop first: the {sight} must be looked at {who}")
    assert not any(way.changes_nothing for way in connection.ways)


def test_without_a_stop_nothing_of_this_is_said():
    connection = connect(panel_house(200, 200, 32.0, seen=["aluminum branch wiring"]))
    assert connection.stop == "" and way(connection, "rule_120").changes_nothing


def test_wires_that_are_named_and_do_not_pass_turn_the_verdict():
    """240.4(D)(7): 10 AWG copper at most on 30 A; 30 / 1.25 = 24 A, 5.76 kW at 240 V. 8 AWG: 50 A at 75 °C for 40 A."""
    connection = connect(wired(THIN, inverter_a=32))
    said = plain(connection.sentence)
    assert connection.verdict == DOES_NOT_FIT and way(connection, "rule_120").verdict == FITS
    assert "8 AWG copper passes" in said and "30 A breaker with at most 24 A (5.76 kW)" in said
    assert connection.chosen.change == connection.other_wires == "8 AWG copper for the wires from the inverter"
    assert not connection.chosen.changes_nothing and connection.chosen.price is None


def test_thicker_wires_pass_and_say_nothing():
    connection = connect(wired({**THIN, "size": "8"}, inverter_a=32))
    assert connection.verdict == FITS and connection.other_wires == ""


def test_what_cannot_be_said_never_reads_as_free():
    connection = connect(panel_house(200, 200, 48.0))
    unlisted = way(connection, "all_breakers")
    assert unlisted.verdict == CANNOT_SAY and not unlisted.changes_nothing and unlisted.change == "not known yet"
    assert unlisted.price is None and unlisted.margin is None
