"""Ways to connect in words that an electrician reads once: mains, split panels, the roof, loads that come later."""

from pathlib import Path

import pytest

from reportgen.describe.assumptions import complete
from reportgen.describe.load import load_house
from reportgen.interconnection.connect import connect
from reportgen.interconnection.result import CANNOT_SAY, DOES_NOT_FIT, FITS
from reportgen.interconnection.seen import seen_by_eye
from reportgen.sizing import most_modules, size
from tests.interconnection.houses import panel_house
from tests.interconnection.ways_houses import EXAM_DEMAND, PRICES, plain, ways_house, ways_of

FULL_PANEL = Path(__file__).resolve().parents[2] / "sites" / "alder-lane" / "full-panel.yaml"
CAR = {"name": "car charger", "kind": "car charger", "rating_va": 7680}
SPLIT = {"main": "split bus", "lower_busbar_a": 100, "lower_breaker_a": 60}


def test_a_new_panel_names_its_main_breaker_by_its_own_number():
    change = plain(ways_of(ways_house(200, 200, 48.0))["larger_panel"].change)
    assert change == "a panel with a 225 A busbar behind a 200 A main breaker in place of the main panel"


def test_a_new_panel_says_so_where_its_breaker_sits_elsewhere_than_planned():
    """200 A + 1.25 × 32 A = 240 A: above 225 A, at most 1.2 × 225 A. 100 A + 40 A = 140 A stays below 150 A wherever it sits."""
    change = ways_of(ways_house(200, 200, 32.0, position="beside the main"))["larger_panel"].change
    assert "225 A" in change and change.endswith("with the solar breaker at its far end")
    assert "far end" not in ways_of(ways_house(125, 100, 32.0, position="beside the main"))["larger_panel"].change


def test_what_a_smaller_main_leaves_is_said_wherever_it_is_counted_on():
    connection = connect(ways_house(200, 200, 48.0, demand={**EXAM_DEMAND, "planned": [CAR]}, prices=PRICES))
    load, chosen = connection.load, connection.chosen
    assert chosen.key == "smaller_main" and chosen.new_main_a == 175
    assert load.room_after_a.value == pytest.approx(175 - load.load_a.value)
    assert any("car charger or a heat pump later: behind a 175 A main" in plain(text) for text in chosen.conditions)
    behind = next(check for check in load.planned if check.key == "planned_behind_main_1")
    today = next(check for check in load.planned if check.key == "planned_1")
    assert today.margin_a.value - behind.margin_a.value == pytest.approx(25) and "175 A" in plain(behind.name)
    assert len({figure.key for figure in connection.figures}) == len(connection.figures)


def test_a_load_that_is_added_never_lowers_the_load():
    connection = connect(ways_house(200, 200, 48.0, demand={**EXAM_DEMAND, "planned": [CAR]}))
    assert connection.load.planned[0].margin_a.value < connection.load.room_a.value


def test_the_modules_of_a_way_are_no_more_than_the_roof_holds():
    """The invented house with the full panel: its faces as drawn hold 33 modules, 180 A ahead of the main would take 120."""
    alone = ways_of(ways_house(200, 200, 48.0, demand=EXAM_DEMAND))["smaller_main"].largest_modules
    assert "the roof's room is another matter" in alone.formula
    described = load_house(FULL_PANEL, FULL_PANEL.parent).house
    house = size(complete(described)[0], lambda _house, _face: 500.0).house
    supply = next(way for way in connect(house).ways if way.key == "supply_side")
    assert supply.largest_modules.value == most_modules(house) == 33
    assert plain(supply.largest_modules.formula).endswith("= 120; the roof holds 33, so no more are shown")


def test_a_split_busbar_gives_its_reason_once_and_offers_no_smaller_main():
    connection = connect(panel_house(None, None, 32.0, **SPLIT))
    assert {way.key for way in connection.ways} == {"split_bus", "power_control", "supply_side", "larger_panel"}
    everything = [connection.sentence, *(way.reason for way in connection.ways), *(check.sentence for check in connection.checks)]
    assert sum("up to six mains" in text for text in everything) == 1
    assert "engineer" in connection.sentence and len(connection.sentence.split()) < 60
    assert (connection.panels[0].lower_busbar_a, connection.panels[0].lower_breaker_a) == (100, 60)


def test_a_new_panel_for_a_split_one_waits_for_the_service_alone():
    way = ways_of(ways_house(None, None, 32.0, **SPLIT))["larger_panel"]
    assert way.verdict == CANNOT_SAY and "nothing of the old upper busbar is needed" in way.reason
    assert "200 A busbar behind a 200 A main breaker" in plain(way.reason)      # 200 + 40 = 240 A = 1.2 × 200 A
    assert way.photos == (next(photo for photo in way.photos if "rating of the service" in photo),)


@pytest.mark.parametrize("inverter_a, breakers, words", [(200.0, 250, "too much even without any load"),
                                                         (160.0, 200, "holds only where nothing else is on this busbar")])
def test_source_breakers_that_fill_the_busbar_need_no_list_of_loads(inverter_a, breakers, words):
    way = ways_of(ways_house(200, 200, inverter_a))["all_breakers"]
    assert words in way.reason and f"{breakers} A" in plain(way.reason) and way.margin is None
    assert way.verdict == (DOES_NOT_FIT if breakers > 200 else CANNOT_SAY)


def test_the_sentence_is_short_where_the_table_lists_the_ways():
    connection = connect(ways_house(200, 200, 48.0, demand=EXAM_DEMAND, prices=PRICES))
    assert len(connection.sentence.split()) <= 47
    assert "260 A against 240 A (120 % rule, NEC 2020, 705.12(B)(3)(2))" in plain(connection.sentence)


def test_only_what_is_missing_is_asked_of_a_short_circuit_rating():
    house = panel_house(200, 200, 32.0).replaced("electrical.short_circuit_rating_ka", 22)
    seen = next(seen for seen in seen_by_eye(house) if seen.what == "short-circuit rating")
    assert "only with the utility's fault current" in seen.consequence and "22 kA" in plain(seen.consequence)
    assert "its rating and" not in seen.consequence and "series rating" in seen.consequence


@pytest.mark.parametrize("edition", [2020, 2023])
def test_only_the_edition_of_2023_asks_again_where_service_equipment_is_replaced(edition):
    connection = connect(panel_house(200, 200, 32.0, edition=edition))
    text = next(e.text for e in connection.safety if e.name == "Emergency disconnect outdoors")
    assert ("where service equipment is replaced" in text) == (edition == 2023)
    supply = next(way for way in connection.ways if way.key == "supply_side")
    assert any("once service equipment is replaced" in c for c in supply.conditions) == (edition == 2023)


def test_several_inverters_leave_their_own_circuits_unchecked_and_say_so():
    two = connect(panel_house(200, 200, None, inverters=[{"limit_kw": 5, "output_a": 20.8}, {"limit_kw": 3, "output_a": 12.5}]))
    assert any("each single inverter's own circuit" in text for text in two.not_checked)
    one = connect(panel_house(200, 200, 32.0))
    assert not any("each single" in text for text in one.not_checked)
    assert any("110.26(E)" in text for text in one.not_checked) and one.verdict == FITS
