"""The rows over all houses of a batch: for houses.csv and for the coach's page."""

from __future__ import annotations

import csv
import io
from dataclasses import asdict, dataclass, fields
from pathlib import Path

from reportgen.batch.record import NOT_ASKED, Findings, Record

PAGE, PDF = "index.html", "report.pdf"
NOT_YET = "not built yet"
SPREADSHEET_FORMULA = ("=", "+", "-", "@", "\t", "\r")


@dataclass(frozen=True)
class Row:
    """One house on the coach's page. Links are relative to the coach's folder; "" where there is nothing to open."""

    slug: str
    state: str                     # one of the words in `record`, or "not built yet"
    page_link: str
    pdf_link: str
    findings: Findings | None      # None where the house failed or was never built
    failures: tuple[str, ...]
    is_earlier: bool               # the page was built before the house file failed
    sheet_link: str = ""           # the electrician's sheet with all photos


def row_of(record: Record, token: str, sheet: Path) -> Row:
    """sheet: where the house's sheet lies in the coach's folder, where it was made."""
    folder = f"../to-share/{token}/"
    good = record.good
    state = NOT_YET if record.state == NOT_ASKED and good is None else record.state
    return Row(record.slug, state, folder + PAGE if good else "", folder + PDF if good and good.has_pdf else "",
               good.findings if good and not record.has_failed else None, record.failures,
               good is not None and record.has_failed,
               f"{sheet.parent.name}/{sheet.name}" if good and good.has_pdf else "")


def houses_csv(rows: list[Row]) -> str:
    """One row a house; the columns of Findings are empty where a house failed."""
    columns = [field.name for field in fields(Findings)]
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow(["house", "state", *columns, "failures", "report"])
    for row in rows:
        found = asdict(row.findings) if row.findings else {}
        writer.writerow([_cell(v) for v in (row.slug, row.state, *(found.get(c) for c in columns),
                                            " | ".join(row.failures), row.page_link)])
    return out.getvalue()


def _cell(value):
    """A spreadsheet would run a text that begins like a formula; an apostrophe before it keeps it text."""
    if value is None:
        return ""
    return "'" + value if isinstance(value, str) and value.startswith(SPREADSHEET_FORMULA) else value
