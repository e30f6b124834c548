"""Wires worked by others, each through a house and `conductor_checks`. Sources stand beside the numbers."""

import csv
from importlib import resources
from pathlib import Path

import pytest

from reportgen.describe.conductor import Conductor
from reportgen.interconnection.ampacity import ampacity, corrected_ampacity, dwelling_service_ampacity
from reportgen.interconnection.result import CANNOT_SAY, DOES_NOT_FIT, FITS
from reportgen.interconnection.voltage_rise import longest_run_ft
from reportgen.interconnection.wire_tables import (
    ambient_factor,
    count_factor,
    dwelling_service_size,
    equipment_ground,
    resistance,
    small_conductor_cap_a,
    table_ampacity_a,
)
from tests.interconnection.wired_houses import checks, wired

CODE = Path(__file__).resolve().parents[3] / "shared" / "data" / "code"
ATTIC = {"size": "8", "metal": "copper", "insulation_c": 90, "current_carrying": 4, "hottest_air_c": 50}
OVER_ROOF = {"size": "10", "metal": "copper", "insulation_c": 90, "current_carrying": 3, "hottest_air_c": 37}


def _facts(name):
    path = CODE / f"{name}.csv"
    if not path.exists():
        pytest.skip(f"{name}.csv with the facts gathered for this project lies beside it, and is not here")
    return list(csv.DictReader(path.read_text(encoding="utf-8").splitlines()))


def _own(name):
    text = (resources.files("reportgen") / "tables" / name).read_text(encoding="utf-8")
    return list(csv.DictReader(text.splitlines()))


@pytest.mark.parametrize("edition", [2017, 2020, 2023])
def test_a_32_a_inverter_through_a_hot_attic_on_8_awg_copper(edition):
    """55 × 0.82 × 0.80 = 36.08 A ≥ 32; next standard 40 A; 60 °C column 40 ≥ 40; equipment ground 10 AWG copper.
    Arithmetic on NEC Table 310.16, the factors of 310.15, 240.4(B) and Table 250.122."""
    found = checks(wired(ATTIC, edition=edition, inverter_a=32))
    terminals, heat, breaker, ground = (found[k] for k in ("terminal_ampacity", "corrected_ampacity", "wire_protection",
                                                           "equipment_ground"))
    assert (terminals.verdict, terminals.margin_a.value) == (FITS, pytest.approx(0))
    assert "at the terminals, 60 °C column: 40 A; needed 1.25 × 32 A = 40 A" in terminals.sentence
    assert (heat.verdict, heat.margin_a.value) == (FITS, pytest.approx(4.08))
    assert "55 A × 0.82 (air of 50 °C) × 0.80 (4 wires) = 36.08 A" in heat.sentence
    assert breaker.verdict == FITS and "36.08 A, next standard rating 40 A; the breaker is 40 A" in breaker.sentence
    assert "at least 10 AWG copper" in ground.sentence
    assert ampacity(Conductor(**ATTIC), edition, 40).a == pytest.approx(36.08)


def test_the_same_wires_between_terminals_marked_75_c():
    """75 °C column 50 ≥ 40: NEC Table 310.16."""
    found = checks(wired({**ATTIC, "terminals_c": 75}, inverter_a=32))["terminal_ampacity"]
    assert (found.verdict, found.margin_a.value) == (FITS, pytest.approx(10))
    assert found.caution == ""


def test_a_pipe_half_an_inch_above_the_roof_loses_more_than_one_at_an_inch():
    """37 °C outdoors: 70 °C in the pipe, 40 × 0.58 = 23.2 A; at one inch 40 × 0.91 = 36.4 A. Arithmetic on the tables."""
    near, far = (checks(wired({**OVER_ROOF, "above_roof_in": inches}, inverter_a=24))["corrected_ampacity"]
                 for inches in (0.5, 1.0))
    assert near.verdict == DOES_NOT_FIT and near.margin_a.value == pytest.approx(23.2 - 24)
    assert "air of 37 °C + 33 °C close to the roof = 70 °C" in near.sentence
    assert far.verdict == FITS and far.margin_a.value == pytest.approx(36.4 - 24)


def test_8_awg_with_75_c_insulation_half_an_inch_above_a_roof():
    """50 A × 0.33 = 16.5 A at 90 °F + 60 °F: licence-renewal course page 1315 on NEC 2023, 310.15(B)(2)."""
    wire = Conductor(size="8", metal="copper", insulation_c=75, current_carrying=3, hottest_air_c=32.2, above_roof_in=0.5)
    assert corrected_ampacity(wire, 2023).a == pytest.approx(16.5)


@pytest.mark.parametrize("edition, clause, verdict", [(2017, "310.15(B)(3)(c)", DOES_NOT_FIT),
                                                      (2020, "310.15(B)(2)", DOES_NOT_FIT), (2023, "310.15(B)(2)", FITS)])
