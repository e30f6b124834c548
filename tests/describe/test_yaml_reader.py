"""YAML that two programs may read differently is refused, with the line, the column and the remedy."""

import pytest
import yaml

from reportgen.describe import yaml_reader


def test_a_key_written_twice_names_both_lines(batch, good):
    assert batch.texts(good.replace("  annual_kwh: 9000", "  annual_kwh: 9000\n  annual_kwh: 1")) == [
        "elm.yaml:9:3: use.annual_kwh: 'annual_kwh' is written twice, on lines 8 and 9; keep one"]


def test_a_section_written_twice_is_found_and_the_first_is_kept(batch, good):
    assert batch.texts(good + "place: {latitude: 95}\n") == ["elm.yaml:13:1: place: 'place' is written twice, on lines 3 and 13; keep one"]


@pytest.mark.parametrize("word", ["NO", "no", "yes", "Yes", "on", "off", "y", "n", "True", "FALSE"])
def test_old_words_for_yes_and_no_need_quotes(batch, good, word):
    # YAML 1.1 reads them as booleans: yaml.org/type/bool.html
    (text,) = batch.texts(good.replace("name: Elm", f"name: {word}"))
    assert text == (f'elm.yaml:1:7: name: found {word} without quotes, which some programs read as yes or no; '
                    f'write "{word}" for text, or true or false')


@pytest.mark.parametrize("written", ["6:12", "12:30", "190:20:30", "1:30.5"])
def test_base_60_needs_quotes(batch, good, written):
    # yaml.org/type/int.html and float.html
    (text,) = batch.texts(good.replace("slope_deg: 25", f"slope: {written}"))
    assert text == (f'elm.yaml:6:12: roof.0.slope: found {written} without quotes, which some programs read as a number in '
                    f'base 60; write "{written}"')


def test_a_slope_in_quotes_is_fine(batch, good):
    assert batch.load(good.replace("slope_deg: 25", 'slope: "6:12"')).house.roof[0].tilt_deg == pytest.approx(26.565, abs=1e-3)


@pytest.mark.parametrize(("written", "said"), [
    ("02134", "leading zero"), ("007.5", "leading zero"), ("1_000", "write a number without underscores, 1000"),
    ("0x1F", "another base"), ("0o17", "another base"), ("0b11", "another base"), ("NULL", "or null for nothing")])
def test_numbers_that_programs_read_differently(batch, good, written, said):
    (text,) = batch.texts(good.replace("name: Elm", f"name: {written}"))
    assert text.startswith("elm.yaml:1:7: name: found ")
    assert said in text


@pytest.mark.parametrize("written", ["NO", "6:12", "02134", "1_000", "0x1F", ".nan", "~", "true", "2026-11-25", "<<"])
def test_in_quotes_everything_is_text(batch, good, written):
    assert batch.load(good.replace("name: Elm", f'name: "{written}"')).house.name == written


def test_zero_and_plain_fractions_are_numbers(batch, good):
    assert batch.load(good.replace("fixed_per_month: 12", "fixed_per_month: 0")).house.tariff.fixed_per_month == 0
    assert batch.load(good.replace("fixed_per_month: 12", "fixed_per_month: 0.5")).house.tariff.fixed_per_month == 0.5


def test_anchors_aliases_and_merge_keys_are_refused_each(batch, good):
    texts = batch.texts(good.replace("use:", "use: &u").replace("tariff:\n", "tariff:\n  <<: *u\n"))
    assert texts == [
        "elm.yaml:7:6: use: found the anchor &u; leave it out (values shared by all houses go into batch.yaml)",
        "elm.yaml:10:3: tariff: found the merge key <<; write the values out (values shared by all houses go into batch.yaml)",
        "elm.yaml:10:7: tariff: found the alias *u; write the value out (values shared by all houses go into batch.yaml)"]


def test_an_alias_bomb_is_refused_before_it_grows(batch):
    bomb = "a: &a [x, x, x, x, x, x, x, x, x]\n"
    for name, before in zip("bcdefghi", "abcdefgh", strict=True):
        bomb += f"{name}: &{name} [{', '.join(['*' + before] * 9)}]\n"
    problems = batch.load(bomb).problems
    assert any("found the alias *a" in p.message for p in problems)
    assert len(problems) <= 101


@pytest.mark.parametrize("tagged", ["!!python/object/apply:os.system [ls]", "!mine x", "!!str 12", "! x"])
def test_tags_are_refused(batch, good, tagged):
    (text,) = batch.texts(good.replace("name: Elm", f"name: {tagged}"))
    assert text.startswith(f"elm.yaml:1:7: name: found the tag {tagged.split()[0]}; leave it out")


def test_a_template_mark_has_a_message_of_its_own(batch, good):
    assert batch.texts(good.replace("name: Elm", "name: {{ house }}")) == [
        ("elm.yaml:1:8: name: found {{ … }}: a house file is data, not a template; write the value itself, "
        "or put the whole text in quotes")]


