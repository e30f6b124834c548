"""A chain that is quick and does what the house's name says: real house files, no sun, no PDF engine."""

from __future__ import annotations

import os
import time
from pathlib import Path

from reportgen.batch.build import SolarChain
from reportgen.batch.record import Findings
from reportgen.climate.errors import ClimateError

HOUSE = """\
name: "{name}"
report_day: 2026-11-20
place: {{latitude: 36.1, longitude: -79.8, country: "US"}}
roof:
  - {{facing: south, slope: "6:12"}}
use: {{annual_kwh: {annual_kwh}}}
tariff: {{price_per_kwh: 0.15, fixed_per_month: 12, export: one-to-one}}
"""


def write_house(folder: Path, slug: str, name: str = "", annual_kwh: int = 9000) -> Path:
    folder.mkdir(parents=True, exist_ok=True)
    path = folder / f"{slug}.yaml"
    path.write_text(HOUSE.format(name=name or slug, annual_kwh=annual_kwh), encoding="utf-8")
    return path


class SmallChain(SolarChain):
    def __init__(self, diary: Path, pango_is_there: bool = True):
        self.diary = diary                # a line for each house that was computed, over all processes
        self.pango_is_there = pango_is_there

    def built(self) -> list[str]:
        return self.diary.read_text(encoding="utf-8").split("\n")[:-1] if self.diary.exists() else []

    def read_year(self, house, batch_folder):
        if house.name == "no sun here":
            raise ClimateError("no year of sun is known at 36.1, -79.8; write weather: source: file")
        return "a year"

    def assess(self, house, year):
        with self.diary.open("a", encoding="utf-8") as diary:
            diary.write(house.name + "\n")
        if house.name == "kills the worker":
            os._exit(9)
        if house.name == "is slow":
            time.sleep(60)
        if house.name == "meets a fault":
            raise KeyError("a key that is not there")
        return house

    def findings(self, assessment):
        kwh = assessment.use.year_kwh
        return Findings(assessment.name, "yes", "It pays.", kwh, kwh - 500, kwh + 500, f"{kwh:,.0f} kWh", 18000.0, "$18,000",
                        "USD", 100.0, -50.0, 250.0, "−$50 to $250", 11.0, None, "from 11 years to not within 25",
                        "fits by arithmetic")

    def write_report(self, assessment, photos, folder, with_pdf):
        (folder / "index.html").write_text(f"<p>{assessment.use.year_kwh}</p>", encoding="utf-8")
        if with_pdf and self.pango_is_there:
            (folder / "report.pdf").write_bytes(b"%PDF")
        return with_pdf and self.pango_is_there

    def write_coach_sheet(self, assessment, photos, folder, path):
        path.write_bytes(b"%PDF with " + str(len(photos)).encode() + b" photos")
