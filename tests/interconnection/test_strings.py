"""Strings on the roof as it is laid out, what is missing, and what holds for any module and any weather."""

from __future__ import annotations

import csv
from datetime import date
from importlib import resources

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from reportgen.interconnection.code_tables import cite, editions
from reportgen.interconnection.result import CANNOT_SAY, DOES_NOT_FIT, FITS
from reportgen.interconnection.string_layout import Inputs, nearby, split, split_all
from reportgen.interconnection.string_voltage import cold_v, fewest_modules, hot_v, most_modules
from reportgen.interconnection.strings import string_plans
from tests.interconnection.string_houses import INPUT, face, string_house
from tests.report.words import FORBIDDEN

QUICK = settings(max_examples=60, deadline=None)
TABLES = resources.files("reportgen") / "tables"


def _plan(*faces, **changed):
    plan, = string_plans(string_house(*faces, **changed))
    return plan


def _fact(plan, key):
    return next(check for check in plan.checks if check.key == key)


# Modules, inputs, strings side by side -> how they are strung; a string has 4 to 10. Arithmetic.
@pytest.mark.parametrize("modules, trackers, side, words", [
    (14, 2, 1, "2 strings of 7, each on an input of its own"),
    (10, 2, 1, "1 string of 10"),
    (15, 2, 1, "1 string of 8 and 1 string of 7, each on an input of its own"),
    (14, 1, 2, "2 strings of 7 side by side on one input"),
    (28, 2, 2, "4 strings of 7, 2 side by side on each of 2 inputs"),
    (25, 2, 2, "2 strings of 8 side by side on one input and 1 string of 9"),
    (27, 3, 1, "3 strings of 9, each on an input of its own"),
])
def test_modules_of_one_face_in_strings(modules, trackers, side, words):
    plan = _plan(face("back", modules), inputs={"trackers": trackers, "strings_per_tracker": side})
    assert plan.verdict == FITS
    assert plan.faces == (f"back, {modules} modules: {words}",)
    assert "of 4 to 10 modules" in plan.sentence and plan.photos == ()


# Unequal lengths can't share an input, so one input with two strings side by side can't take an odd number above ten.
@pytest.mark.parametrize("modules, trackers, side, near", [
    (11, 1, 2, "10 or 12 modules would"), (3, 1, 1, "4 modules would"),
    (21, 2, 1, "20 modules would"), (11, 1, 1, "10 modules would"),
])
def test_a_number_that_cannot_be_strung_names_the_nearest_that_can(modules, trackers, side, near):
    plan = _plan(face("back", modules), inputs={"trackers": trackers, "strings_per_tracker": side})
    assert plan.verdict == DOES_NOT_FIT
    assert near in plan.faces[0] and near in plan.sentence


def test_faces_of_different_directions_do_not_share_an_input():
    both = face("back", 5), face("garage", 5, "west")
    assert _plan(*both).verdict == FITS
    plan = _plan(*both, inputs={"trackers": 1, "strings_per_tracker": 2})
    assert plan.verdict == DOES_NOT_FIT
    assert "need at least 2 inputs" in plan.sentence and "there is 1" in plan.sentence


def test_faces_of_different_slopes_do_not_share_an_input():
    plan = _plan(face("back", 5), face("porch", 5, slope="2:12"), inputs={"trackers": 1})
    assert plan.verdict == DOES_NOT_FIT


def test_faces_of_one_direction_and_slope_may_share_a_string():
    plan = _plan(face("back", 3), face("dormer", 5), inputs={"trackers": 1})
    assert plan.verdict == FITS
    assert plan.faces == ("back and dormer, 8 modules: 1 string of 8",)


def test_a_face_without_modules_needs_no_input():
    plan = _plan(face("back", 8), face("garage", 0, "west"), inputs={"trackers": 1})
    assert plan.verdict == FITS and len(plan.faces) == 1


def _inverter(name, faces, count=1, **dc_side):
    return {"name": name, "limit_kw": 3.8, "faces": faces, "count": count, "input": {**INPUT, "trackers": 1, **dc_side}}


def test_each_inverter_has_its_own_plan_and_its_own_keys():
    house = string_house(face("back", 8), face("garage", 12, "west"),
                         inverters=[_inverter("east string", ["back"]), _inverter("west string", ["garage"],
                                                                                  max_v=500)])
    plans = string_plans(house)
    assert [(plan.inverter, plan.verdict) for plan in plans] == [("east string", FITS), ("west string", DOES_NOT_FIT)]
    assert [plan.most.value for plan in plans] == [10, 8]     # 500 V / 55.69 V = 8.98
    keys = [f.key for plan in plans for f in plan.figures]
    assert len(set(keys)) == len(keys)
    places = [(check.key, check.where) for plan in plans for check in plan.checks]
    assert len(set(places)) == len(places)


