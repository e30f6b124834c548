"""What `connect` says when facts are missing, contradict each other or lie outside what the rules cover."""

import pytest

from reportgen.interconnection.connect import connect
from reportgen.interconnection.result import CANNOT_SAY, DOES_NOT_FIT, FITS
from tests.interconnection.houses import panel_house

ARRAY_IN_GARAGE = {"name": "old array in the garage", "breaker_a": 20}


def test_without_the_busbar_rating_it_asks_for_a_photo_of_the_label():
    connection = connect(panel_house(None, 200, 32.0))
    assert connection.verdict == CANNOT_SAY
    assert "photo of the label" in connection.sentence
    assert connection.largest_inverter.value is None
    assert {c.verdict for c in connection.checks} == {CANNOT_SAY}
    assert connection.source_device.value == 40


def test_without_the_main_breaker_it_asks_for_a_photo_of_its_handle():
    connection = connect(panel_house(200, None, 32.0))
    assert connection.verdict == CANNOT_SAY
    assert "main breaker's handle" in connection.sentence


def test_nothing_known_of_the_panel_names_everything_that_is_missing():
    sentence = connect(panel_house(None, None)).sentence
    for fact in ("busbar", "main breaker", "inverter"):
        assert fact in sentence


def test_without_the_edition_nothing_is_judged_and_the_building_office_is_asked():
    connection = connect(panel_house(None, 200, 32.0, edition=None))
    assert not connection.judged and connection.verdict == CANNOT_SAY
    assert "building office" in connection.sentence and "building office" in connection.photos[0]
    assert any("label" in photo for photo in connection.photos)      # taken on the same visit
    assert connection.largest_inverter.value is None and connection.panels == connection.ways == ()
    for text in (connection.sentence, *connection.photos):
        assert "NEC" not in text and "705" not in text and "×" not in text


@pytest.mark.parametrize("edition", [2014, 2026])
def test_an_edition_that_is_not_tabulated_is_not_judged(edition):
    connection = connect(panel_house(200, 200, 32.0, edition=edition))
    assert not connection.judged and str(edition) in connection.sentence
    assert connection.checks == connection.figures == connection.conductors == connection.strings == connection.safety == ()


def test_a_missing_inverter_size_still_gives_the_largest_that_would_fit():
    connection = connect(panel_house(200, 200))
    assert connection.verdict == CANNOT_SAY
    assert connection.largest_inverter_kw.value == pytest.approx(7.68)
    assert connection.source_current.value is None


def test_a_busbar_below_its_main_breaker_is_for_an_electrician_first():
    connection = connect(panel_house(100, 200, 32.0))
    assert connection.judged
    assert connection.verdict == CANNOT_SAY
    assert any("misread" in finding for finding in connection.findings)
    assert connection.largest_inverter.value is None
    assert all(check.margin_a is None for check in connection.checks)


@pytest.mark.parametrize("outside", [
    panel_house(200, 200, 32.0, country="DE"),
    panel_house(600, 600, 32.0),
    panel_house(600, None, 32.0),
    panel_house(200, 200, 32.0, phases="three"),
    panel_house(200, 200, 32.0, service_a=600),
    panel_house(200, 200, 32.0, kind="three families or more"),
    panel_house(200, 200, 32.0, edition=None),
    panel_house(200, 200, 32.0, edition=2026),
])
def test_outside_the_rules_there_is_one_sentence_and_neither_clause_nor_sum(outside):
    connection = connect(outside)
    assert not connection.judged
    assert connection.verdict == CANNOT_SAY
    assert connection.checks == connection.findings == connection.figures == ()
    assert "NEC" not in connection.sentence and "705" not in connection.sentence and "×" not in connection.sentence
    figures = (connection.source_current, connection.source_device, connection.largest_inverter)
    assert [figure.value for figure in figures] == [None, None, None]


@pytest.mark.parametrize("facts", [{"kind": "two families"}, {"kind": "other building"}, {"service_v": 208}, {"phases": "single"}])
def test_small_houses_and_single_phase_power_are_judged(facts):
    connection = connect(panel_house(200, 200, 24.0, **facts))
    assert connection.judged and connection.verdict == FITS


def test_what_burns_is_said_whatever_can_be_judged():
    for edition in (2020, None):
        connection = connect(panel_house(200, 200, 24.0, edition=edition, seen=["scorching"]))
        assert any("Do not touch" in finding for finding in connection.findings)


def test_a_400_a_service_is_still_judged():
    assert connect(panel_house(400, 400, 64.0)).verdict == FITS


def test_existing_source_counts_with_its_data_sheet_current():
    connection = connect(panel_house(200, 200, 20.0, sources=[{**ARRAY_IN_GARAGE, "output_a": 12.0}]))
    assert connection.verdict == FITS
    assert connection.checks[1].margin_a.value == pytest.approx(0)
    assert connection.largest_inverter.value == pytest.approx(20)
    assert "ask the inspector" in " ".join(connection.checks[1].conditions)
    assert "assumed" not in " ".join(connection.checks[1].conditions)


