"""The invented houses under sites/, assessed and rendered once for all tests of the report."""

from __future__ import annotations

from functools import cache
from pathlib import Path
from tempfile import mkdtemp

from reportgen.assessment import Assessment
from reportgen.bills.meter_year import read_use
from reportgen.chain import assess
from reportgen.climate.read import read_year
from reportgen.describe.load import load_house
from reportgen.report.charts import draw_charts
from reportgen.report.pages import render_house
from reportgen.report.pdf import write_pdf
from reportgen.report.share import page_size

BATCH = Path(__file__).resolve().parents[2] / "sites" / "alder-lane"
HOUSES = tuple(sorted(path.stem for path in BATCH.glob("*.yaml") if path.stem != "batch"))
US, ELSEWHERE = "full-panel", "dyke-house"


@cache
def assessed(name: str) -> Assessment:
    described = load_house(BATCH / f"{name}.yaml", BATCH)
    assert not described.problems, described.problems
    return assess(described.house, read_year(described.house, BATCH), read_use(described.house, BATCH))


@cache
def page(name: str) -> str:
    return render_house(assessed(name), draw_charts(assessed(name)))


@cache
def pdf(name: str) -> Path:
    path = Path(mkdtemp(prefix="report-")) / f"{name}.pdf"
    write_pdf(page(name), path, page_size(assessed(name)))
    return path
