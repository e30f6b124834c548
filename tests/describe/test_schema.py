"""The JSON Schema that editors use says the same as the models."""

import json
import re

from reportgen.describe import expected, schema
from reportgen.describe.fields import Section
from reportgen.describe.models import House


def test_the_file_is_as_the_models_are():
    assert schema.FILE.read_text(encoding="utf-8") == schema.text(), "run: python -m reportgen.describe.schema"


def test_every_key_carries_its_sentence():
    nodes = schema.house_schema()
    for name, node in {"House": nodes, **nodes["$defs"]}.items():
        for key, value in node["properties"].items():
            assert value.get("description") or "$ref" in json.dumps(value), f"{name}.{key}"


def test_a_tariff_may_be_a_name_a_section_or_nothing():
    kinds = schema.house_schema()["properties"]["tariff"]["anyOf"]
    assert [k.get("type") or k["$ref"] for k in kinds] == ["string", "#/$defs/Tariff", "null"]


def test_shade_may_be_one_number():
    kinds = schema.house_schema()["$defs"]["RoofFace"]["properties"]["shade_percent"]["anyOf"]
    assert [k["type"] for k in kinds] == ["number", "array", "null"]


def test_nothing_is_required_that_the_batch_may_give():
    found = schema.house_schema()
    assert "required" not in found
    assert not {name for name, node in found["$defs"].items() if "required" in node} & set(schema.MERGED)
    assert "name, report_day, place, roof, use, tariff" in found["description"]


def test_only_house_keys_may_stand_in_a_house():
    found = schema.house_schema()
    assert all(node["additionalProperties"] is False for node in (found, *found["$defs"].values()))


def _models(model=House, seen=None):
    seen = {} if seen is None else seen
    for section in Section.__subclasses__():
        seen[section.__name__] = section
    return seen.values()


def test_every_needed_key_has_an_example_and_every_pattern_has_words():
    for model in _models():
        for name, field in model.model_fields.items():
            if field.is_required():
                assert name in expected.EXAMPLES, f"{model.__name__}.{name}"
    for pattern in re.findall(r'"pattern": "((?:[^"\\]|\\.)*)"', json.dumps(expected.schema())):
        assert json.loads(f'"{pattern}"') in expected.PATTERNS


def test_what_is_expected_is_said_for_every_key():
    for section in expected.keys_of(()):
        node = expected.node_at((section,))
        below = (section, 0) if node.get("type") == "array" else (section,)
        for key in expected.keys_of(below):
            said = expected.expected_at((*below, key))
            assert said != "another value"
            if expected.node_at((*below, key)).get("type") == "number":
                assert expected.unit_of(key), f"{section}.{key} has no unit in words"
