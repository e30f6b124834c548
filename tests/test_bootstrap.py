"""From a fresh clone to the first command, on machines that lack this or that. No machine is changed: another is handed in."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest

from reportgen import bootstrap
from reportgen.bootstrap import PDF_PACKAGES, Machine, main, missing_pdf_libraries

CLONE = Path(__file__).resolve().parents[1]
EVERYTHING = frozenset({"apt-get", "sudo"})


class Elsewhere:
    """A machine made up for a test. It notes every command; installing Pango or the venv part makes it be there."""

    def __init__(self, root=True, sudo_asks=False, tools=EVERYTHING, has_pango=True, has_venv=True, pip_works=True,
                 installs_work=True):
        self.commands = []
        self.root, self.sudo_asks, self.tools, self.has_pango, self.has_venv = root, sudo_asks, tools, has_pango, has_venv
        self.pip_works, self.installs_work = pip_works, installs_work

    def machine(self):
        return Machine(run=self.run, which=lambda tool: tool if tool in self.tools else None, is_root=lambda: self.root,
                       load_library=self.load, find_module=lambda name: object() if self.has_venv else None)

    def load(self, name):
        if not self.has_pango and "pango" in name:
            raise OSError(f"{name}: cannot open shared object file")

    def run(self, command):
        self.commands.append(" ".join(command))
        line = self.commands[-1]
        if line == "sudo -n true":
            return (1, "a password is required") if self.sudo_asks else (0, "")
        if "-m venv" in line:
            python = Path(command[-1]) / "bin" / "python"
            python.parent.mkdir(parents=True)
            python.write_text("", encoding="utf-8")
        if "-m pip install" in line:
            return (0, "") if self.pip_works else (1, "ERROR: no route to host")
        if " install " in line:
            if not self.installs_work:
                return 100, "E: Unable to locate package"
            self.has_pango = self.has_pango or "libpango-1.0-0" in line or " pango" in line
            self.has_venv = self.has_venv or "-venv" in line
        return 0, ""

    def system_installs(self):
        return [line for line in self.commands if "apt-get install" in line or "dnf install" in line]


@pytest.fixture
def clone(tmp_path):
    (tmp_path / "pyproject.toml").write_text("[project]\n", encoding="utf-8")
    return tmp_path


def run(clone, elsewhere, *arguments, result=0):
    started = []

    def start(command, cwd):
        started.append(command)
        assert cwd == clone
        return result
    return main(list(arguments), clone=clone, machine=elsewhere.machine(), start=start), started


def test_first_run_makes_the_environment_and_installs_the_project_there(clone):
    here = Elsewhere()
    code, started = run(clone, here, "make")
    python = str(clone / ".venv" / "bin" / "python")
    assert code == 0 and started == [[python, "-m", "reportgen", "make"]]
    assert [line.startswith(python) for line in here.commands] == [False, True]
    assert here.commands[1].endswith(f"-e {clone}[test]")


def test_second_run_starts_no_other_program_first(clone):
    run(clone, Elsewhere(), "test")
    for command, module in (("make", "reportgen"), ("test", "pytest")):
        here = Elsewhere()
        _, started = run(clone, here, command)
        assert here.commands == [] and started[0][1:3] == ["-m", module]


def test_weather_files_for_the_checks_are_tried_once_and_missed_without_harm(clone, capsys):
    run(clone, Elsewhere(), "make")
    here = Elsewhere(pip_works=False)
    code, started = run(clone, here, "test")
    assert code == 0 and started and [line.endswith("[weather-files]") for line in here.commands] == [True]
    assert "those checks will be skipped" in capsys.readouterr().out


@pytest.mark.parametrize("change", ["dependencies", "place of the clone", "Python"])
def test_the_environment_is_brought_up_to_date_when_what_it_was_made_for_changed(clone, change, tmp_path):
    run(clone, Elsewhere(), "make")
    if change == "dependencies":
        (clone / "pyproject.toml").write_text("[project]\ndependencies = []\n", encoding="utf-8")
    elif change == "Python":
        (clone / ".venv" / "pyvenv.cfg").write_text("version = 3.99\n", encoding="utf-8")
    else:
        clone = clone.rename(tmp_path.parent / (tmp_path.name + "-moved"))
    here = Elsewhere()
    run(clone, here, "make")
    assert any("-m pip install" in line for line in here.commands)


def test_a_failed_install_says_so_and_is_tried_again(clone, capsys):
    code, started = run(clone, Elsewhere(pip_works=False), "make")
    said = capsys.readouterr().out
    assert code == 1 and not started and "no route to host" in said and "needs the network" in said
    assert run(clone, Elsewhere(), "make")[0] == 0


def test_missing_venv_part_is_installed_where_it_may_be(clone, capsys):
    here = Elsewhere(has_venv=False)
    assert run(clone, here, "make")[0] == 0
    package = f"python3.{sys.version_info[1]}-venv"
    assert here.system_installs() == [f"apt-get install -y --no-install-recommends {package}"]
    assert "this Python can't make an environment without it" in capsys.readouterr().out


@pytest.mark.parametrize("here", [Elsewhere(has_venv=False, root=False, sudo_asks=True),
                                  Elsewhere(has_venv=False, tools=frozenset())])
def test_missing_venv_part_is_named_where_it_may_not_be_installed(clone, here, capsys):
    code, started = run(clone, here, "make")
    assert code == 1 and not started and not here.system_installs()
    assert f"apt-get install -y python3.{sys.version_info[1]}-venv" in capsys.readouterr().out


def test_missing_pango_is_installed_by_root_after_saying_what_and_why(clone, capsys):
    here = Elsewhere(has_pango=False)
    assert run(clone, here, "make")[0] == 0
    assert here.system_installs() == [f"apt-get install -y --no-install-recommends {' '.join(PDF_PACKAGES['apt-get'])}"]
    said = capsys.readouterr().out
    assert "libpango-1.0-0" in said and "Pango sets the lines of the PDF" in said


def test_missing_pango_is_installed_with_sudo_where_it_asks_for_no_password(clone):
    here = Elsewhere(has_pango=False, root=False, tools=frozenset({"dnf", "sudo"}))
    assert run(clone, here, "make")[0] == 0
    assert here.system_installs() == ["sudo -n dnf install -y pango harfbuzz"]


@pytest.mark.parametrize(("here", "options"), [
    (Elsewhere(has_pango=False, root=False, sudo_asks=True), ()),
    (Elsewhere(has_pango=False, root=False, tools=frozenset({"brew"})), ()),
    (Elsewhere(has_pango=False), ("--no-system",)),
    (Elsewhere(has_pango=False, installs_work=False), ()),
], ids=["sudo asks for a password", "Homebrew", "--no-system", "the install fails"])
def test_without_pango_make_still_runs_and_the_remedy_is_one_line_a_system(clone, here, options, capsys):
    code, started = run(clone, here, "make", *options, result=1)
    assert started and code == 1                      # make itself reports the missing PDF by its exit code
    said = capsys.readouterr().out
    for name, command in (("Debian", "apt-get install -y libpango"), ("Fedora", "dnf install -y pango"),
                          ("Homebrew", "brew install pango")):
        assert sum(name in line and command in line for line in said.splitlines()) == 1
    if "--no-system" in options:
        assert not here.system_installs()


def test_a_test_run_without_pango_is_no_success(clone):
    code, started = run(clone, Elsewhere(has_pango=False), "test", "--no-system")
    assert started and code == 1


@pytest.mark.parametrize("result", [0, 1, 2, 5])
def test_the_exit_code_is_that_of_the_command(clone, result):
    assert run(clone, Elsewhere(), "test", result=result)[0] == result


def test_every_missing_library_is_named_once():
    def load(name):
        if "pango" in name:
            raise OSError(name)
    assert missing_pdf_libraries(load) == ["Pango", "Pango for FreeType"]


def test_the_probe_agrees_with_the_pdf_engine_on_this_machine():
    """The names are the engine's own: where all of them load, it starts."""
    assert missing_pdf_libraries() == []
    import weasyprint
    assert weasyprint.HTML(string="<p>x</p>").write_pdf().startswith(b"%PDF")


