"""Wires: what is said where a fact is missing, feeders and service wires, and what must hold for any wire."""

from datetime import date

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from reportgen.describe.conductor import SIZES, Conductor
from reportgen.interconnection.ampacity import ampacity, asks, corrected_ampacity, terminal_ampacity, terminal_column_c
from reportgen.interconnection.code_tables import table_rows
from reportgen.interconnection.conductors import conductor_checks, conductor_photos
from reportgen.interconnection.result import CANNOT_SAY, DOES_NOT_FIT, FITS
from reportgen.interconnection.source_circuit import source_circuit
from reportgen.interconnection.voltage_rise import run_rise_v, trunk_rise_v
from reportgen.interconnection.wire_size import allowed_device_a, smallest_size
from reportgen.interconnection.wire_tables import sizes_of
from tests.interconnection.wired_houses import all_checks, checks, wired
from tests.report.words import FORBIDDEN

WHOLE = {"size": "6", "metal": "copper", "insulation_c": 90, "terminals_c": 75, "current_carrying": 2, "hottest_air_c": 38,
         "length_ft": 40}
GARAGE = {"name": "garage subpanel", "main": "lugs", "busbar_a": 125}
METERMAIN = {"name": "meter panel", "busbar_a": 200, "main_breaker_a": 200}


def photos(house):
    return conductor_photos(house, source_circuit(house))


def test_a_whole_description_gets_four_checks_and_the_voltage_in_order():
    house = wired(WHOLE, inverter_a=32)
    assert [c.key for c in all_checks(house)] == ["terminal_ampacity", "corrected_ampacity", "wire_protection", "equipment_ground",
                                                  "voltage_rise"]
    assert [c.verdict for c in all_checks(house)] == [FITS, FITS, FITS, CANNOT_SAY, FITS]
    assert photos(house) == ()


def test_without_any_wires_the_smallest_copper_size_by_the_terminals_is_named_and_nothing_judged():
    house = wired(None, inverter_a=48)
    found = checks(house)
    assert {c.verdict for c in found.values()} == {CANNOT_SAY}
    assert "Smallest copper size by the terminals alone: 4 AWG (70 A at 60 °C" in found["terminal_ampacity"].sentence
    assert "6 AWG where both ends are marked for 75 °C" in found["terminal_ampacity"].sentence
    assert "With 4 AWG copper, 162 ft one way makes 2 %" in found["voltage_rise"].sentence   # 4.8 V / (2 × 48 A × 0.308 ohm / 1000)
    assert "not there yet" in found["corrected_ampacity"].sentence      # nobody is sent to read wires that do not exist
    assert not any("electrician" in photo for photo in photos(house))


@pytest.mark.parametrize("key, words", [("insulation_c", "insulation"), ("hottest_air_c", "hottest air"),
                                        ("current_carrying", "number of wires")])
def test_a_missing_fact_of_the_way_is_named_and_asked_for_and_never_guessed(key, words):
    house = wired({**WHOLE, key: None}, inverter_a=32)
    found = checks(house)
    assert found["corrected_ampacity"].verdict == found["wire_protection"].verdict == CANNOT_SAY
    assert words in found["corrected_ampacity"].sentence
    assert found["corrected_ampacity"].margin_a is None
    assert len(photos(house)) == 1


def test_a_short_pipe_needs_no_count_of_its_wires():
    """NEC 310.15(C)(1): raceways of 24 in or less are exempt."""
    short, longer = ({**WHOLE, "current_carrying": 9, "pipe_length_in": inches} for inches in (24, 25))
    assert "1.00 (short pipe)" in checks(wired(short, inverter_a=32))["corrected_ampacity"].sentence
    assert "0.70 (9 wires)" in checks(wired(longer, inverter_a=32))["corrected_ampacity"].sentence
    uncounted = {**WHOLE, "current_carrying": None, "pipe_length_in": 18}
    assert checks(wired(uncounted, inverter_a=32))["corrected_ampacity"].verdict == FITS


