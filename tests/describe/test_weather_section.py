"""What the weather section may say, and the sentence for each way it can be wrong."""

from __future__ import annotations

import pytest

from reportgen.describe.explain import explain

ARRAY = "{power_kw: 6.2, azimuth_deg: 200, slope_deg: 25, year_kwh: 7900, year: 2024}"


@pytest.mark.parametrize("section", [
    "{source: satellite}", "{source: satellite, years: [2014, 2023]}", "{annual_horizontal_kwh_m2: 1600}",
    f"{{nearby_arrays: [{ARRAY}]}}", f"{{source: satellite, nearby_arrays: [{ARRAY}, {ARRAY}]}}",
    "{nearby_arrays: [{power_kw: 6, facing: south-west, slope_deg: 20, mounting: ground, name: the school, year_kwh: 7000, year: 2023}]}"])
def test_good_sections_are_read(batch, good, section):
    assert not batch.load(good + f"weather: {section}\n").problems


@pytest.mark.parametrize(("section", "words"), [
    ("{source: satellite, years: [2023, 2014]}", "the first and the last, from 2001 on"),
    ("{source: satellite, years: [1995, 2014]}", "the first and the last, from 2001 on"),
    ("{source: satellite, years: [2014]}", "found 1 entries; at least 2"),
    ("{years: [2014, 2023]}", "years belongs to source: satellite"),
    ("{source: satelite}", "the nearest is satellite"),
    ("{source: satellite, file: weather/town.epw}", "there is no such file in the batch folder"),
    ("{nearby_arrays: [{power_kw: 6, slope_deg: 20, year_kwh: 7000, year: 2023}]}", "give one of facing or azimuth_deg"),
    ("{nearby_arrays: [{power_kw: 6, facing: south, slope_deg: 20, year_kwh: 7000}]}", "the key year is missing; write year: 2024"),
    ("{nearby_arrays: [{power_kw: 6, facing: south, slope_deg: 20, year_kwh: -1, year: 2023}]}", "kWh"),
    ("{annual_horizontal_kwh_m2: 5}", "a number of kWh/m² from 300 to 3,000"),
])
def test_a_wrong_section_is_told_in_a_sentence(batch, good, section, words):
    problems = batch.load(good + f"weather: {section}\n").problems
    assert any(words in problem.text() for problem in problems), [p.text() for p in problems]


@pytest.mark.parametrize("value", ["-17", "4.5"])
def test_a_design_low_temperature_is_a_fact_of_the_place(batch, good, value):
    described = batch.load(good.replace("country: US", f"country: US, design_low_c: {value}"))
    assert described.needed().place.design_low_c == float(value)
    assert not any("design_low_c" in line for line in explain(described))
    assert any("place.design_low_c: Extreme annual mean minimum" in line for line in explain(batch.load(good)))


def test_a_design_low_temperature_in_fahrenheit_is_told(batch, good):
    (problem,) = batch.load(good.replace("country: US", "country: US, design_low_c: 104")).problems
    assert "a number of °C from -60 to 25" in problem.text()
