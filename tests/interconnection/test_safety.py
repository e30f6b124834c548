"""What safety equipment and labels a house may expect: by conversion, edition and place."""

import pytest

from reportgen.interconnection.safety import expected_equipment
from tests.interconnection.houses import panel_house


def _found(**facts):
    return {e.name: e for e in expected_equipment(panel_house(200, 200, 24, **facts))}


def test_units_under_the_modules_leave_the_dc_equipment_out_and_say_so():
    strings, units = _found(conversion="string inverter"), _found(conversion="module-level")
    gone = set(strings) - set(units)
    assert gone == {"Arc-fault protection on the dc side", "Ground-fault protection on the dc side",
                    "Labels along the dc conduit", "Label with the highest dc voltage"}
    left_out = units["Not to expect with a unit under each module"]
    for clause in ("690.11", "690.41(B)", "690.31(D)(2)", "690.53"):
        assert f"NEC 2020, {clause}" in left_out.clause
    assert "Rapid shutdown for fire crews" in units   # it is asked of them too


@pytest.mark.parametrize("edition", [2014, 2026])
def test_an_edition_that_is_not_tabulated_gets_no_statement(edition):
    assert _found(edition=edition) == {}


def test_outside_the_united_states_nothing_is_said():
    assert _found(country="DE") == {}


def test_without_an_edition_every_edition_stands_beside_its_own_clause():
    found = _found(edition=None)
    assert found["Plaque and switch label for rapid shutdown"].clause == (
        "NEC 2017, 690.56(C); NEC 2020, 690.56(C); NEC 2023, 690.12(D)")
    assert found["Emergency disconnect outdoors"].clause == "NEC 2020, 230.85; NEC 2023, 230.85"
    assert "Each of the editions 2017 and 2020" in found["Rapid shutdown for fire crews"].text


@pytest.mark.parametrize("has, words", [(True, "already has one"), (False, "has none yet"), (None, "take a photo")])
def test_the_emergency_disconnect_says_what_the_house_file_says(has, words):
    house = panel_house(200, 200, 24).replaced("electrical.emergency_disconnect_outdoors", has)
    found = {e.name: e for e in expected_equipment(house)}
    assert words in found["Emergency disconnect outdoors"].text


def test_the_emergency_disconnect_is_for_one_and_two_families():
    house = panel_house(200, 200, 24).replaced("building.kind", "other building")
    assert "Emergency disconnect outdoors" not in {e.name for e in expected_equipment(house)}


def test_every_number_from_one_source_or_from_memory_carries_its_caution():
    for edition in (2017, 2020, 2023):
        found = _found(edition=edition)
        assert found["Arc-fault protection on the dc side"].caution == "Read in one public source only."
    assert "dropped" in found["Label at the point of connection"].caution
    assert "from memory" in _found(edition=2017)["Labels along the dc conduit"].clause


def test_every_clause_stands_with_its_edition():
    for edition in (2017, 2020, 2023, None):
        for expected in _found(edition=edition).values():
            assert all(part.startswith("NEC 20") for part in expected.clause.split("; "))
