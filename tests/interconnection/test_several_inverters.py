"""Several inverters, and units by their limit, on the busbar: currents and powers add up."""

import pytest

from reportgen.interconnection.connect import connect
from reportgen.interconnection.source_circuit import source_circuit
from reportgen.sizing import with_inverter_totals
from tests.interconnection.ways_houses import plain
from tests.production.years import face, filled

PANEL = {"busbar_a": 200, "main_breaker_a": 200, "edition": 2020, "source_position": "far end"}


def _house(array, **more):
    return filled(array={"inverter_kw": None, **array}, electrical=PANEL, **more)


def test_two_inverters_weigh_as_much_as_one_of_their_sum():
    two = connect(_house({"inverters": [{"limit_kw": 7.6, "output_a": 32}, {"limit_kw": 3.8, "output_a": 16}]}))
    one = connect(_house({"inverter_kw": 11.4, "inverter_a": 48}))
    assert two.source_current.value == one.source_current.value == 48
    assert two.verdict == one.verdict
    assert all("260 A against 240 A" in plain(found.sentence) for found in (two, one))
    assert two.sentence.startswith("New inverters") and one.sentence.startswith("A new inverter")
    assert [c.margin_a.value for c in two.checks[:2]] == [c.margin_a.value for c in one.checks[:2]]


def test_each_inverter_has_its_own_breaker():
    """1.25 × 32 A = 40 A and 1.25 × 16 A = 20 A, both standard ratings (NEC 240.6(A))."""
    house = with_inverter_totals(_house({"inverters": [{"name": "left", "limit_kw": 7.6, "output_a": 32},
                                                       {"name": "right", "limit_kw": 3.8, "output_a": 16, "count": 2}]}))
    circuit = source_circuit(house)
    assert [(f.label, f.value) for f in circuit.each] == [("Breaker for left", 40), ("Breaker for each right", 20)]
    assert circuit.current.value == 64
    assert circuit.current.formula == "32 A + 2 × 16 A = 64 A"
    keys = [f.key for f in connect(house).figures]
    assert len(set(keys)) == len(keys)
    assert "interconnection.inverter_2_device_a" in keys


def test_a_missing_current_is_power_by_voltage_and_said_so():
    house = with_inverter_totals(_house({"inverters": [{"name": "left", "limit_kw": 7.6, "output_a": 32},
                                                       {"name": "right", "limit_kw": 3.84}]}))
    assert house.array.inverter_a == pytest.approx(32 + 16)
    assert source_circuit(house).current.formula.endswith("power divided by voltage for right")


def test_units_give_their_data_sheets_current_each():
    house = with_inverter_totals(_house(
        {"module_count": None, "conversion": "module-level", "unit_limit_w": 290, "unit_output_a": 1.21},
        roof=[face(module_count=12)]))
    circuit = source_circuit(house)
    assert circuit.current.value == pytest.approx(12 * 1.21)
    assert circuit.branches[0].value == pytest.approx(1.21)
    assert circuit.branches[1].value == 13     # whole part of 0.8 × 20 A / 1.21 A = 13.2
