"""Strings against a corrected exercise sheet, the Code's own table and factors, and claims that must be turned down."""

from __future__ import annotations

import csv
from pathlib import Path

import pytest

from reportgen.interconnection.code_tables import factor, table_rows
from reportgen.interconnection.result import CANNOT_SAY, DOES_NOT_FIT, FITS
from reportgen.interconnection.string_voltage import table_factor
from reportgen.interconnection.strings import string_plans
from tests.interconnection.string_houses import face, string_house

FACTS = Path(__file__).resolve().parents[3] / "shared" / "data" / "code" / "voc_factor_690_7_A.csv"


def _figures(house):
    plan, = string_plans(house)
    return {f.key.removeprefix("interconnection.string_1_"): f.value for f in plan.figures}


def _check(house, key):
    plan, = string_plans(house)
    return next(check for check in plan.checks if check.key == key)


def test_the_coldest_morning_by_the_data_sheets_coefficient():
    """A student's exercise sheet, public document 504328218: Voc 50.8 V, −0.26 %/°C, −12 °C, 600 V. Corrected: the
    sheet takes 20 °C as the reference (55.03 V, 10.90) and prints 11; a data sheet's reference is 25 °C, and 10.77 is
    10."""
    found = _figures(string_house())
    assert found["cold_v"] == pytest.approx(55.69, abs=0.005)
    assert 600 / found["cold_v"] == pytest.approx(10.77, abs=0.005)
    assert found["most"] == 10
    assert "= 55.69 V" in _check(string_house(), "string_cold").sentence


def test_the_coldest_morning_by_the_codes_table():
    """The same sheet's module without its coefficient: NEC Table 690.7(A) gives 1.16 at −12 °C, 58.93 V, 10
    modules."""
    house = string_house(voc_coefficient_percent_per_c=None)
    found, check = _figures(house), _check(house, "string_cold")
    assert found["cold_v"] == pytest.approx(58.93, abs=0.005)
    assert found["most"] == 10
    assert "× 1.16 (NEC 2020, Table 690.7(A)" in check.sentence
    assert any("crystalline silicon" in condition for condition in check.conditions)


def test_the_hottest_afternoon_at_the_temperature_of_the_cell():
    """The same sheet, corrected to 25 °C: Vmp 42.0 V, −0.36 %/°C, cells at 45 + 32 = 77 °C, start at 120 V: 34.14 V,
    3.52, so 4 modules. Here the cells come to 77 °C as 42 °C air and 35 K."""
    found = _figures(string_house(high_c=42))
    assert found["hot_v"] == pytest.approx(34.14, abs=0.005)
    assert 120 / found["hot_v"] == pytest.approx(3.52, abs=0.005)
    assert found["fewest"] == 4


def test_the_current_of_a_string():
    """NEC 690.8(A)(1) and (B)(1), with the 2017 note on 156 percent, and 240.6(A): Isc 10 A gives 12.5, 15.63 and 20
    A."""
    found = _figures(string_house())
    assert (found["maximum_current_a"], found["conductor_a"], found["device_a"]) == (12.5, 15.625, 20)
    assert "15.63 A" in _check(string_house(), "string_device").sentence


def test_a_string_is_never_rounded_up():
    """Rejected web claim. 10.77 is 10 modules, so 11 in one string on one input do not fit."""
    one_input = {"trackers": 1}
    plan, = string_plans(string_house(face("back", 11), inputs=one_input))
    assert plan.verdict == DOES_NOT_FIT
    assert plan.most.value == 10
    assert string_plans(string_house(face("back", 10), inputs=one_input))[0].verdict == FITS


def test_the_hot_voltage_is_not_taken_at_the_temperature_of_the_air():
    """Rejected web claim. For 140 V the air's 42 °C would give 39.43 V a module and 4 modules (3.55); the cells' 77
    °C give 34.14 V and 5 (4.10)."""
    air_v = 42.0 * (1 - 0.36 / 100 * (42 - 25))
    found = _figures(string_house(high_c=42, inputs={"min_v": 140}))
    assert found["hot_v"] < air_v - 5
    assert found["fewest"] == 5
    assert 140 / air_v < 4
    assert "cells at 42 °C + 35 K = 77 °C" in _check(string_house(), "string_hot").sentence


