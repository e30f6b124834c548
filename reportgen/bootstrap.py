"""From a fresh clone to a built site or a tested program, with git and Python 3.11 or newer alone.

    python3 -m reportgen.bootstrap make     builds every house under sites/ into output/
    python3 -m reportgen.bootstrap test     runs the whole test suite

The other commands of the program (draft, check, show) run the same way; what follows a command is passed on to it.
Makes ``.venv`` in the clone, installs the project there, and sees to Pango, the system library that sets the PDF.
Standard library only, and no syntax that an older Python can't read: it must live to say which Python is needed.
Exit codes: those of the command that it runs; 1 where the environment can't be made or Pango is missing after a test
run; 2 for wrong usage.
"""

from __future__ import annotations

import argparse
import ctypes
import hashlib
import importlib.util
import os
import shutil
import subprocess
import sys
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

NEEDED_PYTHON = (3, 11)
CLONE = Path(__file__).resolve().parents[1]

# What the PDF engine loads when it starts: the names it tries on Linux, macOS and Windows.
PDF_LIBRARIES = (
    ("Pango", ("libpango-1.0.so.0", "libpango-1.0.dylib", "libpango-1.0-0.dll")),
    ("Pango for FreeType", ("libpangoft2-1.0.so.0", "libpangoft2-1.0.dylib", "libpangoft2-1.0-0.dll")),
    ("GObject", ("libgobject-2.0.so.0", "libgobject-2.0.0.dylib", "libgobject-2.0-0.dll")),
    ("Fontconfig", ("libfontconfig.so.1", "libfontconfig.1.dylib", "libfontconfig-1.dll")),
    ("HarfBuzz", ("libharfbuzz.so.0", "libharfbuzz.0.dylib", "libharfbuzz-0.dll")),
    ("HarfBuzz subsetting", ("libharfbuzz-subset.so.0", "libharfbuzz-subset.0.dylib", "libharfbuzz-subset-0.dll")),
)
PDF_PACKAGES = {
    "apt-get": ("libpango-1.0-0", "libpangoft2-1.0-0", "libharfbuzz-subset0"),
    "dnf": ("pango", "harfbuzz"),
    "brew": ("pango",),
}
PDF_REMEDY = (
    f"  Debian, Ubuntu:  sudo apt-get update && sudo apt-get install -y {' '.join(PDF_PACKAGES['apt-get'])}\n"
    f"  Fedora:          sudo dnf install -y {' '.join(PDF_PACKAGES['dnf'])}\n"
    f"  Homebrew:        brew install {' '.join(PDF_PACKAGES['brew'])}"
)


class Stop(Exception):
    """The environment can't be made; the text says why and how to mend it."""


def _run_quietly(command: list[str]) -> tuple[int, str]:
    """Exit code and everything printed. Asks nothing: there may be nobody to answer."""
    environment = {**os.environ, "DEBIAN_FRONTEND": "noninteractive"}
    try:
        done = subprocess.run(command, stdin=subprocess.DEVNULL, stdout=subprocess.PIPE, stderr=subprocess.STDOUT,
                              env=environment, text=True, errors="replace", check=False)
    except OSError as error:
        return 127, str(error)
    return done.returncode, done.stdout


def _is_root() -> bool:
    return hasattr(os, "geteuid") and os.geteuid() == 0


@dataclass(frozen=True)
class Machine:
    """What bootstrap asks of the machine it runs on."""

    run: Callable = _run_quietly
    which: Callable = shutil.which
    is_root: Callable = _is_root
    load_library: Callable = ctypes.CDLL
    find_module: Callable = importlib.util.find_spec


def missing_pdf_libraries(load_library: Callable = ctypes.CDLL) -> list[str]:
    """Names of the system libraries that the PDF engine needs and that can't be loaded here."""
    missing = []
    for name, spellings in PDF_LIBRARIES:
        for spelling in spellings:
            try:
                load_library(spelling)
                break
            except OSError:
                continue
        else:
            missing.append(name)
    return missing


def say(text: str) -> None:
    print(text, flush=True)


def _last_lines(output: str, count: int = 12) -> str:
    return "\n".join("  | " + line for line in output.strip().splitlines()[-count:])


def _system_installer(machine: Machine) -> list[str] | None:
    """The command that may install system packages without asking for a password, or None."""
    tool = next((t for t in ("apt-get", "dnf") if machine.which(t)), None)
    if tool is None:
        return None
    if machine.is_root():
        return [tool]
    if machine.which("sudo") and machine.run(["sudo", "-n", "true"])[0] == 0:
        return ["sudo", "-n", tool]
    return None


def _install_system(machine: Machine, installer: list[str], packages: tuple[str, ...], why: str) -> bool:
    say(f"Installing the system packages {', '.join(packages)}: {why}.")
    options = []
    if installer[-1] == "apt-get":
        machine.run([*installer, "update"])  # a fresh image has no list of packages; an old list may still do
        options = ["--no-install-recommends"]
    code, output = machine.run([*installer, "install", "-y", *options, *packages])
    if code:
        say(f"That did not work:\n{_last_lines(output)}")
    return code == 0


def see_to_pango(machine: Machine, may_install: bool = True) -> bool:
    """True where the PDF can be made. Installs what is missing where it may; otherwise prints the remedy."""
    missing = missing_pdf_libraries(machine.load_library)
    if not missing:
        return True
    say(f"The PDF can't be made yet. Missing on this machine: {', '.join(missing)}.")
    installer = _system_installer(machine) if may_install else None
    if installer and _install_system(machine, installer, PDF_PACKAGES[installer[-1]], "Pango sets the lines of the PDF"):
        missing = missing_pdf_libraries(machine.load_library)
        if not missing:
            return True
    say("The pages are built all the same, without the PDF. To have it too, run the one line for your system:\n"
        f"{PDF_REMEDY}")
    return False


