"""Panels worked by others, each through a house and `connect`. Sources stand beside the numbers."""

import csv
from pathlib import Path

import pytest

from reportgen.interconnection.code_tables import cite, has_clause
from reportgen.interconnection.connect import connect
from reportgen.interconnection.result import CANNOT_SAY, DOES_NOT_FIT, FITS
from tests.interconnection.houses import chain_house, main_panel, panel_house, subpanel

CODE = Path(__file__).resolve().parents[3] / "shared" / "data" / "code"


def _checks(connection):
    return {check.key: check for check in connection.checks}


# Busbar [A], main [A], limit of the 120 % rule [A], room for 1.25 × source current [A], inverter output [A], [kW] at
# 240 V, room under the sum rule [A]. Source: quick table in a public summary of Article 705 of the 2025 California
# Electrical Code (= NEC 2023); rows marked "computed" are not printed there and follow from its formula.
QUICK_TABLE = [
    (100, 100, 120, 20, 16.0, 3.84, 0),
    (125, 100, 150, 50, 40.0, 9.60, 25),
    (125, 125, 150, 25, 20.0, 4.80, 0),
    (150, 150, 180, 30, 24.0, 5.76, 0),       # computed
    (200, 150, 240, 90, 72.0, 17.28, 50),
    (200, 175, 240, 65, 52.0, 12.48, 25),
    (200, 200, 240, 40, 32.0, 7.68, 0),
    (225, 150, 270, 120, 96.0, 23.04, 75),    # computed
    (225, 175, 270, 95, 76.0, 18.24, 50),
    (225, 200, 270, 70, 56.0, 13.44, 25),
    (225, 225, 270, 45, 36.0, 8.64, 0),
    (400, 200, 480, 280, 224.0, 53.76, 200),  # computed
]


@pytest.mark.parametrize("busbar_a, main_a, limit_a, room_a, output_a, output_kw, sum_room_a", QUICK_TABLE)
def test_quick_table_of_the_120_percent_rule(busbar_a, main_a, limit_a, room_a, output_a, output_kw, sum_room_a):
    connection = connect(panel_house(busbar_a, main_a, output_a, edition=2023))
    assert connection.largest_inverter.value == pytest.approx(output_a, abs=1e-9)
    assert connection.largest_inverter_kw.value == pytest.approx(output_kw, abs=1e-9)
    assert connection.verdict == FITS
    check = _checks(connection)["rule_120"]
    assert check.verdict == FITS
    assert check.margin_a.value == pytest.approx(0.0, abs=1e-9)
    assert 1.25 * connection.largest_inverter.value == pytest.approx(room_a, abs=1e-9)
    assert f"= {limit_a} A" in check.sentence.replace("\u00a0", " ")
    assert connection.source_device.value >= room_a


@pytest.mark.parametrize("busbar_a, main_a, limit_a, room_a, output_a, output_kw, sum_room_a", QUICK_TABLE)
def test_quick_table_of_the_sum_rule(busbar_a, main_a, limit_a, room_a, output_a, output_kw, sum_room_a):
    """Beside the main breaker only the sum rule holds, so its room is the largest inverter."""
    connection = connect(panel_house(busbar_a, main_a, 1.0, edition=2023, position="beside the main"))
    assert 1.25 * connection.largest_inverter.value == pytest.approx(sum_room_a, abs=1e-9)
    assert _checks(connection)["sum_rule"].margin_a.value == pytest.approx(sum_room_a - 1.25, abs=1e-9)


def test_a_7_6_kw_inverter_needs_a_40_a_breaker_at_240_v():
    """40 A device: photo caption, inspectors' association magazine, Sept/Oct 2020; the currents are arithmetic."""
    connection = connect(panel_house(200, 200, inverter_kw=7.6))
    assert connection.source_current.value == pytest.approx(31.67, abs=0.005)
    assert 1.25 * connection.source_current.value == pytest.approx(39.58, abs=0.005)
    assert connection.source_device.value == 40
    assert connection.verdict == FITS