def test_a_pipe_on_the_roof_lies_in_the_places_hottest_air_where_no_other_is_written():
    """37 °C + 33 °C: 40 × 0.58 = 23.2 A (NEC Table 310.16 and 310.15), the air from place.design_high_c."""
    roof = {**WHOLE, "size": "10", "hottest_air_c": None, "above_roof_mm": 10}
    found = checks(wired(roof, inverter_a=20).replaced("place.design_high_c", 37.0))["corrected_ampacity"]
    assert (found.verdict, found.margin_a.value) == (FITS, pytest.approx(3.2))
    assert any("37 °C; where the wires also pass an attic" in c for c in found.conditions)
    indoors = {**WHOLE, "hottest_air_c": None}
    assert checks(wired(indoors, inverter_a=20).replaced("place.design_high_c", 37.0))["corrected_ampacity"].verdict == CANNOT_SAY


def test_insulation_that_changes_nothing_need_not_be_read():
    """10 AWG copper marked 75 °C reaches 35 A at most, 39.6 A is needed; 4 AWG reaches 70 A in the 60 °C column already."""
    thin, thick = (checks(wired({"size": size, "metal": "copper", "terminals_c": 75}, inverter_kw=7.6)) for size in ("10", "4"))
    assert thin["terminal_ampacity"].verdict == thin["wire_protection"].verdict == DOES_NOT_FIT
    assert thick["terminal_ampacity"].verdict == FITS and thick["wire_protection"].verdict == CANNOT_SAY
    assert "were the insulation rated 60 °C" in thick["terminal_ampacity"].sentence


def test_air_too_hot_for_the_insulation_does_not_fit():
    found = checks(wired({**WHOLE, "insulation_c": 60, "hottest_air_c": 60}, inverter_a=1))["corrected_ampacity"]
    assert found.verdict == DOES_NOT_FIT and "the table has no factor" in found.sentence


def test_a_marking_nobody_read_decides_nothing():
    """6 AWG copper, 48 A: 55 A in the 60 °C column is too little, 65 A in the 75 °C column is enough."""
    house = wired({**WHOLE, "terminals_c": None}, inverter_a=48)
    found = checks(house)["terminal_ampacity"]
    assert found.verdict == CANNOT_SAY and "the marking decides" in found.sentence and found.margin_a is None
    assert any("terminals are marked" in photo for photo in photos(house))
    assert checks(wired({**WHOLE, "terminals_c": 60}, inverter_a=48))["terminal_ampacity"].verdict == DOES_NOT_FIT
    assert checks(wired({**WHOLE, "terminals_c": 75}, inverter_a=48))["terminal_ampacity"].verdict == FITS


def test_terminals_never_count_at_90_and_change_column_above_100_a():
    """NEC 110.14(C)(1)."""
    wire = Conductor(size="1/0", metal="copper", insulation_c=90)
    assert [terminal_column_c(wire, device_a) for device_a in (100, 110)] == [60, 75]
    assert terminal_column_c(Conductor(size="1", metal="copper"), None) == 60
    assert terminal_column_c(Conductor(size="1/0", metal="copper"), None) == 75
    assert terminal_column_c(Conductor(size="1/0", metal="copper", insulation_c=60), 200) == 60
    assert terminal_ampacity(wire, 200).a == 150


def test_ampacity_names_what_is_missing_and_how_to_find_it():
    found = ampacity(Conductor(size="8", metal="copper"), 2020, 40)
    assert found.a is None and len(found.missing) == 3 and len(asks(found.missing)) == 3


def test_each_feeder_carries_the_array_and_the_sources_behind_it():
    feeder = {"size": "3", "metal": "copper", "insulation_c": 90, "terminals_c": 75, "current_carrying": 3, "hottest_air_c": 30,
              "breaker_a": 100}
    old = {"name": "old array", "breaker_a": 20, "output_a": 16}
    house = wired(WHOLE, panels=[{**GARAGE, "sources": [old], "feeder": feeder}, METERMAIN], inverter_a=32)
    found = checks(house, "feeder of the garage subpanel")
    assert list(found) == ["terminal_ampacity", "corrected_ampacity", "wire_protection", "equipment_ground"]
    assert "1.25 × (32 A + 16 A) = 60 A" in found["terminal_ampacity"].sentence
    assert found["terminal_ampacity"].margin_a.value == pytest.approx(40)
    assert found["wire_protection"].verdict == FITS and "8 AWG copper" in found["equipment_ground"].sentence
    assert "NEC 2020, 705.12(B)(1)" in found["terminal_ampacity"].clause


