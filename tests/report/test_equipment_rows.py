"""The equipment table: each value with what it comes from, and a way back to its working."""

from reportgen.chain import assess
from reportgen.climate.read import read_year
from reportgen.report.equipment import ASSUMED, SAID, equipment_rows
from tests.houses import house
from tests.report.built import assessed


def _rows(**changed):
    described = house(**changed)
    found = assess(described, read_year(described, None))
    return found, equipment_rows(found)


def _row(rows, start):
    return next(row for row in rows if row.label.startswith(start))


def test_what_was_said_assumed_or_taken_from_a_generic_module_is_told_apart():
    _, rows = _rows(array={"module_w": 400, "module_voc_v": 37.4, "module_vmp_v": 31.2, "inverter_kw": 6})
    assert _row(rows, "Module, rated power").source == SAID
    assert _row(rows, "Module, voltage").source == SAID
    assert _row(rows, "Module, nominal").source == ASSUMED
    assert _row(rows, "Module, sides").source == "typical of 400 W modules"
    assert _row(rows, "Inverter").source == f"{SAID}, efficiency assumed"


def test_nothing_said_is_assumed_throughout():
    _, rows = _rows()
    assert _row(rows, "Module, rated power").source == _row(rows, "Inverter").source == ASSUMED


def test_every_item_leads_to_a_figure():
    two = {"inverters": [{"name": "left", "limit_kw": 3}, {"name": "right", "limit_kw": 2}], "module_count": 14}
    units = {"conversion": "module-level", "unit_limit_w": 290, "module_count": 14}
    for array in ({}, two, units):
        found, rows = _rows(array=array)
        assert rows
        assert all(item.key in found.figures and item.words for row in rows for item in row.items)


def test_each_inverter_has_its_ratio():
    _, rows = _rows(array={"inverters": [{"name": "left", "limit_kw": 3}, {"name": "right", "limit_kw": 2}],
                           "array_kw": 6.0})
    assert [_row(rows, name).items[1].words for name in ("Left", "Right")] == ["DC/AC 1.20", "DC/AC 1.20"]


def test_another_number_of_modules_brings_as_many_units():
    """Where the size is assumed, the report tries fewer and more modules, and units come with them."""
    described = house(electrical={"edition": 2020}, array={"conversion": "module-level", "unit_limit_w": 290, "unit_output_a": 1.21})
    found = assess(described, read_year(described, None))
    modules = sum(face.module_count for face in found.production.faces)
    assert found.production.ac_limit_kw * 1000 == modules * 290
    size = next(e for e in found.effects if e.key == "array.module_count")
    per_module = [kwh / int(text.split()[0]) for kwh, text in zip(size.year_kwh, (size.low_text, size.high_text), strict=True)]
    assert abs(per_module[0] / per_module[1] - 1) < 1e-9
    assert found.connection.source_current.value == modules * 1.21


def test_sides_and_weight_stand_in_the_units_of_the_house():
    def words(name):
        return next([item.words for item in row.items] for row in equipment_rows(assessed(name)) if "sides" in row.label)
    assert [w.rpartition(" ")[2] for w in words("corner-house")] == ["in", "in", "lb"]
    assert [w.rpartition(" ")[2] for w in words("dyke-house")] == ["m", "m", "kg"]
    assert 66 < float(words("corner-house")[0].split(" ")[0]) < 70   # 1.72 m
