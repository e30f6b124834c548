"""The new source's own circuits: breaker, the maker's largest one, branches, the combiner's busbar."""

import pytest

from reportgen.interconnection.connect import connect
from reportgen.interconnection.result import CANNOT_SAY, DOES_NOT_FIT, FITS
from tests.interconnection.houses import panel_house


def _checks(connection, key):
    return [check for check in connection.circuit_checks if check.key == key]


def test_the_breaker_is_never_larger_than_the_maker_allows():
    """1.25 × 32 A = 40 A. A maker's limit of 35 A leaves no breaker that is both large and small enough."""
    fits = connect(panel_house(200, 200, 32.0, inverter_max_breaker_a=40))
    assert _checks(fits, "maker_maximum")[0].verdict == FITS and fits.verdict == FITS
    wrong = connect(panel_house(200, 200, 32.0, inverter_max_breaker_a=35))
    assert _checks(wrong, "maker_maximum")[0].margin_a.value == -5
    assert wrong.verdict == DOES_NOT_FIT and "at most 35 A" in wrong.sentence


def test_an_unknown_limit_of_the_maker_is_asked_for_and_stops_nothing():
    connection = connect(panel_house(200, 200, 32.0))
    assert _checks(connection, "maker_maximum")[0].verdict == CANNOT_SAY
    assert any("largest breaker that its maker allows" in photo for photo in connection.photos)
    assert connection.verdict == FITS


def test_each_of_several_inverters_has_a_breaker_and_a_limit_of_its_own():
    connection = connect(panel_house(400, 200, None, inverters=[
        {"name": "left", "limit_kw": 7.68, "output_a": 32, "max_breaker_a": 40},
        {"name": "right", "limit_kw": 3.84, "output_a": 16, "count": 2, "max_breaker_a": 15}]))
    assert [(c.where, c.verdict) for c in _checks(connection, "maker_maximum")] == [("left", FITS), ("each right", DOES_NOT_FIT)]
    assert connection.verdict == DOES_NOT_FIT


@pytest.mark.parametrize("maker, most, branches, fullest_a", [(None, 13, 2, 13 * 1.2), (10, 10, 3, 9 * 1.2), (16, 13, 2, 13 * 1.2)])
def test_the_lower_of_the_makers_limit_and_80_percent_of_the_breaker_counts(maker, most, branches, fullest_a):
    """common practice, no source: 0.8 × 20 A / 1.2 A = 13.3 units."""
    connection = connect(panel_house(200, 150, conversion="module-level", module_count=26, unit_output_a=1.2, unit_limit_w=288,
                                     **({} if maker is None else {"units_per_branch": maker})))
    figures = {f.key: f.value for f in connection.figures}
    assert figures["interconnection.units_per_branch"] == most
    assert figures["interconnection.branches"] == branches
    assert figures["interconnection.branch_current_a"] == pytest.approx(fullest_a)
    assert [c.verdict for c in _checks(connection, "maker_maximum")] == ([CANNOT_SAY] if maker is None else [])


@pytest.mark.parametrize("edition, said", [(2020, "Before the edition of 2023"), (2023, "From the edition of 2023 on")])
def test_a_combiner_has_the_smallest_usual_busbar_for_all_its_breakers(edition, said):
    """Three branches of 20 A: 60 A on the busbar, and a main of 50 A (1.25 × 31.2 A = 39 A → 40 A)."""
    connection = connect(panel_house(200, 150, edition=edition, conversion="module-level", module_count=26, unit_output_a=1.2,
                                     unit_limit_w=288, units_per_branch=10))
    combiner = _checks(connection, "combiner_busbar")[0]
    assert combiner.sentence == ("3 × 20 A = 60 A; its main would be 40 A. The smallest usual busbar that takes both is 60 A: "
                                 "0 A left.")
    assert combiner.conditions[0].startswith(said) and f"NEC {edition}" in combiner.clause


def test_one_inverter_or_one_branch_needs_no_combiner():
    assert not _checks(connect(panel_house(200, 200, 32.0)), "combiner_busbar")
    assert not _checks(connect(panel_house(200, 200, conversion="module-level", module_count=9, unit_output_a=1.2,
                                           unit_limit_w=288)), "combiner_busbar")


def test_without_a_size_there_is_nothing_to_check():
    assert connect(panel_house(200, 200)).circuit_checks == ()
