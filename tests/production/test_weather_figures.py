"""What the report says of how sure its sun is, and of the cold that strings must bear."""

from __future__ import annotations

import pytest

from reportgen.climate.atlas import atlas_year
from reportgen.climate.read import read_year
from reportgen.production.chain import produce
from reportgen.production.spread import spread_of
from tests.climate.files import PVLIB_DATA
from tests.houses import house
from tests.production.years import filled, greensboro


def figure(made, key):
    return next(f for f in made.figures if f.key == key)


def test_without_a_design_low_temperature_strings_can_not_be_judged_and_the_report_says_where_to_find_it():
    made = produce(filled(), greensboro())
    assert figure(made, "climate.design_low_c").value is None
    (note,) = [n for n in made.notes if "string: cannot say" in n]
    assert "ASHRAE Handbook of Fundamentals" in note and "building office" in note and "extreme annual mean minimum" in note


def test_a_design_low_temperature_is_printed_and_changes_no_energy():
    with_it = produce(filled(place={"design_low_c": -17}), greensboro())
    assert figure(with_it, "climate.design_low_c").text() == "−17 °C"
    assert any("−17 °C as the design low temperature" in note for note in with_it.notes)
    assert with_it.year.value == produce(filled(), greensboro()).year.value


def test_units_under_each_module_have_no_long_string_to_judge():
    made = produce(filled(array={"conversion": "module-level"}), greensboro())
    assert not any("string: cannot say" in note for note in made.notes)


def test_atlas_file_and_satellite_have_ranges_of_their_own_and_the_report_says_so():
    atlas = produce(filled(), atlas_year(36.1, -79.9))
    file = produce(filled(), read_year(house(place={"longitude": -79.9}, weather={"source": "file", "file": "723170TYA.CSV"}),
                                       PVLIB_DATA))
    for made, percent in ((atlas, 8.5), (file, 5.0)):
        assert figure(made, "climate.weather_sigma_percent").value == pytest.approx(percent)
        (note,) = [n for n in made.notes if n.startswith("The sun here is known to")]
        for words in ("8.5 % from the embedded atlas", "6 % from satellite hours", "5 % from a weather file"):
            assert words in note
    assert atlas.spread.one_year_sigma > file.spread.one_year_sigma


def test_every_part_of_the_range_has_its_source_and_all_are_listed():
    parts = produce(filled(), atlas_year(36.1, -79.9)).spread.parts
    assert all(part.source for part in parts)
    labels = " | ".join(part.label for part in parts)
    for words in ("single year", "weather data", "roof's plane", "label", "Dirt", "Snow", "Shade", "out of service"):
        assert words in labels


def test_snow_widens_the_range_only_where_winter_is_cold():
    warm, cold = (spread_of(atlas_year(latitude, longitude)) for latitude, longitude in ((28.0, -82.5), (45.0, -93.2)))
    assert [any(part.label == "Snow" for part in spread.parts) for spread in (warm, cold)] == [False, True]


def test_shade_widens_the_range():
    shaded = [{"facing": "south", "slope_deg": 30, "shade_percent": 25}]
    assert produce(filled(roof=shaded), greensboro()).spread.one_year_sigma > produce(filled(), greensboro()).spread.one_year_sigma
