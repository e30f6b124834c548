"""The module's data: what the house file says goes before the generic row."""

import pytest

from reportgen.describe.assumptions import complete, row_for
from reportgen.describe.module_table import DEFAULT, generic_modules
from reportgen.production.chain import produce
from reportgen.production.module import module_of
from tests.houses import house
from tests.production.years import filled, greensboro


def test_without_a_word_the_module_has_400_w():
    found = module_of(house())
    assert (found.name, found.power_w) == (DEFAULT, 400) == ("mono 400 W", 400)
    assert found.said == frozenset()


def test_the_default_row_and_the_assumptions_say_the_same():
    row = generic_modules()[DEFAULT]
    for path, value in (("array.module_w", row.power_w), ("array.module_noct_c", row.noct_c),
                        ("array.power_coefficient_percent_per_c", row.power_coefficient_percent_per_c)):
        assert row_for(path, True)["value"] == value


@pytest.mark.parametrize(("power", "name"), [(320, "mono 320 W"), (345, "mono 320 W"), (410, "mono 400 W"),
                                             (415, "mono 400 W"), (440, "mono 430 W"), (700, "mono 430 W")])
def test_without_a_name_the_row_nearest_in_power_is_taken(power, name):
    found = module_of(house(array={"module_w": power}))
    assert found.name == name
    assert found.power_w == power
    assert found.vmp_v * found.imp_a == pytest.approx(power)


def test_a_named_module_brings_its_power_and_its_behaviour_in_heat():
    completed, assumptions = complete(house(array={"module": "mono 430 W"}))
    assert completed.array.module_w == 430
    assert completed.array.power_coefficient_percent_per_c == generic_modules()["mono 430 W"].power_coefficient_percent_per_c
    assert "array.module_w" not in [a.path for a in assumptions]
    heat = next(a for a in assumptions if a.path == "array.power_coefficient_percent_per_c")
    assert heat.low <= heat.value <= heat.high
    assert "mono 430 W" in heat.source


def test_what_the_house_file_says_goes_before_the_row():
    array = {"module": "mono 370 W", "module_w": 375, "module_voc_v": 41.8, "module_long_mm": 1700, "module_imp_a": 10.5}
    found = module_of(house(array=array))
    assert (found.power_w, found.voc_v, found.long_m, found.imp_a) == (375, 41.8, 1.7, 10.5)
    assert found.vmp_v == pytest.approx(375 / 10.5)
    assert found.short_m == generic_modules()["mono 370 W"].short_mm / 1000
    assert found.said == {"power_w", "voc_v", "long_m", "imp_a"}
    assert found.source_of("voc_v") == "the house file"
    assert "from memory" in found.source_of("weight_kg")


def test_every_generic_module_is_one_that_can_be():
    """Rows are from memory, so they are held to physics: power is voltage times current within what digits allow; a
    cell of crystalline silicon gives 0.5 to 0.6 V at full power and a fill factor of 0.74 to 0.84 (textbooks, from
    memory); under full sun 17 to 24 % of it."""
    for row in generic_modules().values():
        assert row.vmp_v * row.imp_a == pytest.approx(row.power_w, rel=0.005)
        assert 0.74 <= row.power_w / (row.voc_v * row.isc_a) <= 0.84
        assert 0.17 <= row.power_w / (row.long_mm * row.short_mm / 1e6 * 1000) <= 0.24
        assert row.power_coefficient_percent_per_c < row.voc_coefficient_percent_per_c < 0
        assert row.isc_a < row.max_fuse_a
        assert 10 <= row.weight_kg / (row.long_mm * row.short_mm / 1e6) <= 13
        assert row.source and row.seen_on


def test_a_module_that_bears_heat_better_gives_more():
    plain, better = (produce(filled(array={"module": name, "array_kw": 8.0}), greensboro()).year.value
                     for name in ("mono 400 W", "mono 430 W"))
    assert better > plain


def test_the_figures_carry_the_modules_data_each_with_its_source():
    made = produce(filled(array={"module_voc_v": 37.4}), greensboro())
    figures = {f.key: f for f in made.figures}
    assert figures["production.module.voc_v"].value == 37.4
    assert figures["production.module.voc_v"].sources == ("the house file",)
    assert "mono 400 W" in figures["production.module.weight_kg"].sources[0]
    assert made.module.voc_v == 37.4