def _python_in(environment: Path) -> Path:
    return environment / ("Scripts/python.exe" if os.name == "nt" else "bin/python")


def _stamp(clone: Path) -> str:
    """What the environment was made for: this clone at this place, these dependencies, this Python."""
    digest = hashlib.sha256(str(clone).encode())
    for path in (clone / "pyproject.toml", clone / ".venv" / "pyvenv.cfg"):
        digest.update(path.read_bytes() if path.is_file() else b"missing")
    return digest.hexdigest()


def _make_environment(clone: Path, machine: Machine, may_install: bool) -> None:
    if machine.find_module("ensurepip") is None or machine.find_module("venv") is None:
        package = f"python{sys.version_info[0]}.{sys.version_info[1]}-venv"
        installer = _system_installer(machine) if may_install else None
        if not (installer and installer[-1] == "apt-get"
                and _install_system(machine, installer, (package,), "this Python can't make an environment without it")):
            raise Stop("This Python can't make an environment: its venv part is not installed. On Debian or Ubuntu run\n"
                       f"  sudo apt-get update && sudo apt-get install -y {package}\n"
                       "and then the same command again.")
    say("Making the environment .venv.")
    code, output = machine.run([sys.executable, "-m", "venv", "--clear", str(clone / ".venv")])
    if code:
        raise Stop(f"The environment .venv could not be made:\n{_last_lines(output)}")


def ready_environment(clone: Path, machine: Machine, may_install: bool = True) -> Path:
    """The Python of ``.venv`` with the project installed. Does nothing where that was done before.

    Raises Stop with the remedy.
    """
    python, note = _python_in(clone / ".venv"), clone / ".venv" / ".installed-for"
    if python.exists() and note.is_file() and note.read_text(encoding="utf-8") == _stamp(clone):
        return python
    if not python.exists() or machine.run([str(python), "-m", "pip", "--version"])[0]:
        _make_environment(clone, machine, may_install)
    say("Installing the project and the libraries it needs into .venv. Once only; it takes a minute or two.")
    code, output = machine.run([str(python), "-m", "pip", "install", "--quiet", "--disable-pip-version-check",
                                "--no-input", "-e", f"{clone}[test]"])
    if code:
        raise Stop(f"The libraries could not be installed:\n{_last_lines(output)}\n"
                   "This step needs the network. Run the same command again when it is there.")
    note.write_text(_stamp(clone), encoding="utf-8")
    return python


def see_to_weather_files(clone: Path, python: Path, machine: Machine) -> None:
    """Weather files for the checks against measured arrays; tried once, and the checks skip where they can't be had."""
    note = clone / ".venv" / ".weather-files-for"
    if note.is_file() and note.read_text(encoding="utf-8") == _stamp(clone):
        return
    say("Installing public weather files, which some checks of the sums need.")
    code, output = machine.run([str(python), "-m", "pip", "install", "--quiet", "--disable-pip-version-check",
                                "--no-input", "-e", f"{clone}[weather-files]"])
    if code:
        say(f"They can't be had here; those checks will be skipped:\n{_last_lines(output, 4)}")
    note.write_text(_stamp(clone), encoding="utf-8")


def _arguments(arguments: list[str] | None) -> tuple[argparse.Namespace, list[str]]:
    parser = argparse.ArgumentParser(
        prog="python3 -m reportgen.bootstrap",
        description="Makes .venv in this folder, installs the project there, and runs it.")
    parser.add_argument("command", choices=("make", "test", "draft", "check", "show"),
                        help="make: build every house under sites/ into output/. test: run the whole test suite. The others, "
                             "and whatever follows a command, are passed on to the program: see 'check --help' once made.")
    parser.add_argument("--no-system", action="store_true", help="install no system packages; say which ones to install")
    return parser.parse_known_args(arguments)


def main(arguments: list[str] | None = None, *, clone: Path = CLONE, machine: Machine | None = None,
         start: Callable = subprocess.call) -> int:
    """Runs one command in the environment and returns its exit code."""
    if sys.version_info < NEEDED_PYTHON:
        say(f"This needs Python {NEEDED_PYTHON[0]}.{NEEDED_PYTHON[1]} or newer; this one is {sys.version.split()[0]}. "
            "Run the same command with a newer python3.")
        return 1
    asked, passed_on = _arguments(arguments)
    machine = machine or Machine()
    if not (clone / "pyproject.toml").is_file():
        say(f"{clone} is no clone of the project: it has no pyproject.toml. Change into the clone and run this again.")
        return 2
    try:
        python = ready_environment(clone, machine, not asked.no_system)
    except Stop as problem:
        say(str(problem))
        return 1
    if asked.command == "test":
        see_to_weather_files(clone, python, machine)
    # Only what sets a PDF may install a system library.
    has_pango = see_to_pango(machine, not asked.no_system) if asked.command in ("make", "test") else True
    module = ["pytest"] if asked.command == "test" else ["reportgen", asked.command]
    try:
        code = start([str(python), "-m", *module, *passed_on], cwd=clone)
    except KeyboardInterrupt:
        return 130
    if asked.command == "test" and not has_pango:
        say(f"The PDF was not tested: Pango is missing. Run the one line for your system:\n{PDF_REMEDY}")
        return code or 1
    return code


if __name__ == "__main__":
    sys.exit(main())
