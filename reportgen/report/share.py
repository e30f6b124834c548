"""The files of one house: index.html, report.pdf, electrician.pdf, figures.json, hours.csv. The same bytes for the same
Assessment and photos.

figures.json
    about       what each key below means
    program     version of this program
    house       the house's name
    report_day  the day the report speaks of
    currency    of all money
    figures     one entry for each Figure, by its key
electrician.pdf
    the electrician's sheet alone, with those photos that may be shared; the coach has a copy with all of them
hours.csv
    one row an hour of a year of 365 days, in local standard time (no summer time): sun and use in kWh, and what is
    taken from and sent to the grid in that hour.
"""

from __future__ import annotations

import csv
import io
import json
from datetime import datetime, timedelta
from pathlib import Path

from reportgen import __version__
from reportgen.assessment import Assessment
from reportgen.climate.typical_year import MODEL_YEAR
from reportgen.figures import Figure, significant
from reportgen.report.charts import draw_charts
from reportgen.report.pages import render_house, render_sheet
from reportgen.report.pdf import write_pdf
from reportgen.report.photos import ShownPhoto, shared_only

PAGE, PDF, SHEET, FIGURES, HOURS = "index.html", "report.pdf", "electrician.pdf", "figures.json", "hours.csv"
ABOUT = {
    "label": "what is measured",
    "value": "the middle, to six significant digits; null where it can't be known",
    "unit": "unit of value, low and high; money is a three-letter currency code",
    "low, high": "the range; null where none is known",
    "range_is": "what low and high mean",
    "formula": "the sum with its inputs put in",
    "sources": "where inputs and method come from",
}


def write_report(assessment: Assessment, folder: Path, with_pdf: bool = True, photos: tuple[ShownPhoto, ...] = ()) -> None:
    """Write the report into an existing folder. PDFs come last: where PangoMissing is raised, the rest stands.

    photos: all of the house's; only those that may be shared go into these files.
    """
    folder = Path(folder)
    page = render_house(assessment, draw_charts(assessment), photos)
    _write(folder / PAGE, page)
    _write(folder / FIGURES, figures_json(assessment))
    _write(folder / HOURS, hours_csv(assessment))
    if with_pdf:
        write_pdf(page, folder / PDF, page_size(assessment))
        write_sheet(assessment, folder / SHEET, shared_only(photos))


def write_sheet(assessment: Assessment, path: Path, photos: tuple[ShownPhoto, ...]) -> None:
    """The electrician's sheet alone, with every photo handed in."""
    write_pdf(render_sheet(assessment, photos), path, page_size(assessment))


def page_size(assessment: Assessment) -> str:
    return "Letter" if assessment.house.place.in_us else "A4"


def figures_json(assessment: Assessment) -> str:
    return json.dumps({
        "about": ABOUT, "program": __version__, "house": assessment.house.name,
        "report_day": assessment.house.report_day.isoformat(), "currency": assessment.payback.currency,
        "figures": {key: _entry(figure) for key, figure in assessment.figures.items()},
    }, ensure_ascii=False, indent=1, allow_nan=False) + "\n"


def hours_csv(assessment: Assessment) -> str:
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow(["local_standard_time", "sun_kwh", "use_kwh", "import_kwh", "export_kwh"])
    hour = datetime(MODEL_YEAR, 1, 1)
    for sun, use in zip(assessment.production.hours_kwh, assessment.bills.use_hours_kwh, strict=True):
        surplus = float(sun) - float(use)
        writer.writerow([hour.strftime("%m-%d %H:%M"), *(_digits(v) for v in (sun, use, max(-surplus, 0.0), max(surplus, 0.0)))])
        hour += timedelta(hours=1)
    return out.getvalue()


def _entry(figure: Figure) -> dict:
    return {"label": figure.label, "value": _number(figure.value), "unit": figure.unit, "low": _number(figure.low),
            "high": _number(figure.high), "range_is": figure.range_is, "formula": figure.formula,
            "sources": list(figure.sources)}


def _number(value) -> float | None:
    return None if value is None else significant(float(value))


def _digits(value) -> str:
    return f"{float(value):.6g}"


def _write(path: Path, text: str) -> None:
    path.write_bytes(text.encode("utf-8"))
