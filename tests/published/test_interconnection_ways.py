"""Ways to connect against public examples. Their arithmetic is that of NEC 705.12, 705.11 and 230.79."""

import csv
from pathlib import Path

import pytest

from reportgen.interconnection.code_tables import cite, has_clause
from reportgen.interconnection.result import CANNOT_SAY, DOES_NOT_FIT, FITS
from tests.interconnection.ways_houses import EXAM_DEMAND, SERVICE_WIRE, plain, ways_house, ways_of

FACTS = Path(__file__).resolve().parents[3] / "shared" / "data" / "code" / "section_map_article_705.csv"

# Ratings, and room for the source breaker under the 120 % rule [A]: nine rows printed in a public summary of Article 705
# of the 2025 California Electrical Code; largest output = room / 1.25.
QUICK_TABLE = [(100, 100, 20), (125, 100, 50), (125, 125, 25), (200, 150, 90), (200, 175, 65), (200, 200, 40),
               (225, 175, 95), (225, 200, 70), (225, 225, 45)]


@pytest.mark.parametrize("busbar_a, main_a, room_a", QUICK_TABLE)
def test_the_120_percent_way_allows_what_the_printed_table_allows(busbar_a, main_a, room_a):
    way = ways_of(ways_house(busbar_a, main_a, 10.0, edition=2023))["rule_120"]
    assert way.largest_a.value == pytest.approx(room_a / 1.25)
    assert way.largest_kw.value == pytest.approx(room_a / 1.25 * 0.24)
    assert way.clause == "NEC 2023, 705.12(B)(2)"


def test_a_house_with_a_load_of_126_3_a_may_have_a_150_a_main_and_then_takes_72_a():
    """Load of an exam-training article of 18 July 2016 (30,310 VA, it prints 126 A); the rest is arithmetic on it: next
    standard rating 150 A, room by the 120 % rule from 40 A to 90 A, largest output from 32 A to 72 A."""
    ways = ways_of(ways_house(200, 200, 72.0, demand=EXAM_DEMAND))
    assert ways["rule_120"].verdict == DOES_NOT_FIT and ways["rule_120"].largest_a.value == pytest.approx(32)
    smaller = ways["smaller_main"]
    assert smaller.verdict == FITS
    assert "150 A main breaker" in plain(smaller.change) and "126.3 A" in plain(smaller.reason)
    assert smaller.margin.value == pytest.approx(0, abs=1e-9)
    assert smaller.largest_a.value == pytest.approx(72)
    assert ways_of(ways_house(200, 200, 72.5, demand=EXAM_DEMAND))["smaller_main"].verdict == DOES_NOT_FIT


def test_room_grows_with_the_smaller_main_even_where_the_array_fits_as_it_is():
    way = ways_of(ways_house(200, 200, 32.0, demand=EXAM_DEMAND))["smaller_main"]
    assert way.verdict == FITS and "Not needed" in way.reason and not way.changes_nothing
    assert way.largest_a.value == pytest.approx(72)


def test_48_a_fits_behind_a_175_a_main_only_where_the_load_allows_175_a():
    """Post 82037 of a public solar forum: 48 A of inverter on a 200 A busbar; 260 > 240, and 235 ≤ 240 with 175 A."""
    unknown = ways_of(ways_house(200, 200, 48.0))["smaller_main"]
    assert unknown.verdict == CANNOT_SAY and "175 A" in plain(unknown.change) and unknown.photos
    assert unknown.margin.value == pytest.approx(5)
    known = ways_of(ways_house(200, 200, 48.0, demand=EXAM_DEMAND))["smaller_main"]
    assert known.verdict == FITS and "175 A" in plain(known.change) and known.margin.value == pytest.approx(5)
    heavy = {**EXAM_DEMAND, "electric_heat_va": 36000}
    refused = ways_of(ways_house(200, 200, 48.0, demand=heavy))["smaller_main"]      # load 183 A
    assert refused.verdict == DOES_NOT_FIT and "load on the service" in refused.reason


def test_an_80_a_service_main_is_refused_however_small_the_load():
    """Offered in public solar-forum thread 424081 for a 100 A panel; NEC 230.79(C) asks for 100 A."""
    small = {"floor_area_ft2": 900, "appliances": [{"name": "water heater", "rating_va": 3000}],
             "appliances_complete": True}
    way = ways_of(ways_house(100, 100, 32.0, demand=small))["smaller_main"]
    assert way.verdict == DOES_NOT_FIT
    assert "at least 100 A" in plain(way.reason) and "NEC 2020, 230.79(C)" in way.reason
    assert way.largest_a.value == pytest.approx(16) and way.margin.value == pytest.approx(-20)
    unknown = ways_of(ways_house(100, 100, 32.0))["smaller_main"]
    assert unknown.verdict == DOES_NOT_FIT and "at least 100 A" in plain(unknown.reason)


def test_a_subpanel_may_have_an_80_a_main_and_its_load_is_asked_for():
    """Same thread: the 100 A of 230.79(C) is for the service disconnect. 100 A busbar: 80 + 40 = 120 ≤ 120."""
    feeder = {"size": "1", "metal": "copper", "insulation_c": 90, "terminals_c": 75, "current_carrying": 3,
              "hottest_air_c": 30, "breaker_a": 100}
    panels = [{"name": "garage subpanel", "busbar_a": 100, "main_breaker_a": 100, "source_position": "far end",
               "feeder": feeder},
              {"name": "main panel", "busbar_a": 225, "main_breaker_a": 200, "source_position": "far end"}]
    way = ways_of(ways_house(inverter_a=32.0, panels=panels))["smaller_main"]
    assert way.verdict == CANNOT_SAY
    assert "80 A main breaker in the garage subpanel" in plain(way.change)
    assert any("garage subpanel" in photo for photo in way.photos)


