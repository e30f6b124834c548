"""Panels from public questions, each as a small house file under tests/cases/connecting, through `assess`.

Sources: public threads and lists named at each test, by their number; the arithmetic is that of NEC 705.12.
"""

from functools import cache
from pathlib import Path

import pytest

from reportgen.chain import assess
from reportgen.climate.read import read_year
from reportgen.describe.load import load_house
from reportgen.interconnection.result import CANNOT_SAY, DOES_NOT_FIT, FITS
from reportgen.report.drawings import draw_drawings
from tests.report.text_boxes import text_boxes
from tests.report.words import FORBIDDEN

CASES = Path(__file__).resolve().parents[1] / "cases" / "connecting"
HOUSES = tuple(sorted(path.stem for path in CASES.glob("*.yaml") if path.stem != "batch"))


@cache
def found(name: str, **electrical):
    described = load_house(CASES / f"{name}.yaml", CASES)
    assert not described.problems, described.problems
    return assess(described.house, read_year(described.house, CASES))


def changed(name: str, **electrical):
    house = load_house(CASES / f"{name}.yaml", CASES).house
    for key, value in electrical.items():
        house = house.replaced(key.replace("__", "."), value)
    return assess(house, read_year(house, CASES)).connection


def ways(connection):
    return {way.key: way for way in connection.ways}


def test_a_breaker_installed_next_to_the_main_fits_only_after_it_is_moved():
    """Public home-improvement thread 269906: 125 A busbar, 100 A main, 7.6 kW."""
    connection = found("breaker-beside-the-main").connection
    assert connection.verdict == DOES_NOT_FIT
    tried = ways(connection)
    assert tried["sum_rule"].verdict == DOES_NOT_FIT and tried["sum_rule"].margin.value == pytest.approx(-15)
    assert tried["all_breakers"].verdict == CANNOT_SAY and tried["all_breakers"].photos
    assert tried["move_breaker"].verdict == FITS and tried["move_breaker"].margin.value == pytest.approx(10)


def test_a_150_a_main_on_a_200_a_busbar_allows_90_a_and_not_twice_45():
    """Public electrical-trade thread 94786: a two-pole breaker counts once; 90 A, I 72 A, 17.28 kW at 240 V."""
    connection = found("small-main-on-a-200-a-busbar").connection
    assert connection.verdict == FITS
    assert ways(connection)["rule_120"].margin.value == pytest.approx(0, abs=1e-9)
    assert connection.largest_inverter.value == pytest.approx(72)
    assert connection.largest_inverter_kw.value == pytest.approx(17.28)
    assert connection.source_device.value == 90


def test_a_centre_fed_panel_takes_the_source_at_either_end_but_not_at_both():
    """Installers' mailing list, 3 March 2016, a code-panel member's example: busbar 200 A, main 200 A, 40 A breaker."""
    for edition in (2017, 2020, 2023):
        assert changed("centre-fed", electrical__edition=edition).verdict == FITS
    assert changed("centre-fed", electrical__source_position="both ends").verdict == DOES_NOT_FIT
    old = changed("centre-fed", electrical__edition=2014)
    assert not old.judged and old.verdict == CANNOT_SAY
    assert ways(found("centre-fed").connection)["centre_fed"].verdict == FITS


def test_the_centre_fed_rule_holds_in_dwellings_alone():
    connection = changed("centre-fed", building__kind="other building")
    assert ways(connection)["centre_fed"].verdict != FITS


def test_a_main_lug_panel_is_protected_by_the_breaker_upstream():
    """Public electrical-trade thread 2744758: M = 200 A upstream; 240 A at most 240 A at the far end; so the panel at the
    meter must pass too."""
    connection = found("duplex-with-main-lugs").connection
    assert connection.verdict == FITS
    assert [panel.protected_by_a for panel in connection.panels] == [200, 200]
    assert [panel.total_a for panel in connection.panels] == pytest.approx([240, 240])
    assert changed("duplex-with-main-lugs", electrical__panels__1__main_breaker_a=225.0).verdict != FITS
    assert changed("duplex-with-main-lugs", electrical__panels__0__source_position="beside the main").verdict == DOES_NOT_FIT


def test_the_feeders_breaker_at_the_meter_panel_must_stay_at_its_end_too_and_lugs_are_named_as_lugs():
    """NEC 2020, 705.12(B)(3)(2), from memory: the rule is about each breaker that feeds a busbar."""
    said = [c for check in found("duplex-with-main-lugs").connection.checks for c in check.conditions]
    assert any(c.startswith("In the panel at the meter: the feeder's breaker, which brings the array's power, sits at the end") for c in said), said
    assert any("opposite the lugs where the supply's wires land" in c for c in said)
    photos = " ".join(found("duplex-with-main-lugs").connection.photos)
    assert "opposite the lugs where" in photos and "do not help" not in photos


def test_a_place_that_fails_two_rules_is_not_said_to_fail_the_third():
    """The rule on the sum of all breakers does not ask where a breaker sits: NEC 2020, 705.12(B)(3)(3)."""
    connection = found("breaker-beside-the-main").connection
    assert ways(connection)["all_breakers"].verdict == CANNOT_SAY
    assert "The rule on the sum of all breakers cannot be said until they are listed." in connection.sentence


