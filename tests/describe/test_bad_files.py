"""Files that can't be read as a house at all: one plain sentence each, no traceback, no path of the maker's machine."""

import os

import pytest

from reportgen.describe.load import load_house
from reportgen.describe.yaml_reader import LARGEST_BYTES


def _only(described):
    (problem,) = described.problems
    assert described.house is None
    assert problem.line is None
    return problem.text()


def test_a_missing_file(batch):
    assert _only(load_house(batch.folder / "oak.yaml")) == "sites/x/oak.yaml: there is no such file"


def test_a_folder(batch):
    assert _only(load_house(batch.folder)) == "sites/x: this is a folder; the name of a YAML file is expected"


def test_a_file_of_10_mb_is_refused_unread(batch, good):
    text = _only(batch.load(good + "# filling\n" * 1_000_000))
    assert text.startswith("sites/x/elm.yaml: the file has 10.0 MB and was not read")


def test_a_file_at_the_limit_is_read(batch, good):
    assert batch.load(good + "#" * (LARGEST_BYTES - len(good))).problems == ()


def test_a_binary_file(batch):
    assert "this is a binary file" in _only(batch.load(bytes(range(256))))


def test_a_file_that_is_not_utf_8(batch, good):
    text = _only(batch.load(good.replace("Elm", "Größe").encode("latin-1")))
    assert text == "sites/x/elm.yaml: line 1 holds a byte that is not UTF-8 text; save the file with the encoding UTF-8"
    assert "binary" in _only(batch.load(good.encode("utf-16")))


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="no named pipes on this system")
def test_a_pipe_is_not_waited_for(batch):
    os.mkfifo(batch.folder / "pipe.yaml")
    assert "not a plain file" in _only(load_house(batch.folder / "pipe.yaml"))


@pytest.mark.skipif(not hasattr(os, "geteuid") or os.geteuid() == 0, reason="root may read every file")
def test_a_file_that_may_not_be_read(batch, good):
    path = batch.write("elm.yaml", good)
    path.chmod(0)
    assert "may not read it" in _only(load_house(path))


def test_a_loop_of_links(batch):
    (batch.folder / "elm.yaml").symlink_to("elm.yaml")
    assert "can't be opened" in _only(load_house(batch.folder / "elm.yaml"))


@pytest.mark.parametrize("name", ["a\0b.yaml", "e" * 5000 + ".yaml"])
def test_names_that_no_file_can_have(batch, name):
    assert "can't be opened" in _only(load_house(batch.folder / name))


def test_the_batch_file_is_no_house(batch, good):
    assert "share" in _only(load_house(batch.write("batch.yaml", good)))


def test_no_problem_shows_a_path_of_the_machine(batch, tmp_path, monkeypatch):
    elsewhere = tmp_path / "elsewhere"
    elsewhere.mkdir()
    monkeypatch.chdir(elsewhere)
    text = load_house(batch.write("elm.yaml", "name: 12\n")).problems[0].text()
    assert text.startswith("x/elm.yaml:1:1: ")
    assert str(tmp_path) not in text


def test_a_name_with_control_characters_is_shown_without_them(batch):
    assert _only(load_house(batch.folder / "a\x1b[31m\nb.yaml")) == "sites/x/a?[31m?b.yaml: there is no such file"


def test_a_flood_of_problems_is_capped_and_counted(batch):
    problems = batch.load("".join(f"k{i}: 1\n" for i in range(5000))).problems
    assert "is not a key here" in problems[99].message
    assert len(problems) == 101
    assert problems[-1].text() == "sites/x/elm.yaml: and 4,906 more problems; mend these first"