def test_a_feeder_nobody_described_cannot_be_judged():
    house = wired(WHOLE, panels=[GARAGE, METERMAIN], inverter_a=32)
    assert {c.verdict for c in checks(house, "feeder of the garage subpanel").values()} == {CANNOT_SAY}
    assert any(photo.startswith("Feeder of the garage subpanel: ") for photo in photos(house))


def test_a_feeder_with_a_dwellings_whole_load_may_follow_the_service_rule():
    """2/0 copper on 200 A: 175 A at the terminals is under 200 A, the 83 % rule allows it (NEC 310.12, table from one source)."""
    feeder = {"size": "2/0", "metal": "copper", "insulation_c": 90, "terminals_c": 75, "current_carrying": 2, "hottest_air_c": 30,
              "breaker_a": 200}
    inside = {"name": "main panel", "main": "lugs", "busbar_a": 200, "feeder": feeder}
    for loads, verdict in (([], FITS), ([30], DOES_NOT_FIT), (None, DOES_NOT_FIT)):
        house = wired(WHOLE, panels=[inside, {**METERMAIN, "load_breakers_a": loads}], inverter_a=32)
        found = checks(house, "feeder of the main panel")
        assert found["wire_protection"].verdict == verdict
        assert ("dwelling_service" in found) == (loads == [])


def test_service_wires_whose_way_nobody_knows_cannot_be_judged_but_too_thin_ones_can():
    enough, thin = (wired(WHOLE, inverter_a=32, electrical={"service_conductor": {"size": size, "metal": "copper"}})
                    for size in ("2/0", "1/0"))
    assert checks(enough)["dwelling_service"].verdict == CANNOT_SAY
    assert "carries a dwelling's service of 200 A" in checks(enough)["dwelling_service"].sentence
    assert any(photo.startswith("Service wires: ") for photo in photos(enough))
    assert checks(thin)["dwelling_service"].verdict == DOES_NOT_FIT


def test_a_rise_above_the_recommendation_sends_to_the_maker_and_never_fails():
    found = checks(wired({**WHOLE, "length_ft": 400}, inverter_a=32))["voltage_rise"]
    assert found.verdict == CANNOT_SAY and found.margin_a.value < 0
    assert "ask the inverter's maker" in found.sentence and "not a rule of the code" in found.caution


def test_at_208_v_the_same_rise_is_a_larger_share():
    at = {volts: checks(wired(WHOLE, inverter_a=32, service_v=volts))["voltage_rise"].margin_a.value for volts in (240, 208)}
    assert (2 - at[208]) / (2 - at[240]) == pytest.approx(240 / 208)


def test_a_trunk_nobody_described_leaves_the_sum_open():
    house = wired(WHOLE, conversion="module-level", module_count=12, unit_limit_w=300)
    found = checks(house)
    assert found["voltage_rise"].verdict == found["voltage_rise_trunk"].verdict == CANNOT_SAY
    assert "So far: 2 × 40 ft" in found["voltage_rise"].sentence
    assert any("between two units" in photo for photo in photos(house))
    assert "12 AWG" not in found["voltage_rise_trunk"].sentence     # no size is taken for granted


def test_the_cable_of_one_unit_is_a_run():
    assert trunk_rise_v(1, 1.2, 10, 1.98) == pytest.approx(run_rise_v(10, 1.2, 1.98))
    # three units by hand: 3 i, 2 i and 1 i over one piece each
    assert trunk_rise_v(3, 1.2, 10, 1.98) == pytest.approx(sum(run_rise_v(10, n * 1.2, 1.98) for n in (3, 2, 1)))


def test_outside_the_known_editions_no_wire_is_judged():
    circuit = source_circuit(wired(WHOLE, inverter_a=32))
    for edition in (None, 2014, 2026):
        house = wired(WHOLE, inverter_a=32, edition=edition)
        assert conductor_checks(house, circuit) == () and conductor_photos(house, circuit) == ()


