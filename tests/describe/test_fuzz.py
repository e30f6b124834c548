"""Whatever bytes a file holds, load_house returns: a house, or problems with a place and a sentence."""

import tempfile
from pathlib import Path

import yaml
from hypothesis import example, given, settings
from hypothesis import strategies as st

from reportgen.describe.expected import keys_of
from reportgen.describe.load import load_house

from .conftest import GOOD

SECTIONS = keys_of(())
KEYS = st.sampled_from([*SECTIONS, *(k for s in SECTIONS for k in keys_of((s,))), *keys_of(("roof", 0)), "", "<<", "é", "a.b", "0"])
LEAVES = st.one_of(st.none(), st.booleans(), st.integers(), st.floats(), st.text(max_size=20), st.dates(),
                   st.sampled_from(["6:12", "NO", "south", "one-to-one", "net billing", "US", "../x", "2026-11-25", "x\0"]))
TREES = st.recursive(LEAVES, lambda inner: st.lists(inner, max_size=13) | st.dictionaries(KEYS, inner, max_size=6), max_leaves=30)
SYNTAX = st.lists(st.sampled_from([*"{}[]:,-?*&!|>'\"%@`#~ \n\t\\0a", "name", ": ", "- ", "\n  ", "---\n", "...\n", "<<", "roof", "{{", "é"]),
                  max_size=60).map("".join)
QUICK = settings(max_examples=60, deadline=None)


def _check(raw: bytes, batch: bytes | None = None):
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "elm.yaml"
        path.write_bytes(raw)
        if batch is not None:
            (Path(folder) / "batch.yaml").write_bytes(batch)
        described = load_house(path)
    assert (described.house is None) == bool(described.problems)
    for problem in described.problems:
        assert problem.message
        assert (problem.line is None) == (problem.column is None)
        assert problem.line is None or (problem.line >= 1 and problem.column >= 1)
        assert folder not in problem.text()
        assert "\n" not in problem.text()
        assert problem.text().isprintable()


@QUICK
@given(st.binary(max_size=300))
def test_any_bytes(raw):
    _check(raw)


@QUICK
@given(SYNTAX)
@example("{{ x }}")
@example("? ? ? a")
@example("- - - &a *a")
@example("%YAML 9.9\n---\na")
@example("[{}: [}")
@example("!<tag:yaml.org,2002:int> 3")
def test_any_heap_of_yaml_signs(text):
    _check(text.encode())
    _check(GOOD.encode(), text.encode())
    _check(GOOD.encode() + text.encode())


@QUICK
@given(TREES, TREES)
def test_any_tree(house, batch):
    _check(yaml.safe_dump(house, allow_unicode=True).encode("utf-8", "surrogatepass"),
           yaml.safe_dump({"defaults": batch}, allow_unicode=True).encode("utf-8", "surrogatepass"))


@QUICK
@given(st.data())
def test_a_good_house_with_one_value_changed(data):
    house = yaml.safe_load(GOOD)
    section = data.draw(st.sampled_from(SECTIONS))
    inner = keys_of((section,))
    if inner and data.draw(st.booleans()):
        house[section] = {**(house.get(section) or {}), data.draw(st.sampled_from(inner)): data.draw(TREES)}
    else:
        house[section] = data.draw(TREES)
    _check(yaml.safe_dump(house, sort_keys=False).encode("utf-8", "surrogatepass"))


@QUICK
@given(st.integers(0, len(GOOD) - 1), st.characters())
def test_a_good_house_with_one_character_changed(place, character):
    _check((GOOD[:place] + character + GOOD[place + 1:]).encode("utf-8", "surrogatepass"))