def test_the_same_inverter_needs_a_50_a_breaker_at_208_v():
    """Arithmetic: 36.54 A, 45.67 A, next standard rating 50 A (NEC 240.6(A))."""
    connection = connect(panel_house(200, 200, inverter_kw=7.6, service_v=208))
    assert connection.source_current.value == pytest.approx(36.54, abs=0.005)
    assert 1.25 * connection.source_current.value == pytest.approx(45.67, abs=0.006)
    assert connection.source_device.value == 50
    assert any("208 V" in c for check in connection.checks for c in check.conditions)


def test_fourteen_270_w_units_fill_a_20_a_branch():
    """15.75 A on a 20 A device: a module-level inverter maker's circuit-calculation brief, Nov 2015."""
    connection = connect(panel_house(200, 200, inverter_kw=14 * 0.270, conversion="module-level", module_count=14))
    figures = {f.key: f for f in connection.figures}
    assert figures["interconnection.branch_current_a"].value == pytest.approx(15.75, abs=1e-9)
    assert figures["interconnection.units_per_branch"].value == 14
    assert figures["interconnection.branches"].value == 1
    assert connection.source_device.value == 20


def test_breaker_beside_the_main_fits_only_after_it_is_moved():
    """A 125 A busbar with a 100 A main and a 7.6 kW inverter at the main's end: question 269906 of a public
    home-improvement forum. Sum rule 140 > 125; 120 % rule 140 ≤ 150, but only at the far end (margin 10 A)."""
    connection = connect(panel_house(125, 100, 32.0, position="beside the main"))
    assert connection.verdict == DOES_NOT_FIT
    assert "fits after moving to the far end" in connection.sentence
    sums, share = _checks(connection)["sum_rule"], _checks(connection)["rule_120"]
    assert (sums.verdict, sums.margin_a.value) == (DOES_NOT_FIT, pytest.approx(-15))
    assert (share.verdict, share.margin_a.value) == (DOES_NOT_FIT, pytest.approx(10))
    assert connect(panel_house(125, 100, 32.0)).verdict == FITS


def test_a_200_a_busbar_with_a_150_a_main_takes_one_90_a_breaker():
    """Answer 94786 of a public electrical-trade forum: one 90 A two-pole breaker at most; so 72 A, 17.28 kW."""
    connection = connect(panel_house(200, 150, 72.0))
    assert connection.verdict == FITS
    assert connection.source_device.value == 90
    assert connection.largest_inverter.value == pytest.approx(72)
    assert connection.largest_inverter_kw.value == pytest.approx(17.28)
    assert connect(panel_house(200, 150, 144.0)).verdict == DOES_NOT_FIT


def test_a_225_a_busbar_with_a_200_a_main_and_a_60_a_breaker():
    """70 A of room at 225/200 is printed in the public summary of Article 705 (2025 California, = NEC 2023);
    the sums for a 48 A inverter are arithmetic on it: 260 > 225; 260 ≤ 270, margin 10; largest 56 A."""
    connection = connect(panel_house(225, 200, 48.0, edition=2023))
    sums, share = _checks(connection)["sum_rule"], _checks(connection)["rule_120"]
    assert (sums.verdict, sums.margin_a.value) == (DOES_NOT_FIT, pytest.approx(-35))
    assert (share.verdict, share.margin_a.value) == (FITS, pytest.approx(10))
    assert connection.source_device.value == 60
    assert connection.largest_inverter.value == pytest.approx(56)


def test_a_48_a_inverter_on_a_200_a_busbar():
    """Post 82037 of a public solar forum: 260 > 240 with a 200 A main; 235 ≤ 240 with 175 A (margin 5)."""
    assert connect(panel_house(200, 200, 48.0)).verdict == DOES_NOT_FIT
    smaller_main = connect(panel_house(200, 175, 48.0))
    assert smaller_main.verdict == FITS
    assert _checks(smaller_main)["rule_120"].margin_a.value == pytest.approx(5)
    assert connect(panel_house(100, 100, 48.0)).verdict == DOES_NOT_FIT