@pytest.mark.parametrize("edition", [2017, 2020, 2023])
def test_every_clause_carries_its_edition_and_no_sentence_promises_anything(edition):
    house = wired(WHOLE, inverter_a=32, edition=edition,
                  electrical={"service_conductor": {"size": "2/0", "metal": "copper"}})
    keys = [(c.key, c.where) for c in all_checks(house)]
    assert len(set(keys)) == len(keys)
    for check in all_checks(house):
        assert all(part.startswith(f"NEC {edition}, ") for part in check.clause.split("; "))
        text = " ".join((check.sentence, check.caution, *check.conditions, check.name)).lower()
        assert not any(word in text for word in FORBIDDEN)


wires = st.fixed_dictionaries({
    "metal": st.sampled_from(["copper", "aluminum"]), "insulation_c": st.sampled_from([60, 75, 90]),
    "terminals_c": st.sampled_from([None, 60, 75]), "current_carrying": st.integers(1, 45),
    "hottest_air_c": st.floats(-20, 80), "above_roof_in": st.sampled_from([None, 0.5, 0.8, 2.0])})


@settings(max_examples=30, deadline=None)
@given(wires, st.floats(1, 190), st.sampled_from([2017, 2020, 2023]), st.data())
def test_a_larger_wire_never_turns_fits_into_does_not_fit(wire, current_a, edition, data):
    sizes = sizes_of(wire["metal"])
    first = data.draw(st.integers(0, len(sizes) - 2))
    small, large = (checks(wired({**wire, "size": sizes[i]}, inverter_a=current_a, edition=edition))
                    for i in (first, data.draw(st.integers(first + 1, len(sizes) - 1))))
    for key in ("terminal_ampacity", "corrected_ampacity", "wire_protection"):
        assert small[key].verdict != FITS or large[key].verdict == FITS


@settings(max_examples=40, deadline=None)
@given(wires, st.sampled_from(SIZES[1:]), st.floats(0, 40), st.sampled_from([2017, 2020, 2023]))
def test_hotter_air_or_more_wires_never_help(wire, size, warmer_c, edition):
    cool = Conductor(**wire, size=size)
    hot = cool.model_copy(update={"hottest_air_c": cool.hottest_air_c + warmer_c})
    crowded = cool.model_copy(update={"current_carrying": cool.current_carrying + 7})
    least = corrected_ampacity(cool, edition).a
    assert corrected_ampacity(hot, edition).a <= least and corrected_ampacity(crowded, edition).a <= least
    assert ampacity(hot, edition, 60).a <= ampacity(cool, edition, 60).a


@settings(max_examples=40, deadline=None)
@given(st.floats(0.5, 180), st.sampled_from(["copper", "aluminum"]), st.sampled_from([None, 60, 75]))
def test_the_smallest_size_passes_and_the_next_thinner_does_not(current_a, metal, terminals_c):
    device_a = source_circuit(wired(None, inverter_a=current_a)).device.value
    wire = smallest_size(current_a, device_a, 2020, metal, terminals_c)
    sizes = sizes_of(metal)

    def passes(candidate):
        ends_a = terminal_ampacity(candidate.model_copy(update={"insulation_c": 90}), device_a).a
        return ends_a >= 1.25 * current_a - 1e-6 and allowed_device_a(ends_a, candidate, 2020) >= device_a
    if wire is None:
        assert not passes(Conductor(size=sizes[-1], metal=metal, terminals_c=terminals_c))
        return
    assert passes(wire)
    if wire.size != sizes[0]:
        assert not passes(wire.model_copy(update={"size": sizes[sizes.index(wire.size) - 1]}))


@pytest.mark.parametrize("name", ["code_ampacity", "code_ambient_factors", "code_count_factors", "code_equipment_ground",
                                  "code_small_conductors", "code_wire_resistance", "code_dwelling_service",
                                  "code_clauses_conductors", "code_factors_conductors"])
def test_every_row_of_the_wire_tables_names_its_source_and_the_day_it_was_seen(name):
    for row in table_rows(f"{name}.csv"):
        assert row["source"].strip() and None not in row and None not in row.values()
        date.fromisoformat(row["seen_on"])
        assert name == "code_factors_conductors" or row["checked"] in ("two or more public sources", "one public source",
                                                                       "from memory", "not seen")