def test_a_rule_that_the_breakers_place_fails_allows_no_ampere_and_says_why():
    way = ways(found("breaker-beside-the-main").connection)["rule_120"]
    assert way.largest_a.value == 0 and way.largest_a.formula.startswith("0 A, since the breaker sits beside the main breaker")


def test_wires_that_do_not_pass_are_drawn_as_the_ones_to_change():
    drawn = " ".join(box.words for box in text_boxes(draw_drawings(found("thin-wire"))["one-line"]))
    assert "8 AWG copper; named: 10 AWG copper" in drawn.replace("\u00a0", " ")


def test_a_split_busbar_is_for_an_electrician_whatever_the_lower_part_allows():
    """Installers' mailing list, 28 October 2010: the lower part alone would take 60 A (I 48 A); the upper has no one main."""
    connection = found("split-bus").connection
    assert connection.verdict == CANNOT_SAY
    said = " ".join([connection.sentence, *(check.sentence for check in connection.checks)]).replace("\u00a0", " ")
    assert "60 A" in said and "48 A" in said and "upper" in said


def test_48_a_of_inverter_needs_a_smaller_main_than_200_a():
    """Public solar forum thread 82037: 260 > 240 with a 200 A main; 235 ≤ 240 with 175 A, if the load allows it."""
    connection = found("large-inverter").connection
    assert connection.verdict == DOES_NOT_FIT
    assert ways(connection)["rule_120"].margin.value == pytest.approx(-20)
    smaller = ways(connection)["smaller_main"]
    assert smaller.verdict == CANNOT_SAY and "175" in smaller.change and smaller.photos
    assert smaller.margin.value == pytest.approx(5)


def test_a_100_a_subpanel_on_the_way_fails_the_path():
    """The same thread, applied to the subpanel: 100 + 60 = 160 > 120."""
    connection = found("large-inverter-and-subpanel").connection
    assert connection.verdict == DOES_NOT_FIT
    assert connection.panels[0].total_a == pytest.approx(160) and connection.panels[0].limit_a == pytest.approx(120)


def test_a_generator_on_the_busbar_leaves_the_arithmetic_and_stops_the_work():
    """Public electrical-trade thread 2581611: with the main off and the generator on, both sit on one busbar."""
    assessment = found("generator-on-the-busbar")
    assert ways(assessment.connection)["rule_120"].verdict == FITS
    assert "Stop" in assessment.connection.sentence
    assert assessment.answer.rule == "panel_first"


def test_10_awg_copper_is_too_small_for_7_6_kw():
    """Photo caption, inspectors' association magazine, Sept/Oct 2020: 40 A device, 10 AWG copper is capped at 30 A."""
    connection = found("thin-wire").connection
    device = next(check for check in connection.conductors if check.verdict == DOES_NOT_FIT and "240.4(D)" in check.clause)
    assert "30" in device.sentence
    wider = changed("thin-wire", electrical__run=connection_run("8"))
    assert not [check for check in wider.conductors if check.verdict == DOES_NOT_FIT]


def connection_run(size):
    return load_house(CASES / "thin-wire.yaml", CASES).house.electrical.run.model_copy(update={"size": size})


def test_a_225_a_busbar_takes_60_a_behind_a_200_a_main():
    """Quick table of a public summary of the 2025 California Electrical Code: 70 A of room for 225/200."""
    connection = found("large-busbar-60-a-backfeed").connection
    assert connection.verdict == FITS
    assert ways(connection)["sum_rule"].margin.value == pytest.approx(-35)
    assert ways(connection)["rule_120"].margin.value == pytest.approx(10)
    assert connection.largest_inverter.value == pytest.approx(56)


def test_the_share_that_sets_the_ridge_setback_is_of_the_whole_roof_in_plan():
    """Public electrical-trade thread 144049 on R324.6: 40 % of its own face, 20 % of the whole roof: 18 in at the ridge."""
    fire = found("array-on-one-face").layout.fire
    assert fire.share.value == pytest.approx(20.0, abs=0.1)
    assert fire.ridge_setback_m == pytest.approx(18 * 0.0254)


@pytest.mark.parametrize("name", HOUSES)
def test_nothing_found_about_these_panels_claims_more_than_arithmetic(name):
    assert not [phrase for phrase in FORBIDDEN if phrase in repr(found(name).connection).lower()]


@pytest.mark.parametrize("name", [name for name in HOUSES if name != "array-on-one-face"])
@pytest.mark.parametrize("edition", [2017, 2020, 2023])
def test_every_clause_names_the_edition_that_the_house_names(name, edition):
    connection = changed(name, electrical__edition=edition)
    for check in (*connection.checks, *connection.conductors, *connection.circuit_checks):
        assert f"NEC {edition}" in check.clause or "no source" in check.clause or "practice" in check.clause, check
        assert not [other for other in (2017, 2020, 2023) if other != edition and f"NEC {other}" in check.clause]