def test_a_breaker_beside_the_main_fits_after_it_is_moved():
    """Question 269906 of a public home-improvement forum: 125 A busbar, 100 A main, 32 A; margin 10 A at the far end."""
    ways = ways_of(ways_house(125, 100, 32.0, position="beside the main"))
    assert {ways[key].verdict for key in ("sum_rule", "rule_120")} == {DOES_NOT_FIT}
    moved = ways["move_breaker"]
    assert moved.verdict == FITS and moved.margin.value == pytest.approx(10)
    assert moved.largest_a.value == pytest.approx(40)
    assert "far end" in moved.change and not moved.changes_nothing
    assert "move_breaker" not in ways_of(ways_house(125, 100, 32.0))


def test_a_225_a_panel_takes_48_a_behind_the_same_200_a_main():
    """225/200: 70 A of room in the table of the public summary of Article 705 (2025 California); 60 A needed: 10 A left."""
    way = ways_of(ways_house(200, 200, 48.0, edition=2023))["larger_panel"]
    assert way.verdict == FITS and "225 A" in plain(way.change)
    assert way.margin.value == pytest.approx(10) and way.largest_a.value == pytest.approx(56)


def test_the_2017_edition_limits_source_breakers_by_the_rating_of_the_service():
    """NEC 2017 705.12(A), public transcription: ratings of the sources' devices together at most the service's rating."""
    way = ways_of(ways_house(200, 200, 48.0, edition=2017))["supply_side"]
    assert way.verdict == FITS and way.margin.value == pytest.approx(140)        # 200 − 60
    assert way.clause == "NEC 2017, 705.12(A)"
    assert way.largest_a.value == pytest.approx(160)                             # 200 A breaker / 1.25
    assert "10 ft" in plain(" ".join(way.conditions)) and "705.31" in " ".join(way.conditions)


@pytest.mark.parametrize("edition", [2020, 2023])
def test_from_2020_on_the_service_wires_limit_the_output_currents(edition):
    """705.11(A), trade training article on the 2020 edition. 4/0 aluminum carries 180 A in the 75 °C column (310.16)."""
    way = ways_of(ways_house(200, 200, 48.0, edition=edition, service_conductor=SERVICE_WIRE))["supply_side"]
    assert way.verdict == FITS and way.margin.value == pytest.approx(132) and way.largest_a.value == pytest.approx(180)
    assert way.clause.startswith(f"NEC {edition}, 705.11(A)")
    text = plain(" ".join(way.conditions))
    assert "6 AWG copper or 4 AWG aluminum" in text and "emergency disconnect outdoors" in text
    assert ("10 ft" in text) == (edition == 2020)       # 2023 names no length: trade forum thread 2571795
    unread = ways_of(ways_house(200, 200, 48.0, edition=edition))["supply_side"]
    assert unread.verdict == CANNOT_SAY and any("electrician" in photo for photo in unread.photos)


@pytest.mark.parametrize("edition", [2017, 2020, 2023])
def test_every_way_cites_the_edition_of_the_house_and_no_other(edition):
    described = ways_house(200, 200, 48.0, edition=edition, demand=EXAM_DEMAND, service_conductor=SERVICE_WIRE,
                           array={"power_control_listed": True, "power_control_setpoint_a": 200.0})
    for way in ways_of(described).values():
        text = " ".join([way.clause, way.reason, *way.conditions])
        assert f"NEC {edition}" in way.clause
        assert not [other for other in (2017, 2020, 2023) if other != edition and f"NEC {other}" in text], way


def test_a_setpoint_may_reach_the_busbar_but_only_where_the_system_watches_main_and_sources():
    """Public electrical-trade thread 2589538, on NEC 705.13 of the 2020 edition."""
    at_busbar, above = (ways_of(ways_house(array={"power_control_listed": True, "power_control_setpoint_a": setpoint}))[
        "power_control"] for setpoint in (200.0, 201.0))
    assert (at_busbar.verdict, at_busbar.margin.value) == (FITS, pytest.approx(0))
    assert above.verdict == DOES_NOT_FIT
    assert "watches the main breaker and every source" in " ".join(at_busbar.conditions)
    assert ways_of(ways_house())["power_control"].verdict == CANNOT_SAY
    old = ways_of(ways_house(edition=2017))["power_control"]
    assert old.verdict == DOES_NOT_FIT and "no rule" in old.reason


@pytest.mark.parametrize("row, rule", [("supply-side connection", "supply_side"),
                                       ("supply-side overcurrent location", "supply_side_device"),
                                       ("power control system / energy management", "control_setpoint")])
@pytest.mark.parametrize("edition", [2017, 2020, 2023])
def test_clause_numbers_agree_with_the_gathered_map_of_article_705(row, rule, edition):
    """NEC 2017 transcription, trade articles on 2020 and 2026, public summary of NEC 2023, gathered as facts."""
    if not FACTS.exists():
        pytest.skip("the shared facts are not on this machine")
    with FACTS.open(encoding="utf-8", newline="") as file:
        found = next(r for r in csv.DictReader(file) if r["rule"] == row)[f"nec_{edition}"]
    if found == "none":
        assert not has_clause(rule, edition)
    elif "no stated length" in found:
        assert "Article 230" in cite(rule, edition) and "VI and VII" in cite(rule, edition)
    else:
        assert cite(rule, edition).removeprefix(f"NEC {edition}, ") == found.partition(" ")[0]
