"""A built wheel carries templates, tables, styles and the licence, and works from another directory."""

from __future__ import annotations

import json
import os
import subprocess
import sys
import zipfile
from pathlib import Path

import pytest

from tests.batch.small_chain import write_house

CLONE = Path(__file__).resolve().parents[1]


@pytest.fixture(scope="module")
def wheel(tmp_path_factory):
    """Built by way of a source archive, as a packager would; offline, with the build tools of this environment."""
    out = tmp_path_factory.mktemp("dist")
    done = subprocess.run([sys.executable, "-m", "build", "--no-isolation", "--outdir", str(out), str(CLONE)],
                          capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stdout + done.stderr
    return next(out.glob("*.whl"))


@pytest.fixture(scope="module")
def unpacked(wheel, tmp_path_factory):
    folder = tmp_path_factory.mktemp("installed")
    zipfile.ZipFile(wheel).extractall(folder)
    return folder


def test_every_file_of_the_package_and_of_the_templates_is_in_the_wheel(unpacked):
    for source, inside in ((CLONE / "reportgen", "reportgen"), (CLONE / "templates", "reportgen/templates")):
        for path in source.rglob("*"):
            if path.is_file() and "__pycache__" not in path.parts:
                assert (unpacked / inside / path.relative_to(source)).read_bytes() == path.read_bytes(), path


def test_the_wheel_carries_nothing_else(unpacked):
    assert sorted(p.name for p in unpacked.iterdir() if not p.name.endswith(".dist-info")) == ["reportgen"]
    assert not [p for p in unpacked.rglob("*") if "__pycache__" in p.parts]


def test_the_licence_is_stated_and_its_text_is_there(unpacked):
    described = next(unpacked.glob("*.dist-info")) / "METADATA"
    assert "License-Expression: MIT" in described.read_text(encoding="utf-8")
    assert (unpacked / "reportgen" / "LICENSE").read_text(encoding="utf-8").startswith("MIT License")


def test_every_data_table_has_its_licence_or_source_beside_it():
    """Each table names a source in itself or lies beside a notice that names it."""
    tables = CLONE / "reportgen" / "tables"
    notices = "".join(p.read_text(encoding="utf-8") for p in tables.rglob("*.md"))
    for path in tables.rglob("*"):
        if path.is_file() and path.suffix != ".md" and "__pycache__" not in path.parts:
            own = path.read_text(encoding="utf-8") if path.suffix in (".csv", ".yaml") else ""
            assert "source" in own or path.name in notices, path


def test_it_builds_a_report_from_another_directory(unpacked, tmp_path):
    write_house(tmp_path / "sites" / "demo", "elm")
    environment = {k: v for k, v in os.environ.items() if k != "PYTHONPATH"} | {"PYTHONPATH": str(unpacked)}
    program = ("import json, reportgen, sys; from reportgen.commands import main; code = main(['make']);"
               "print(json.dumps([code, reportgen.__file__])); sys.exit(code)")
    done = subprocess.run([sys.executable, "-c", program], cwd=tmp_path, env=environment, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stdout + done.stderr
    assert json.loads(done.stdout.splitlines()[-1]) == [0, str(unpacked / "reportgen" / "__init__.py")]
    shared = next((tmp_path / "output" / "demo" / "to-share").iterdir())
    assert sorted(p.name for p in shared.iterdir()) == ["electrician.pdf", "figures.json", "hours.csv", "index.html", "report.pdf"]