def test_0_8_in_above_the_roof_counts_as_close_until_2020_and_not_in_2023(edition, clause, verdict):
    """7/8 in: licence-renewal course pages 277 (2017) and 879 (2020); 3/4 in: page 1315 (2023)."""
    found = checks(wired({**OVER_ROOF, "above_roof_in": 0.8}, edition=edition, inverter_a=24))["corrected_ampacity"]
    assert found.verdict == verdict
    assert f"NEC {edition}, {clause}" in found.clause


@pytest.mark.parametrize("edition, at_the_limit_in, at_the_limit_mm", [(2017, 0.875, 23), (2020, 0.875, 23), (2023, 0.75, 19)])
def test_the_height_as_printed_is_far_enough_in_inches_and_in_millimetres(edition, at_the_limit_in, at_the_limit_mm):
    for height in ({"above_roof_in": at_the_limit_in}, {"above_roof_mm": at_the_limit_mm}):
        assert corrected_ampacity(Conductor(**OVER_ROOF, **height), edition).a == pytest.approx(36.4)
    for height in ({"above_roof_in": at_the_limit_in - 0.01}, {"above_roof_mm": at_the_limit_mm - 0.1}):
        assert corrected_ampacity(Conductor(**OVER_ROOF, **height), edition).a == pytest.approx(23.2)


def test_xhhw_2_wires_are_spared_the_addition():
    """A trade teacher's article on 310.15(B)(3)(c) of the 2017 edition: the exception for type XHHW-2."""
    wire = Conductor(**OVER_ROOF, above_roof_in=0.2, insulation_xhhw2=True)
    assert all(corrected_ampacity(wire, edition).a == pytest.approx(36.4) for edition in (2017, 2020, 2023))


def test_a_7_6_kw_inverter_on_10_awg_copper_does_not_fit():
    """Photo caption, inspectors' association magazine, Sept/Oct 2020: 39.58 → 40 A; 240.4(D) caps 10 AWG copper at 30 A;
    8 AWG copper is the smallest. Nobody said how the wires run, so heat cannot be judged; the verdict stands all the same."""
    found = checks(wired({"size": "10", "metal": "copper"}, inverter_kw=7.6))
    assert (found["terminal_ampacity"].verdict, found["wire_protection"].verdict) == (DOES_NOT_FIT, DOES_NOT_FIT)
    assert found["corrected_ampacity"].verdict == CANNOT_SAY
    assert "1.25 × 31.67 A = 39.58 A" in found["terminal_ampacity"].sentence
    assert "no breaker above 30 A; the breaker is 40 A" in found["wire_protection"].sentence
    assert "Smallest copper size by the terminals alone: 8 AWG" in found["wire_protection"].sentence
    assert found["wire_protection"].clause == "NEC 2020, 240.4(B); NEC 2020, 240.4(D)"
    larger = checks(wired({"size": "8", "metal": "copper"}, inverter_kw=7.6))
    assert larger["terminal_ampacity"].verdict == FITS
    # marked for 75 °C, 10 AWG carries 35 A, still under 39.58 A
    assert checks(wired({"size": "10", "metal": "copper", "terminals_c": 75}, inverter_kw=7.6))["terminal_ampacity"].verdict == DOES_NOT_FIT


# One-way feet at which the rise reaches 1 % of 240 V, for one and for fourteen 270 W units. Source: circuit-calculation brief
# of a maker of module-level units, Nov 2015, which rounds to whole feet (38.5 ft is printed as 38); R from NEC Table 8.
@pytest.mark.parametrize("size, one_ft, fourteen_ft, ohm", [("12", 539, 38.5, 1.98), ("10", 860, 61, 1.24),
                                                            ("8", 1371, 98, 0.778), ("4", 3463, 247, 0.308)])
def test_voltage_rise_of_one_percent(size, one_ft, fourteen_ft, ohm):
    assert resistance("copper", size).ohm_per_kft == ohm
    assert longest_run_ft(1.0, 240, 1.125, ohm) == pytest.approx(one_ft, abs=0.5)
    assert longest_run_ft(1.0, 240, 14 * 1.125, ohm) == pytest.approx(fourteen_ft, abs=0.5)
    found = checks(wired({"size": size, "metal": "copper", "length_ft": fourteen_ft}, inverter_a=15.75))["voltage_rise"]
    assert found.verdict == FITS and found.margin_a.value == pytest.approx(1.0, abs=0.015)


def test_fourteen_units_on_their_cable_and_run():
    """n (n + 1) / 2 × i × 2 d R / 1000 and 2 L I R / 1000: arithmetic on Table 8; 2 % and 1 % by the same brief, a recommendation."""
    electrical = {"trunk": {"size": "12", "metal": "copper", "unit_spacing_ft": 3.4}}
    house = wired({"size": "10", "metal": "copper", "length_ft": 60}, conversion="module-level", module_count=14, unit_limit_w=270,
                  electrical=electrical)
    found = checks(house)
    cable = 14 * 15 / 2 * 1.125 * 2 * 3.4 * 1.98 / 1000
    run = 2 * 60 * 15.75 * 1.24 / 1000
    assert found["voltage_rise_trunk"].margin_a.value == pytest.approx(1 - cable / 2.4)
    assert found["voltage_rise"].margin_a.value == pytest.approx(2 - (cable + run) / 2.4)
    assert found["voltage_rise"].verdict == found["voltage_rise_trunk"].verdict == FITS
    assert "not a rule of the code" in found["voltage_rise"].caution


