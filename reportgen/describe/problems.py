"""Problem: one thing that is wrong in a file, said so that a person can mend it."""

from __future__ import annotations

import os
import re
from dataclasses import dataclass
from pathlib import Path

from reportgen.describe.fields import MONTHS

MOST_SHOWN = 100   # a file with more problems than this is not the file that was meant


@dataclass(frozen=True)
class Problem:
    """file: as shown to people, never absolute. line and column count from 1; None where the whole file is meant.
    path: "roof.0.slope_deg", "" for the whole file. message: what was found, what is expected, how to mend it."""

    file: str
    line: int | None
    column: int | None
    path: str
    message: str

    def text(self) -> str:
        """``sites/x/elm.yaml:6:5: roof.0.slope_deg: found 'steep'; a number of degrees from 0 to 90 is expected``."""
        where = self.file if self.line is None else f"{self.file}:{self.line}:{self.column}"
        return ": ".join(part for part in (where, _with_month(self.path), self.message) if part)


# Keys that hold twelve months, January first.
_MONTHLY = re.compile(r"(monthly_kwh|shade_percent|dirt_percent|snow_percent|snow_in|snow_cm|snow_days|relative_humidity_percent|"
                      r"rainy_days|prices_by_month_and_hour)\.(\d+)$")


def _with_month(path: str) -> str:
    """'use.monthly_kwh.2 (March)': nobody counts months from nought."""
    found = _MONTHLY.search(path)
    month = int(found[2]) if found else 12
    return f"{path} ({MONTHS[month]})" if month < 12 else path


class HouseFileError(ValueError):
    """A house can't be used. `problems` says why; the text of the error is all of them, a line each."""

    def __init__(self, problems):
        self.problems = tuple(problems)
        super().__init__("\n".join(p.text() for p in self.problems))

    def __reduce__(self):   # so that it survives the way back from a worker process
        return type(self), (self.problems,)


def in_order(problems) -> tuple[Problem, ...]:
    """Each problem once, by place in the file; the files in the order in which they first appear. Capped, and says so."""
    unique = list(dict.fromkeys(problems))
    files = {name: i for i, name in enumerate(dict.fromkeys(p.file for p in unique))}
    unique.sort(key=lambda p: (files[p.file], p.line or 0, p.column or 0))
    if len(unique) > MOST_SHOWN:
        rest = len(unique) - MOST_SHOWN
        last = unique[MOST_SHOWN]
        unique[MOST_SHOWN:] = [Problem(last.file, None, None, "", f"and {rest:,} more problems; mend these first")]
    return tuple(unique)


def shown_name(path: Path, batch_folder: Path) -> str:
    """The file as people know it: from the working folder, else from the batch folder's name. Never absolute."""
    full = Path(os.path.abspath(path))
    batch = Path(os.path.abspath(batch_folder))
    for base in (Path.cwd(), batch.parent):
        if full.is_relative_to(base):
            return printable(full.relative_to(base).as_posix())
    return printable(full.name)


def printable(text: str, longest: int = 200) -> str:
    """`text` with whatever a terminal might obey or hide as "?", cut where it is very long."""
    clean = "".join(c if c.isprintable() else "?" for c in text)
    return clean if len(clean) <= longest else clean[:longest - 1] + "…"


def dotted(path: tuple) -> str:
    """('roof', 0, 'slope_deg') as "roof.0.slope_deg"."""
    return ".".join(printable(str(key), 60) for key in path)
