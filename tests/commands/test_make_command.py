"""`make` through the whole chain: files, the same bytes twice, plain lines when piped, a bar in a terminal."""

from __future__ import annotations

import io

import pytest

from reportgen.batch.progress import progress
from reportgen.batch.record import FAILED, MADE, Record
from reportgen.commands import main
from tests.batch.small_chain import write_house


def files_below(folder):
    return {p.relative_to(folder).as_posix(): p.read_bytes() for p in sorted(folder.rglob("*")) if p.is_file()}


@pytest.fixture
def made(tmp_path, monkeypatch, capfd):
    """A good house and a bad one, made once into ``one`` and once, by other processes, into ``two``."""
    monkeypatch.chdir(tmp_path)
    write_house(tmp_path / "sites" / "demo", "elm", name="The corner house")
    (tmp_path / "sites" / "demo" / "ash.yaml").write_text("name: Ash\n", encoding="utf-8")
    codes = [main(["make", "--to", "one"]), main(["make", "--to", "two"])]
    return tmp_path, codes, capfd.readouterr()


def test_a_bad_house_is_said_the_good_one_is_built_and_two_builds_give_the_same_bytes(made):
    top, codes, said = made
    assert codes == [1, 1] and said.err == ""
    lines = said.out.splitlines()
    assert "demo/elm: made" in lines and "demo/ash: failed" in lines
    assert any(line.startswith("demo: look at ") and line.endswith("one/demo/for-the-coach/index.html") for line in lines)
    one, two = files_below(top / "one" / "demo" / "to-share"), files_below(top / "two" / "demo" / "to-share")
    assert sorted(name.split("/")[1] for name in one) == ["electrician.pdf", "figures.json", "hours.csv", "index.html", "report.pdf"]
    assert one == two
    for content in one.values():
        assert str(top).encode() not in content and b"for-the-coach" not in content
    token = next(iter(one)).split("/")[0].encode()
    assert not [name for name, content in one.items() if token in content]
    coach = files_below(top / "one" / "demo" / "for-the-coach")
    assert sorted(coach) == ["electrician/elm.pdf", "houses.csv", "index.html"]
    assert b"The corner house" in coach["index.html"] and b"ash.yaml" in coach["index.html"]

    before = {p: p.stat().st_mtime_ns for p in (top / "one" / "demo" / "to-share").rglob("*")}
    assert main(["make", "sites/demo/elm.yaml", "--to", "one"]) == 0
    assert {p: p.stat().st_mtime_ns for p in (top / "one" / "demo" / "to-share").rglob("*")} == before


class Terminal(io.StringIO):
    def isatty(self):
        return True


@pytest.mark.parametrize(("out", "is_plain"), [(io.StringIO(), True), (Terminal(), False)], ids=["piped", "terminal"])
def test_progress_is_plain_lines_when_piped_and_a_bar_in_a_terminal(out, is_plain):
    with progress(2, out) as tell:
        tell("demo", Record("elm", MADE))
        tell("demo", Record("ash", FAILED, ("ash.yaml:1:1: nothing in it",)))
    said = out.getvalue()
    if is_plain:
        assert said == "demo/elm: made\ndemo/ash: failed\n  ash.yaml:1:1: nothing in it\n"
    else:
        assert "of 2 houses" in said and "\r" in said and "ash.yaml:1:1: nothing in it" in said