def test_existing_source_without_a_data_sheet_counts_with_0_8_of_its_breaker_and_says_so():
    connection = connect(panel_house(200, 200, 16.0, sources=[ARRAY_IN_GARAGE]))
    assert connection.checks[1].margin_a.value == pytest.approx(0)
    assert "was assumed as 0.8 of its breaker" in " ".join(connection.checks[1].conditions)
    existing = next(f for f in connection.figures if f.key == "interconnection.existing_source_1_a")
    assert existing.value == pytest.approx(16) and "assumed" in existing.formula


def test_a_panel_that_is_already_full_takes_no_inverter():
    connection = connect(panel_house(200, 200, 5.0, sources=[{**ARRAY_IN_GARAGE, "breaker_a": 60}]))
    assert connection.verdict == DOES_NOT_FIT
    assert connection.largest_inverter.value == 0
    assert "No new inverter fits" in connection.sentence


def test_an_existing_source_larger_than_its_breaker_is_a_finding():
    connection = connect(panel_house(200, 200, 5.0, sources=[{**ARRAY_IN_GARAGE, "output_a": 18.0}]))
    assert any("misread" in finding for finding in connection.findings)


def test_a_battery_counts_and_brings_a_stop_note():
    connection = connect(panel_house(200, 200, 16.0, sources=[
        {"name": "battery in the basement", "kind": "battery", "breaker_a": 20, "output_a": 16.0}]))
    assert connection.checks[1].margin_a.value == pytest.approx(0)
    assert connection.findings[0].startswith("Stop")


def test_an_assumed_position_is_said_in_the_verdict_and_in_the_conditions():
    assumed = connect(panel_house(200, 200, 32.0), assumed={"electrical.source_position"})
    assert "which was assumed" in assumed.sentence
    assert any("far end was assumed" in c for c in assumed.checks[1].conditions)
    said = connect(panel_house(200, 200, 32.0))
    assert "assumed" not in said.sentence
    assert not any("far end was assumed" in c for c in said.checks[1].conditions)


def test_the_sum_rule_lets_a_breaker_sit_beside_the_main():
    connection = connect(panel_house(200, 150, 40.0, position="beside the main"))
    assert connection.verdict == FITS
    assert "sum rule" in connection.sentence and "far end" not in connection.sentence


def test_beside_the_main_the_largest_is_given_as_installed_and_at_the_far_end():
    connection = connect(panel_house(125, 100, 32.0, position="beside the main"))
    figures = {f.key: f.value for f in connection.figures}
    assert connection.largest_inverter.value == pytest.approx(20)
    assert figures["interconnection.largest_inverter_at_far_end_a"] == pytest.approx(40)


def test_moving_the_breaker_is_not_offered_where_it_would_not_help():
    connection = connect(panel_house(200, 200, 48.0, position="beside the main"))
    assert connection.verdict == DOES_NOT_FIT
    assert "after moving" not in connection.sentence
    assert "would not mend it" in connection.checks[1].sentence


def test_a_small_excess_never_reads_as_nothing():
    sentence = connect(panel_house(200, 200, 32.01)).sentence.replace("\u00a0", " ")
    assert "240.01 A against 240 A (120 % rule" in sentence


def test_the_largest_inverter_shows_its_sum():
    figure = connect(panel_house(200, 200, 20.0)).largest_inverter
    assert figure.formula.replace("\u00a0", " ") == "(1.2 × 200 A − 200 A) / 1.25 = 32 A"
    assert figure.sources == ("120 % rule: NEC 2020, 705.12(B)(3)(2)",)


def test_the_data_sheet_current_goes_before_the_power():
    assert connect(panel_house(200, 200, 32.0, inverter_kw=7.6)).source_current.value == 32


@pytest.mark.parametrize("busbar_a, main_a, changes, word", [
    (210, 200, {"inverter_a": 32.0}, "not a usual rating"),
    (200, 190, {"inverter_a": 32.0}, "not a standard rating"),
    (200, 200, {"inverter_a": 27.0, "inverter_kw": 7.6}, "One of the two may be misread"),
    (400, 200, {"inverter_kw": 10.0, "conversion": "module-level", "module_count": 2}, "One module-level unit"),
    (200, 200, {"inverter_kw": 200.0}, "larger than any standard rating"),
])
def test_odd_numbers_are_to_be_read_once_more(busbar_a, main_a, changes, word):
    connection = connect(panel_house(busbar_a, main_a, **changes))
    assert all(any(word in c for c in check.conditions) for check in connection.checks)
    assert not connection.findings


def test_what_only_the_site_shows_stands_under_every_rule():
    checks = connect(panel_house(200, 200, 32.0)).checks
    assert [check.key for check in checks] == ["sum_rule", "rule_120", "all_breakers"]
    for check in checks:
        text = " ".join(check.conditions)
        assert "two-pole" in text and "listed for this panel" in text and "must pass the same checks" in text
    text = " ".join(connect(panel_house(200, 200, 32.0)).checks[1].conditions)
    assert "opposite the main breaker" in text and "must not be moved" in text and "NEC 2020, Article 220" in text


def test_nothing_depends_on_the_order_of_two_runs():
    described = panel_house(200, 200, 32.0, sources=[ARRAY_IN_GARAGE])
    assert connect(described) == connect(described)
