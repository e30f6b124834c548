"""What people in the trade expect, and claims from the web that must be turned down, through a house and `connect`."""

import pytest

from reportgen.interconnection.connect import connect
from reportgen.interconnection.result import CANNOT_SAY, DOES_NOT_FIT, FITS
from tests.interconnection.houses import panel_house


# Unit [W] at 240 V, units on one 20 A branch, their current [A]. Arithmetic; 15.75 A for 270 W is printed in a
# module-level inverter maker's brief, Nov 2015. That units ride on 20 A, 240 V branches: common practice, no source.
@pytest.mark.parametrize("unit_w, units, branch_a", [
    (240, 16, 16.000), (250, 15, 15.625), (270, 14, 15.750), (290, 13, 15.708), (320, 12, 16.000), (349, 11, 15.996),
    (384, 10, 16.000),
])
def test_units_on_a_20_a_branch(unit_w, units, branch_a):
    modules = 2 * units
    connection = connect(panel_house(200, 150, inverter_kw=modules * unit_w / 1000, conversion="module-level",
                                     module_count=modules))
    figures = {f.key: f.value for f in connection.figures}
    assert figures["interconnection.units_per_branch"] == units
    assert figures["interconnection.branches"] == 2
    assert figures["interconnection.branch_current_a"] == pytest.approx(branch_a, abs=0.0005)


def test_one_unit_more_needs_one_branch_more():
    """common practice, no source"""
    connection = connect(panel_house(200, 200, inverter_kw=0.29 * 27, conversion="module-level", module_count=27))
    figures = {f.key: f.value for f in connection.figures}
    assert figures["interconnection.branches"] == 3          # 13 a branch, so 26 on two
    assert figures["interconnection.branch_current_a"] == pytest.approx(9 * 290 / 240)   # shared out evenly


def test_a_200_a_panel_with_a_200_a_main_has_room_for_a_40_a_breaker():
    """common practice, no source"""
    connection = connect(panel_house(200, 200, 32.0))
    assert connection.verdict == FITS
    assert connection.source_device.value == 40
    bigger = connect(panel_house(200, 200, 36.0))
    assert bigger.source_device.value == 45
    assert bigger.verdict == DOES_NOT_FIT


def test_a_breaker_that_only_feeds_a_monitoring_device_is_no_source():
    """common practice, no source"""
    monitor = {"name": "consumption meter", "kind": "monitoring", "breaker_a": 15}
    without = connect(panel_house(200, 200, 32.0))
    with_monitor = connect(panel_house(200, 200, 32.0, sources=[monitor]))
    assert with_monitor.verdict == without.verdict == FITS
    assert with_monitor.largest_inverter == without.largest_inverter
    assert [s.counts for s in with_monitor.sources] == [False, True]


def test_the_limit_is_not_125_percent_of_the_busbar():
    """Rejected web claim: 125 % of the busbar rating is the limit. 200 + 1.25 × 40 = 250 A would be just that."""
    assert connect(panel_house(200, 200, 40.0)).verdict == DOES_NOT_FIT


def test_the_120_percent_is_not_held_against_the_load_breakers():
    """Rejected web claim: hold the sum of the load breakers against 120 % of the busbar. The main breaker decides."""
    for loads in (None, [20] * 4, [50] * 20):
        assert connect(panel_house(200, 175, 48.0, load_breakers_a=loads)).verdict == FITS
        checks = connect(panel_house(200, 200, 48.0, load_breakers_a=loads)).checks[:2]
        for check in checks:
            assert check.sentence.replace("\u00a0", " ").startswith("200 A + 1.25 × 48 A = 260 A")
            assert check.verdict == DOES_NOT_FIT


def test_a_main_lug_panel_is_not_exempt():
    """Rejected web claim (a trade page): main-lug panels are exempt. The device upstream counts: NFPA 70-2017 transcription;
    answers 136596 and 2744758 of a public electrical-trade forum."""
    connection = connect(panel_house(200, None, 40.0, main="lugs", protected_by_a=200))
    assert connection.verdict == DOES_NOT_FIT and connection.main_breaker_a == 200
    unknown = connect(panel_house(200, None, 40.0, main="lugs"))
    assert unknown.verdict == CANNOT_SAY and unknown.photos


def test_a_20_a_breaker_does_not_count_as_the_sum_of_the_breakers_behind_it():
    """Rejected web claim, post 243143 of a public solar forum: "60 A because 4 × 15 A breakers". 1.25 × current is due:
    4 × 4 A = 16 A of output count as 20 A."""
    connection = connect(panel_house(200, 200, 16.0))
    assert connection.source_device.value == 20
    assert connection.checks[1].margin_a.value == pytest.approx(20)


def test_no_clause_stands_without_its_edition():
    """Rejected: a bare "705.12(B)(2)", which means taps in the edition of 2020 and the 120 % rule in that of 2023."""
    for edition in (2017, 2020, 2023):
        connection = connect(panel_house(200, 200, 32.0, edition=edition, load_breakers_a=[20]))
        for check in (*connection.checks, *connection.circuit_checks, *(c for way in connection.ways for c in way.checks)):
            assert f"NEC {edition}, " in check.clause


def test_a_breaker_counts_by_its_current_and_not_by_its_handle():
    """1.25 × 25.2 A = 31.5 A counts as 31.5 A, though the breaker is 35 A. Since 2014 the busbar rules use the current:
    installers' mailing list, March 2014; NFPA 70-2017, 705.12(B)(2) transcription; course page 972."""
    connection = connect(panel_house(200, 200, 25.2))
    assert connection.source_device.value == 35
    assert connection.checks[1].margin_a.value == pytest.approx(8.5)
