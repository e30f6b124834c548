"""The wall proposed for the inverter: what is measured, and what nobody said."""

from hypothesis import given, settings
from hypothesis import strategies as st

from reportgen.describe.electrical import WorkingSpace
from reportgen.interconnection.result import DOES_NOT_FIT, FITS
from reportgen.interconnection.working_space import working_space_checks
from tests.interconnection.houses import panel_house


def _checks(edition=2020, country="US", **wall):
    house = panel_house(200, 200, 24, edition=edition, country=country)
    space = WorkingSpace(**{"depth_in": 60, "width_in": 40, "height_in": 90, **wall})
    return {c.key: c for c in working_space_checks(house.replaced("electrical.working_space", space))}


def test_no_wall_in_the_house_file_no_check():
    assert working_space_checks(panel_house(200, 200, 24)) == ()


def test_outside_the_us_and_without_a_tabulated_edition_no_check():
    assert _checks(country="DE") == {} and _checks(edition=2026) == {}


def test_wider_equipment_needs_its_own_width():
    assert _checks(width_in=40)["working_width"].verdict == FITS
    assert _checks(width_in=40, equipment_width_in=42)["working_width"].verdict == DOES_NOT_FIT
    assert _checks(width_in=31, equipment_width_in=20)["working_width"].margin_a.value == 1   # never less than 30 in


def test_a_bathroom_is_barred_whatever_its_size():
    assert _checks(is_bathroom=True)["working_bathroom"].verdict == DOES_NOT_FIT
    assert "690.4(E)" in _checks()["working_bathroom"].clause


def test_the_height_names_the_exception_for_old_panels():
    check = _checks(height_in=70)["working_height"]
    assert check.verdict == DOES_NOT_FIT and "200 A" in check.conditions[0] and "8 in missing" in check.sentence


def test_a_number_that_was_not_seen_in_the_edition_says_so():
    assert "not seen in print" in _checks(edition=2017)["working_depth"].clause
    assert "not seen" not in _checks(edition=2023)["working_depth"].clause


@given(st.floats(1, 200), st.floats(0, 100))
@settings(max_examples=15, deadline=None)
def test_more_free_depth_never_turns_fits_into_does_not_fit(depth_in, more_in):
    before, after = _checks(depth_in=depth_in), _checks(depth_in=depth_in + more_in)
    for key in ("working_depth", "working_depth_strings"):
        assert before[key].verdict != FITS or after[key].verdict == FITS