@pytest.mark.parametrize(("line", "said"), [
    ("? [a, b]\n: 1\n", "where a key belongs"), ("12: x\n", "as a key"), ("true: x\n", "as a key"), ("on: x\n", "as a key"),
    ("2026: x\n", "as a key"), ("null: x\n", "as a key")])
def test_keys_are_names(batch, good, line, said):
    (text,) = batch.texts(good + line)
    assert text.startswith("elm.yaml:13:")
    assert said in text


@pytest.mark.parametrize(("name", "said"), [
    (r'"a\tb"', "U+0009"), (r'"a\u202eb"', "U+202E"), (r'"a\x00b"', "U+0000"), (r'"a\x1b[31m"', "U+001B"),
    (r'"a\uFFFFb"', "U+FFFF"), (r'"a\nb"', "line break"), ("|\n  a\n  b", "line break"), (r'"a\u2028b"', "U+2028")])
def test_hidden_characters_in_texts_are_refused(batch, good, name, said):
    (text,) = batch.texts(good.replace("name: Elm", f"name: {name}"))
    assert text.startswith("elm.yaml:1:7: name: found a ")
    assert said in text


def test_a_raw_control_character_is_found_in_its_place(batch, good):
    assert batch.texts(good.replace("Elm", "El\x07m")) == ["elm.yaml:1:9: found a hidden control character (U+0007); delete it"]


def test_accents_are_welcome_and_signs_that_the_report_cannot_set_are_named(batch, good):
    assert batch.load(good.replace("Elm", "Haus Größe, Łódź")).house.name == "Haus Größe, Łódź"
    (said,) = batch.texts(good.replace("Elm", "Haus 🏠"))
    assert "no sign for '🏠' (U+1F3E0); write it in Latin letters" in said


@pytest.mark.parametrize(("text", "place", "said"), [
    ("name: a: b\n", "1:8", "a colon stands where none can"),
    ("name: Elm\n\tuse: 1\n", "2:1", "found a tab; indent with spaces"),
    ("name: [a, b\n", "2:1", "not closed"),
    ('name: "Elm\n', "2:1", "never closed"),
    ("name: Elm\nuse\nroof: x\n", "3:1", "a key without its colon"),
    ("use:\n  annual_kwh: 1\n shape: x\n", "3:2", "does not fit the lines above"),
    ("name: @home\n", "1:7", "put the text in quotes"),
    ('name: "C:\\path"\n', "1:10", "use single quotes"),
    ("name: %x\n", "1:7", "put the text in quotes"),
])
def test_broken_syntax_is_told_plainly_with_its_place(batch, text, place, said):
    (first, *_) = [t for t in batch.texts(text) if said in t]
    assert first.startswith(f"elm.yaml:{place}: ")


def test_what_stands_before_broken_syntax_is_checked_too(batch, good):
    texts = batch.texts(good.replace("41.7", "95") + "losses: [\n")
    assert [t.split(": ")[0] for t in texts] == ["elm.yaml:3:9", "elm.yaml:14:1"]


def test_nothing_is_called_missing_when_the_end_could_not_be_read(batch):
    (text,) = batch.texts("name: Elm\nplace: {latitude: 41\n")
    assert "not closed" in text


@pytest.mark.parametrize(("depth", "column"), [(100, 26), (200_000, 1006)])   # the second is the parser's own limit
def test_nesting_has_a_limit(batch, good, depth, column):
    (text,) = batch.texts(good.replace("Elm", "[" * depth))
    assert text.startswith(f"elm.yaml:1:{column}: ")
    assert "nested" in text


def test_one_document_a_file(batch, good):
    assert batch.load("---\n" + good).problems == ()
    assert batch.texts(good + "---\n" + good) == [
        'elm.yaml:13:1: a second document starts here ("---"); one file describes one house']


@pytest.mark.parametrize("text", ["", "\n\n", "# only a comment\n"])
def test_an_empty_file_is_called_empty(batch, text):
    assert batch.texts(text) == ["elm.yaml: the file is empty; keys, each followed by a colon and its value, are expected"]


@pytest.mark.parametrize(("text", "said"), [("- a\n- b\n", "a list of 2 entries"), ("hello\n", "'hello'"), ("12\n", "found 12"), ("---\n", "nothing")])
def test_a_file_that_is_no_mapping(batch, text, said):
    (found,) = batch.texts(text)
    assert said in found
    assert "a house file holds keys such as name, place and roof" in found


def test_the_parser_in_python_alone_reads_the_same(batch, good, monkeypatch):
    fast = batch.load(good), batch.texts(good.replace("41.7", "95") + "x: &a NO\n? [a]\n: *a\n")
    monkeypatch.setattr(yaml_reader, "_LOADER", yaml.SafeLoader)
    assert (batch.load(good), batch.texts(good.replace("41.7", "95") + "x: &a NO\n? [a]\n: *a\n")) == fast
