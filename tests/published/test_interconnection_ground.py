"""The equipment ground beside wires that are thicker than needed, and what a smaller main leaves, against published facts."""

import csv
from pathlib import Path

import pytest

import reportgen
from reportgen.interconnection.connect import connect
from reportgen.interconnection.wire_tables import circular_mils, resistance
from tests.interconnection.ways_houses import plain
from tests.interconnection.wired_houses import checks, wired

AREAS = list(csv.DictReader((Path(reportgen.__file__).parent / "tables" / "code_wire_area.csv").read_text(encoding="utf-8").splitlines()))
RUN = {"metal": "copper", "insulation_c": 90, "terminals_c": 75, "hottest_air_c": 30, "current_carrying": 3, "length_ft": 60}


def gauge(size: str) -> int:
    """Number of the gauge: 1/0 is 0, 4/0 is −3."""
    return 1 - int(size[0]) if "/" in size else int(size)


@pytest.mark.parametrize("row", AREAS, ids=lambda row: row["size_awg"])
def test_circular_mils_are_those_of_the_american_gauge(row):
    """ASTM B258: the diameter of gauge n is 5 × 92^((36 − n) / 39) mils; its square is the area in circular mils."""
    assert float(row["circular_mils"]) == pytest.approx((5 * 92 ** ((36 - gauge(row["size_awg"])) / 39)) ** 2, rel=0.0015)


@pytest.mark.parametrize("metal", ["copper", "aluminum"])
def test_area_times_resistance_is_one_number_as_it_is_one_metal(metal):
    """NEC Chapter 9, Table 8 (two transcriptions): ohm per 1000 ft; resistivity does not change with size."""
    products = [circular_mils(r["size_awg"]) * resistance(metal, r["size_awg"]).ohm_per_kft for r in AREAS]
    assert max(products) / min(products) < 1.01


def test_a_ground_grows_with_wires_that_are_thicker_than_the_breaker_needs():
    """NEC 250.122(B): 48 A on 60 A needs 6 AWG (65 A at 75 °C); with 4 AWG 10,380 × 41,740 / 26,240 = 16,511 circular mils, a
    hair above 8 AWG (16,510), so 6 AWG. Worked by a licensed electrician on an invented house."""
    found = plain(checks(wired({**RUN, "size": "4"}, inverter_a=48))["equipment_ground"].sentence)
    assert "at least 10 AWG copper or 8 AWG aluminum" in found and "where 6 AWG passes" in found
    assert "at least 6 AWG copper or 4 AWG aluminum" in found and "16,511 circular mils" in found


def test_a_ground_stays_with_the_breaker_where_the_wires_are_just_what_is_needed():
    ground = checks(wired({**RUN, "size": "6"}, inverter_a=48))["equipment_ground"]
    assert "grows" not in ground.sentence and "at least 10 AWG copper" in plain(ground.sentence)


def test_a_ground_is_never_larger_than_the_wires():
    """NEC 250.122(A)."""
    found = plain(checks(wired({**RUN, "size": "12"}, inverter_a=8))["equipment_ground"].sentence)
    assert "at least 12 AWG copper" in found.split("grows")[-1]


def test_heat_that_asks_for_thicker_wires_makes_no_larger_ground():
    """NEC 250.122(B) leaves out what the correction for heat asked for: 6 AWG at 75 °C insulation in 60 °C air carries
    65 × 0.58 = 37.7 A, 4 AWG 85 × 0.58 = 49.3 A for 48 A."""
    hot = {**RUN, "size": "4", "insulation_c": 75, "hottest_air_c": 60}
    assert "grows" not in checks(wired(hot, inverter_a=48))["equipment_ground"].sentence


def test_service_wires_leave_what_their_ampacity_is_above_83_percent():
    """NEC 310.12: 4/0 aluminum carries 180 A at 75 °C, 0.83 × 200 A = 166 A: 14 A left, in the edition's own words."""
    wire = {"size": "4/0", "metal": "aluminum", "insulation_c": 75, "terminals_c": 75, "current_carrying": 3, "hottest_air_c": 30}
    house = wired({**RUN, "size": "8"}, electrical={"service_conductor": wire, "service_a": 200}, inverter_a=32)
    check = next(c for c in connect(house).conductors if c.key == "dwelling_service")
    assert check.margin_a.value == pytest.approx(14) and "2023" not in check.sentence and "2023" in check.caution