def test_a_generator_leaves_the_sums_alone_and_brings_a_stop_note():
    """Thread 2581611 of a public electrical-trade forum: with the main off and the generator on, array and generator
    share a busbar; an interlock on the main does not keep them apart. The busbar sums do not change."""
    generator = {"name": "generator inlet", "kind": "generator", "breaker_a": 30}
    alone, beside = connect(panel_house(200, 200, 32.0)), connect(panel_house(200, 200, 32.0, sources=[generator]))
    assert [c.margin_a.value for c in alone.checks[:2]] == [c.margin_a.value for c in beside.checks[:2]]
    assert "contactor" in beside.findings[0] and "ahead of the main breaker" in beside.findings[0]
    assert beside.findings and beside.findings[0].startswith("Stop") and "Stop" in beside.sentence
    assert not alone.findings


# NEC clauses of the two rules by edition. Sources: 2017 transcription (NFPA 70-2017); course page 972 (2020);
# public summary of Article 705 of the 2025 California Electrical Code (2023).
@pytest.mark.parametrize("edition, sum_clause, share_clause", [
    (2017, "705.12(B)(2)(3)(a)", "705.12(B)(2)(3)(b)"),
    (2020, "705.12(B)(3)(1)", "705.12(B)(3)(2)"),
    (2023, "705.12(B)(1)", "705.12(B)(2)"),
])
def test_each_edition_numbers_the_rules_its_own_way(edition, sum_clause, share_clause):
    checks = _checks(connect(panel_house(200, 200, 32.0, edition=edition)))
    assert checks["sum_rule"].clause == f"NEC {edition}, {sum_clause}"
    assert checks["rule_120"].clause == f"NEC {edition}, {share_clause}"


def test_a_centre_fed_panel_takes_the_source_at_one_end_but_not_at_both():
    """A code-panel member's example, installers' mailing list, 3 March 2016: busbar 200 A, main 200 A, 40 A breaker (I 32).
    2017 on; in dwellings alone; "not at both ends" is read in the edition of 2017 and kept for all."""
    for edition, clause in ((2017, "705.12(B)(2)(3)(d)"), (2020, "705.12(B)(3)(4), number from memory"), (2023, "705.12(B)(4)")):
        connection = connect(panel_house(200, 200, 32.0, edition=edition, fed_from="centre"))
        check = _checks(connection)["centre_fed"]
        assert (connection.verdict, check.margin_a.value) == (FITS, pytest.approx(0, abs=1e-9))
        assert check.clause == f"NEC {edition}, {clause}" and "rule_120" not in _checks(connection)
    for changed in ({"position": "both ends"}, {"kind": "other building"}, {"position": "beside the main"}):
        facts = {"position": "far end", **changed}
        assert connect(panel_house(200, 200, 32.0, fed_from="centre", **facts)).verdict == DOES_NOT_FIT
    assert connect(panel_house(200, 200, 32.0, fed_from="centre", kind="two families")).verdict == FITS
    before = connect(panel_house(200, 200, 32.0, edition=2014, fed_from="centre"))
    assert not before.judged and before.verdict == CANNOT_SAY


def test_main_lugs_count_the_breaker_upstream_and_the_busbar_between_must_pass_too():
    """Answer 2744758 of a public electrical-trade forum: a duplex with a 200 A main-lug panel behind a 200 A breaker at the
    meter, 32 A: 240 ≤ 240 at the far end from the feeder's lugs."""
    wire = {"size": "4/0", "metal": "copper", "insulation_c": 75, "terminals_c": 75, "current_carrying": 3, "hottest_air_c": 30}
    panels = ({"name": "garage panel", "busbar_a": 200, "main": "lugs", "source_position": "far end",
               "feeder": {**wire, "breaker_a": 200}}, {"name": "meter panel", "busbar_a": 200, "main_breaker_a": 200,
                                                       "source_position": "far end"})
    connection = connect(chain_house(*panels, inverter_a=32.0))
    assert connection.verdict == FITS and connection.main_breaker_a == 200
    assert [(p.main, p.protected_by_a, p.total_a, p.limit_a) for p in connection.panels] == [("lugs", 200, 240, 240),
                                                                                           ("breaker", 200, 240, 240)]
    weak = connect(chain_house(panels[0], {**panels[1], "busbar_a": 225, "main_breaker_a": 225, "source_position": "beside the main"},
                               inverter_a=32.0))
    assert weak.verdict == DOES_NOT_FIT and "meter panel" in weak.sentence