@pytest.mark.parametrize("kind, limit_v, most", [
    (None, 600, 10), ("one family", 600, 10), ("two families", 600, 10), ("other building", 1000, 17),
])
def test_600_v_on_one_and_two_family_dwellings_and_1000_v_on_other_buildings(kind, limit_v, most):
    """NEC 690.7, 2017 transcription and 2022 California Electrical Code. 1000 V / 55.69 V = 17.96."""
    found = _figures(string_house(kind=kind, inputs={"max_v": 1100}))
    assert found["limit_v"] == limit_v
    assert found["most"] == most


@pytest.mark.parametrize("edition, clauses", [
    (2017, ("NEC 2017, 690.7(A)", "NEC 2017, 690.8(A)(1)", "NEC 2017, 690.9(A), exception")),
    (2020, ("NEC 2020, 690.7(A)", "NEC 2020, 690.8(A)(1)", "NEC 2020, 690.9(A)(1)")),
    (2023, ("NEC 2023, 690.7(A), number not seen in print", "NEC 2023, 690.8(A)(1), number not seen in print",
            "NEC 2023, 690.9(A)(1), number not seen in print")),
])
def test_each_edition_gives_its_own_clauses(edition, clauses):
    """NFPA 70-2017 transcription; 2022 California Electrical Code (= NEC 2020); Article 690 of NEC 2023 was not
    seen."""
    plan, = string_plans(string_house(edition=edition))
    cited = "; ".join(check.clause for check in plan.checks)
    assert all(clause in cited for clause in clauses)
    assert {f"NEC {e}" for e in (2017, 2020, 2023) if f"NEC {e}" in cited} == {f"NEC {edition}"}
    assert bool(_check(string_house(edition=edition), "string_cold").caution) == (edition == 2023)


def test_strings_of_converters_follow_their_maker():
    """NEC 690.7(B): the output of DC-to-DC converters follows their listing, so no string is worked out."""
    plan, = string_plans(string_house(dc_converters=True))
    assert plan.verdict == CANNOT_SAY
    assert plan.fewest is plan.most is None
    assert "maker hold instead" in plan.sentence


def test_no_device_is_needed_while_the_other_strings_stay_within_the_modules_fuse():
    """NEC 690.9(A), 2022 California Electrical Code: usually one or two strings. With 1.25 × 10 A a string and a 20 A
    fuse, one other string can feed 12.5 A, two others 25 A; then a device of 15.63 A, so 20 A, is needed, and the
    module takes it."""
    def sentence(strings, **array):
        return _check(string_house(face("back", 7 * strings), inputs={"trackers": 1, "strings_per_tracker": 3,
                                                                      "max_current_a": 60,
                                                                      "max_short_circuit_a": 60}, **array),
                      "string_device")
    assert "no device" in sentence(1).sentence and "no device" in sentence(2).sentence
    three = sentence(3)
    assert three.verdict == FITS and "each string needs a device of 20 A" in three.sentence
    assert sentence(3, module_max_fuse_a=15).verdict == DOES_NOT_FIT


def test_every_row_of_the_voltage_factors_is_the_gathered_one():
    """NEC Table 690.7(A), 2017 transcription and 2022 California Electrical Code, as gathered in the shared facts."""
    if not FACTS.exists():
        pytest.skip("the shared facts are not on this machine")
    gathered = list(csv.DictReader(FACTS.read_text(encoding="utf-8").splitlines()))
    ours = table_rows("code_voc_factors.csv")
    assert [(float(r["ambient_from_c"]), float(r["ambient_down_to_c"]), float(r["factor"])) for r in ours] == [
        (float(r["ambient_from_C"]), float(r["ambient_down_to_C"]), float(r["factor"])) for r in gathered]
    assert all((r["checked"] == "two or more public sources") == (g["double_checked"] == "yes")
               for r, g in zip(ours, gathered, strict=True))


@pytest.mark.parametrize("low_c, expected", [(24, 1.02), (20, 1.02), (19.5, 1.04), (0, 1.10), (-5, 1.12), (-5.5, 1.14),
                                             (-12, 1.16),
                                             (-25, 1.20), (-26, 1.21), (-40, 1.25), (-41, None)])
def test_rows_of_the_table_reach_down_to_their_colder_end(low_c, expected):
    """NEC Table 690.7(A); between two rows the colder one is taken (common practice, no source)."""
    assert table_factor(low_c) == expected


def test_both_factors_together_are_156_percent():
    """NEC 2017, note at 690.8(B)(1): 156 percent."""
    assert factor("string_maximum_current") * factor("string_conductor") == 1.5625