def test_wrong_usage_exits_with_2_and_runs_nothing(clone):
    with pytest.raises(SystemExit) as stopped:
        run(clone, Elsewhere(), "bake")
    assert stopped.value.code == 2
    assert main(["make"], clone=clone / "nowhere", machine=Elsewhere().machine()) == 2


def test_it_needs_nothing_but_the_standard_library():
    """Run isolated from every installed package, as on a fresh machine."""
    done = subprocess.run([sys.executable, "-S", "-m", "reportgen.bootstrap", "--help"], cwd=CLONE, capture_output=True,
                          text=True, check=False)
    assert done.returncode == 0 and "make" in done.stdout and done.stderr == ""


def test_an_older_python_is_told_which_one_is_needed(clone, monkeypatch, capsys):
    monkeypatch.setattr(bootstrap, "NEEDED_PYTHON", (3, 99))
    assert run(clone, Elsewhere(), "make")[0] == 1
    assert "needs Python 3.99 or newer" in capsys.readouterr().out


def test_ci_runs_the_command_that_the_readme_gives():
    lines = (CLONE / ".ci" / "run").read_text(encoding="utf-8").splitlines()
    assert lines[-1] == "exec python3 -m reportgen.bootstrap test"
    readme = (CLONE / "README.md").read_text(encoding="utf-8")
    for command in ("make", "test"):
        assert f"python3 -m reportgen.bootstrap {command}" in readme