def test_a_split_busbar_gets_the_sum_of_its_lower_part_and_no_verdict():
    """Installers' mailing list, 28 October 2010: lower busbar 100 A fed by 60 A: 60 + S ≤ 120, S at most 60 A, I at most 48 A;
    the upper part has up to six mains and no single device: an electrician rates it. "60 A, fine" is wrong."""
    split = {"main": "split bus", "lower_busbar_a": 100, "lower_breaker_a": 60}
    connection = connect(panel_house(200, None, 40.0, edition=2020, **split))
    checks = _checks(connection)
    assert connection.verdict == CANNOT_SAY and connection.largest_inverter.value is None
    assert (checks["rule_120"].verdict, checks["rule_120"].margin_a.value) == (FITS, pytest.approx(120 - 60 - 50))
    whole = checks["split_bus"]
    assert "leaves 60 A for 1.25 × all sources, so 48 A of new output at most" in whole.sentence.replace("\u00a0", " ")
    assert any("age" in c for c in whole.conditions) and any("one enclosure" in c for c in whole.conditions)
    assert not any("one enclosure" in c for c in _checks(connect(panel_house(200, None, 40.0, edition=2017, **split)))
                   ["split_bus"].conditions)
    assert connect(panel_house(200, None, 50.0, **split)).verdict == DOES_NOT_FIT      # the lower part alone is too small


def test_a_subpanel_on_the_way_fails_the_path():
    """Post 82037 of a public solar forum: the 100 A subpanel on the way with 48 A: 160 > 120."""
    connection = connect(chain_house(subpanel(100, 100), main_panel(200, 175), inverter_a=48.0))
    assert connection.verdict == DOES_NOT_FIT
    assert connection.panels[0].total_a == pytest.approx(160) and connection.panels[0].limit_a == pytest.approx(120)
    assert connection.panels[1].total_a == pytest.approx(235) and connection.panels[1].verdict == FITS


# Our keys for the rows of the map of Article 705 by edition. Rows of other rooms are compared there.
MAP_ROWS = {"feeder tap": "feeder_tap", "busbar, sum rule (100 %)": "sum_rule", "busbar, 120 % opposite end": "rule_120",
            "busbar, sum of all breakers": "all_breakers", "busbar, centre-fed dwelling panel": "centre_fed",
            "busbar, multiple ampacity, engineering supervision": "multiple_ampacity",
            "busbar with feed-through conductors": "feed_through", "supply-side connection": "supply_side"}


@pytest.mark.skipif(not (CODE / "section_map_article_705.csv").exists(), reason="../shared/data/code is not at hand")
def test_every_busbar_clause_agrees_with_the_map_of_article_705():
    with (CODE / "section_map_article_705.csv").open(encoding="utf-8") as file:
        rows = {row["rule"]: row for row in csv.DictReader(file)}
    for name, key in MAP_ROWS.items():
        for edition in (2017, 2020, 2023):
            wanted = rows[name][f"nec_{edition}"]
            if wanted == "none":
                assert not has_clause(key, edition)
            else:
                assert cite(key, edition).split(", number")[0] == f"NEC {edition}, {wanted}"
        assert cite("feeder", edition).startswith(f"NEC {edition}, {rows['feeder'][f'nec_{edition}'].split(',(')[0]}")


@pytest.mark.skipif(not (CODE / "busbar_quick_table.csv").exists(), reason="../shared/data/code is not at hand")
def test_the_quick_table_here_agrees_with_the_gathered_one_cell_by_cell():
    with (CODE / "busbar_quick_table.csv").open(encoding="utf-8") as file:
        rows = [tuple(float(cell) for cell in list(row.values())[:7]) for row in csv.DictReader(file)]
    assert [tuple(float(cell) for cell in row) for row in QUICK_TABLE] == rows