def test_equal_inverters_each_get_a_string():
    plan, = string_plans(string_house(face("back", 10), inverters=[_inverter("twin", ["back"], count=2)]))
    assert plan.faces == ("back, 10 modules: 2 strings of 5, each on an input of its own",)


def test_a_face_shared_by_two_kinds_of_inverter_needs_the_sellers_word():
    both = [_inverter("one", ["back"]), _inverter("other", ["back"])]
    plans = string_plans(string_house(face("back", 16), inverters=both))
    assert {plan.verdict for plan in plans} == {CANNOT_SAY}
    assert all("Ask the seller which modules go to which inverter." in plan.photos for plan in plans)


@pytest.mark.parametrize("missing, ask", [
    ({"low_c": None}, "building office"), ({"high_c": None}, "building office"), ({"module_voc_v": None}, "(Voc)"),
    ({"module_vmp_v": None}, "(Vmp)"), ({"module_isc_a": None}, "(Isc)"), ({"module_imp_a": None}, "(Imp)"),
    ({"inputs": {"max_v": None}}, "highest input voltage"), ({"inputs": {"max_current_a": None}},
     "highest operating current"),
    ({"inputs": {"max_short_circuit_a": None}}, "highest short-circuit current"), ({"edition": None}, "edition"),
    ({"low_c": -45, "voc_coefficient_percent_per_c": None}, "coefficient of the open-circuit voltage"),
    ({"kind": "other building", "module_max_system_v": None}, "maximum system voltage"),
])
def test_a_missing_fact_leads_to_cannot_say_with_what_to_read_or_whom_to_ask(missing, ask):
    plan = _plan(**missing)
    assert plan.verdict == CANNOT_SAY
    assert plan.sentence.startswith("Cannot say without ")
    assert any(ask in photo for photo in plan.photos)


def test_without_the_inverters_dc_side_the_dwellings_limit_still_gives_the_most_modules():
    plan = _plan(inputs={"max_v": None})
    assert plan.most.value == 10 and plan.fewest is None
    assert "at most 10 modules, by the Code's limit on one- and two-family dwellings alone" in plan.sentence
    assert "= 55.69 V" in _fact(plan, "string_cold").sentence


def test_a_generic_module_gives_an_example_and_decides_nothing():
    plan = _plan(module_voc_v=None, voc_coefficient_percent_per_c=None)
    assert plan.verdict == CANNOT_SAY and plan.most is None
    sentence = _fact(plan, "string_cold").sentence
    assert "example alone, which decides nothing" in sentence and "generic module mono 400 W" in sentence


def test_too_many_modules_do_not_fit_however_hot_it_gets():
    assert _plan(face("back", 21), high_c=None).verdict == DOES_NOT_FIT


def test_the_coefficient_of_power_stands_in_openly():
    plan = _plan(vmp_coefficient_percent_per_c=None, power_coefficient_percent_per_c=-0.36)
    assert plan.verdict == FITS and plan.fewest.value == 4
    assert "stands in" in _fact(plan, "string_hot").caution
    assert "stands in" not in _fact(_plan(), "string_hot").caution


def test_without_an_edition_the_arithmetic_is_shown_and_no_check_is_decided():
    plan = _plan(edition=None)
    assert {check.verdict for check in plan.checks} == {CANNOT_SAY}
    assert "By voltage, strings of 4 to 10 modules fit" in plan.sentence


def test_the_inverters_input_takes_the_current_of_its_strings():
    assert _fact(_plan(inputs={"max_short_circuit_a": 12.5}), "string_short_circuit").verdict == FITS
    assert _fact(_plan(inputs={"max_short_circuit_a": 12.4}), "string_short_circuit").verdict == CANNOT_SAY
    assert _fact(_plan(inputs={"max_short_circuit_a": 9.9}), "string_short_circuit").verdict == DOES_NOT_FIT
    plan = _plan(inputs={"max_current_a": 9.0})
    assert plan.verdict == CANNOT_SAY and "loses output" in _fact(plan, "string_operating_current").sentence


def test_the_lowest_of_the_three_voltage_limits_decides():
    """600 V the dwelling's, 480 V the inverter's, 300 V the module's."""
    assert _plan(inputs={"max_v": 480}).most.value == 8          # 480 / 55.69 = 8.62
    assert _plan(module_max_system_v=300).most.value == 5        # 300 / 55.69 = 5.39


def test_no_string_length_is_right_for_a_narrow_inverter():
    plan = _plan(inputs={"min_v": 210, "max_v": 250})            # at least 7, at most 4
    assert plan.verdict == DOES_NOT_FIT and "no length is right" in plan.sentence


@pytest.mark.parametrize("changed", [{"conversion": "module-level"}, {"country": "FR"}, {"kind": "three families or "
                                                                                                 "more"},
                                     {"edition": 2026}])
def test_nothing_is_said_of_strings_where_there_are_none_or_the_rules_are_others(changed):
    assert string_plans(string_house(**changed)) == ()