def test_dwelling_service_wires():
    """4 AWG copper or 2 AWG aluminum for 100 A, 2/0 copper or 4/0 aluminum for 200 A: NEC 2023, Table 310.12(A), one transcription."""
    calm = {"insulation_c": 75, "hottest_air_c": 30, "current_carrying": 2}
    for service_a, copper, aluminum in ((100, "4", "2"), (200, "2/0", "4/0")):
        for metal, size in (("copper", copper), ("aluminum", aluminum)):
            wire = Conductor(size=size, metal=metal, **calm)
            assert dwelling_service_ampacity(wire, service_a, 2023).a >= service_a
            house = wired({}, inverter_a=32, edition=2023, electrical={"service_a": service_a, "service_conductor": wire.model_dump()})
            check = checks(house)["dwelling_service"]
            assert check.verdict == FITS
            assert "one public source" in check.caution
    thinner = Conductor(size="1/0", metal="copper", **calm)
    assert dwelling_service_ampacity(thinner, 200, 2023).a < 200


@pytest.mark.parametrize("metal, size, column, current_a, older_a", [
    ("aluminum", "12", 60, 15, 20), ("aluminum", "8", 60, 35, 30), ("copper", "14", 60, 15, 20), ("copper", "12", 60, 20, 25),
    ("copper", "3", 90, 115, 110), ("copper", "1", 90, 145, 150)])
def test_the_ampacities_are_those_of_todays_table_and_not_of_the_older_one(metal, size, column, current_a, older_a):
    """NEC 2023 and 2017 transcriptions, 2022 California code; web copies of an older edition still print the last column."""
    assert table_ampacity_a(metal, size, column) == current_a != older_a


def test_ampacities_agree_with_the_facts_gathered_cell_by_cell():
    rows = _facts("ampacity_310_16")
    assert len(rows) == len(_own("code_ampacity.csv"))
    for row in rows:
        for column in (60, 75, 90):
            assert table_ampacity_a(row["material"], row["size_awg"], column) == float(row[f"ampacity_{column}C_A"])


def test_factors_agree_with_the_facts_gathered_cell_by_cell():
    rows = _facts("ambient_correction_30C")
    assert len(rows) == len(_own("code_ambient_factors.csv"))
    for row in rows:
        for column in (60, 75, 90):
            wanted = float(row[f"factor_{column}C_conductor"] or 0)
            for air_c in filter(None, (row["ambient_from_C"], row["ambient_to_C"])):
                assert ambient_factor(float(air_c), column) == wanted
    assert ambient_factor(85.1, 90) == 0
    for row in _facts("conductor_count_adjustment"):
        for number in filter(None, (row["current_carrying_from"], row["current_carrying_to"])):
            assert count_factor(int(number)) == float(row["percent_of_ampacity"]) / 100
    assert [count_factor(n) for n in (1, 2, 3)] == [1, 1, 1]


def test_grounds_and_caps_agree_with_the_facts_gathered_cell_by_cell():
    rows = _facts("egc_250_122")
    assert len(rows) == len(_own("code_equipment_ground.csv"))
    for row in rows:
        assert equipment_ground(float(row["ocpd_not_exceeding_A"])) == (row["egc_copper_awg"], row["egc_aluminum_awg"])
    caps = _facts("small_conductor_240_4_D")
    assert len(caps) == len(_own("code_small_conductors.csv"))
    for row in caps:
        assert small_conductor_cap_a(row["material"], row["size_awg"]) == float(row["max_ocpd_A"])
    assert small_conductor_cap_a("copper", "8") is None


def test_resistances_agree_with_the_facts_gathered_cell_by_cell():
    rows = _facts("resistance_ch9_table8")
    assert len(rows) == len(_own("code_wire_resistance.csv"))
    metric = {(row["metal"], row["size_awg"], row["stranding"]): row["ohm_per_km"] for row in _own("code_wire_resistance.csv")}
    for row in rows:
        metal = row["material"].removesuffix("_uncoated")
        found = resistance(metal, row["size_awg"], row["stranding"])
        assert found.ohm_per_kft == float(row["ohm_per_kft_75C"])
        assert float(metric[metal, row["size_awg"], row["stranding"]]) == float(row["ohm_per_km_75C"])
        assert bool(found.caution) == (row["double_checked"] != "yes")


def test_dwelling_services_agree_with_the_facts_gathered_cell_by_cell():
    rows = _facts("dwelling_service_310_12")
    assert len(rows) == len(_own("code_dwelling_service.csv"))
    for row in rows:
        for metal in ("copper", "aluminum"):
            assert dwelling_service_size(metal, float(row["service_rating_A"])) == row[metal]
