"""A house file that holds what is needed and no more, and a folder to put variants of it in."""

import pytest

from reportgen.describe.load import load_house

GOOD = """\
name: Elm
report_day: 2026-11-25
place: {latitude: 41.7, longitude: -86.2, country: US}
roof:
  - facing: south
    slope_deg: 25
use:
  annual_kwh: 9000
tariff:
  price_per_kwh: 0.15
  fixed_per_month: 12
  export: one-to-one
"""


@pytest.fixture
def good():
    return GOOD


@pytest.fixture
def batch(tmp_path, monkeypatch):
    """Writes files into sites/x below the working folder, and loads the house sites/x/elm.yaml."""
    monkeypatch.chdir(tmp_path)
    return Batch(tmp_path / "sites" / "x")


class Batch:
    def __init__(self, folder):
        self.folder = folder
        folder.mkdir(parents=True)

    def write(self, name, content):
        path = self.folder / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(content) if isinstance(content, bytes) else path.write_text(content, encoding="utf-8")
        return path

    def load(self, content, **others):
        """others: batch="..." for batch.yaml."""
        if "batch" in others:
            self.write("batch.yaml", others["batch"])
        return load_house(self.write("elm.yaml", content))

    def texts(self, content, **others):
        return [problem.text().removeprefix("sites/x/") for problem in self.load(content, **others).problems]