def test_nothing_promises_anything():
    for changed in ({}, {"low_c": None}, {"dc_converters": True}, {"edition": None}, {"inputs": {"trackers": 1}}):
        plan = _plan(**changed)
        text = " ".join((plan.sentence, *plan.faces, *plan.photos, *(f.formula for f in plan.figures),
                         *(part for c in plan.checks for part in (c.sentence, c.caution, c.formula,
                                                                  *c.conditions)))).lower()
        assert not [phrase for phrase in FORBIDDEN if phrase in text]


@pytest.mark.parametrize("name", ["code_voc_factors.csv", "code_clauses_strings.csv", "code_factors_strings.csv"])
def test_every_row_names_its_source_and_the_day_it_was_seen(name):
    for row in csv.DictReader((TABLES / name).read_text(encoding="utf-8").splitlines()):
        assert row["source"].strip() and None not in row and None not in row.values()
        date.fromisoformat(row["seen_on"])


def test_every_edition_has_every_clause_of_strings():
    rows = list(csv.DictReader((TABLES / "code_clauses_strings.csv").read_text(encoding="utf-8").splitlines()))
    for rule in {row["rule"] for row in rows}:
        assert all(cite(rule, edition).startswith(f"NEC {edition}, ") for edition in editions())


VOLTS = st.floats(20, 90)
COEFFICIENT = st.floats(-0.5, -0.1)


@QUICK
@given(VOLTS, COEFFICIENT, st.floats(-50, 20), st.floats(0, 30), st.floats(60, 1000))
def test_a_colder_place_never_allows_more_modules(voc, coefficient, low_c, colder_by, limit_v):
    warm, cold = (most_modules(limit_v, cold_v(voc, coefficient, c)) for c in (low_c, low_c - colder_by))
    assert cold <= warm


@settings(max_examples=25, deadline=None)
@given(st.integers(-40, 20), st.integers(0, 20), st.booleans())
def test_a_colder_place_never_allows_more_modules_on_a_house(low_c, colder_by, by_table):
    changed = {"voc_coefficient_percent_per_c": None} if by_table else {}
    warm, cold = (_plan(low_c=c, **changed).most for c in (low_c, max(-40, low_c - colder_by)))
    assert cold.value <= warm.value


@QUICK
@given(VOLTS, COEFFICIENT, st.floats(-50, 20), st.floats(0, 60))
def test_a_module_more_a_string_never_lowers_its_voltage(volts, coefficient, low_c, high_c):
    for module_v in (cold_v(volts, coefficient, low_c), hot_v(volts, coefficient, high_c)):
        assert all((n + 1) * module_v > n * module_v for n in range(1, 30))


@QUICK
@given(VOLTS, st.floats(60, 1000))
def test_the_most_stay_under_the_limit_and_the_fewest_reach_it(module_v, limit_v):
    most, fewest = most_modules(limit_v, module_v), fewest_modules(limit_v, module_v)
    assert most * module_v <= limit_v + 1e-6 < (most + 1) * module_v + 2e-6
    assert (fewest - 1) * module_v - 2e-6 < limit_v - 1e-6 <= fewest * module_v


def test_a_string_that_meets_the_limit_exactly_loses_no_module_to_binary_fractions():
    assert most_modules(600, 600 / 7) == 7 and fewest_modules(600, 600 / 7) == 7
    assert most_modules(0.3, 0.1) == 3


INPUTS = st.builds(lambda fewest, more, trackers, side: Inputs(fewest, fewest + more, trackers, side),
                   st.integers(1, 8), st.integers(0, 8), st.integers(1, 4), st.integers(1, 3))


def _by_trial(count, inputs, trackers):
    """All ways by hand, one tracker after the other."""
    if trackers == 0 or count == 0:
        return count == 0
    return any(_by_trial(count - k * n, inputs, trackers - 1) for k in range(1, inputs.side_by_side + 1)
               for n in range(inputs.fewest, inputs.most + 1) if k * n <= count)


@QUICK
@given(st.integers(1, 40), INPUTS)
def test_a_split_is_found_where_trying_every_way_finds_one(count, inputs):
    found = split(count, inputs, inputs.side_by_side)
    assert (found is not None) == _by_trial(count, inputs, inputs.trackers)
    if found:
        assert sum(on.modules for on in found) == count and len(found) <= inputs.trackers
        assert all(inputs.fewest <= on.length <= inputs.most and on.strings <= inputs.side_by_side for on in found)


@QUICK
@given(st.integers(1, 40), INPUTS)
def test_the_numbers_nearby_can_be_strung_and_none_nearer_can(count, inputs):
    near = nearby(count, inputs)
    assert all(split_all([n], inputs) is not None for n in near)
    between = range(min(near, default=1), max(near, default=1) + 1)
    assert all(n in (*near, count) or split_all([n], inputs) is None for n in between)
