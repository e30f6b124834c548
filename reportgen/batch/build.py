"""Build one house into one folder. The one function that workers run: takes a small job, returns a small record."""

from __future__ import annotations

import os
import shutil
import traceback
from dataclasses import dataclass
from pathlib import Path

from reportgen.batch.place import NEW, file_bytes, move_into_place
from reportgen.batch.record import FAILED, MADE, Findings, Good, Record
from reportgen.batch.stale import fingerprint

NO_PDF = ("report.pdf was not made: Pango, the system library that sets it, can't be loaded on this machine. The page is "
          "complete. 'python3 -m reportgen.bootstrap make' says what to install")


class SolarChain:
    """The stages that building a house runs through, each imported when it is needed: a run in which no house has
    changed only describes. Tests hand in another chain."""

    def load_house(self, path: Path, batch_folder: Path):
        from reportgen.describe.load import load_house
        return load_house(path, batch_folder)

    def read_year(self, house, batch_folder: Path):
        from reportgen.climate.read import read_year
        return read_year(house, batch_folder)

    def with_readings(self, house, batch_folder: Path):
        """The house with the readings of its own meter in it, where it names a file of them."""
        from reportgen.bills.meter_year import read_use, with_readings
        return with_readings(house, read_use(house, batch_folder))

    def read_photos(self, described):
        """The house's photos, made anew, and what is wrong with those that can't be read."""
        if not described.house.photos:
            return (), ()
        from reportgen.report.photos import read_photos
        return read_photos(described)

    def assess(self, house, year):
        from reportgen.chain import assess
        from reportgen.climate.read import located
        return assess(located(house), year)

    def findings(self, assessment) -> Findings:
        from reportgen.batch.findings import findings
        return findings(assessment)

    def write_report(self, assessment, photos, folder: Path, with_pdf: bool) -> bool:
        """Writes the files of one shared folder. False where a PDF was wanted and Pango turned out to be missing."""
        from reportgen.report.pdf import PangoMissing
        from reportgen.report.share import write_report
        try:
            write_report(assessment, folder, with_pdf, photos)
        except PangoMissing:      # the PDF comes last: everything else stands
            return False
        return with_pdf

    def write_coach_sheet(self, assessment, photos, folder: Path, path: Path) -> None:
        """The electrician's sheet with every photo; without one that is kept back it is the shared one in `folder`."""
        from reportgen.report.share import SHEET, write_sheet
        if all(photo.share for photo in photos):
            shutil.copyfile(folder / SHEET, path)
        else:
            write_sheet(assessment, path, photos)


@dataclass(frozen=True)
class Job:
    house_file: Path
    batch_folder: Path
    slug: str
    target: Path              # the shared folder
    coach_sheet: Path         # the electrician's sheet with all photos, for the coach alone
    parts: Path               # where it is written first
    program: str              # stale.program_hash(), so that workers need not read the package again
    with_pdf: bool
    chain: SolarChain


def build_house(job: Job) -> Record:
    """Describes, computes and renders one house, and moves the finished folder into place.

    Never raises: whatever goes wrong is a line in the record, and what stood in the target before stays.
    """
    new = job.parts / (job.target.name + NEW)
    try:
        return _build(job, new)
    except Exception as error:  # noqa: BLE001  nothing may be raised across the pool
        return Record(job.slug, FAILED, (readable(error, job.slug),), details=_fault(error))
    finally:
        shutil.rmtree(new, ignore_errors=True)


def _build(job: Job, new: Path) -> Record:
    chain = job.chain
    described = chain.load_house(job.house_file, job.batch_folder)
    if described.problems:
        return failed_description(job.slug, described)
    hashed = fingerprint(job.slug, described.inputs, job.batch_folder, job.program, job.with_pdf)
    photos, problems = chain.read_photos(described)
    if problems:
        return Record(job.slug, FAILED, tuple(problem.text() for problem in problems))
    house = _with_readings(chain, described, job)
    assessment = chain.assess(house, _year(chain, described, job))
    shutil.rmtree(new, ignore_errors=True)
    new.mkdir(parents=True)
    has_pdf = chain.write_report(assessment, photos, new, job.with_pdf)
    good = Good(hashed, file_bytes(new), has_pdf, chain.findings(assessment))
    _write_coach_sheet(job, assessment, photos, new, has_pdf)
    move_into_place(new, job.target)
    return Record(job.slug, MADE, () if has_pdf else (NO_PDF,), good)


def _write_coach_sheet(job: Job, assessment, photos, new: Path, has_pdf: bool) -> None:
    """Beside the coach's page, replaced in one step; an old one goes where none can be made."""
    if not has_pdf:
        job.coach_sheet.unlink(missing_ok=True)
        return
    job.coach_sheet.parent.mkdir(parents=True, exist_ok=True)
    aside = job.parts / f"{job.slug}.sheet.part"
    job.chain.write_coach_sheet(assessment, photos, new, aside)
    os.replace(aside, job.coach_sheet)


def _year(chain: SolarChain, described, job: Job):
    """The year of weather; what it cannot serve is told with the line that names the place or the file."""
    from reportgen.climate.errors import ClimateError
    try:
        return chain.read_year(described.house, job.batch_folder)
    except ClimateError as error:
        key = "weather.file" if described.house.weather.file else "place.latitude"
        spot = described.where.get(key) or described.where.get("place")
        if spot is None:
            raise
        file, line, column = spot
        raise ClimateError(f"{file}:{line}:{column}: {key}: {error}") from None


def _with_readings(chain: SolarChain, described, job: Job):
    """The house with its meter's readings; what is wrong with the file is told with the line that names it."""
    from reportgen.bills.errors import UseError
    from reportgen.bills.meter.errors import MeterFileError
    try:
        return chain.with_readings(described.house, job.batch_folder)
    except (UseError, MeterFileError) as error:
        spot = described.where.get("use.meter_file.file") or described.where.get("use")
        if spot is None:
            raise
        file, line, column = spot
        raise UseError(f"{file}:{line}:{column}: use.meter_file: {error}") from None


def failed_description(slug: str, described) -> Record:
    return Record(slug, FAILED, tuple(problem.text() for problem in described.problems))


def readable(error: Exception, slug: str) -> str:
    """One line. A ValueError carries a sentence meant for people; anything else is a fault of the program."""
    said = " ".join(str(error).split())
    if type(error).__module__.startswith("reportgen.") and isinstance(error, ValueError) and said:
        return f"{slug}: {said}"
    if isinstance(error, OSError):
        return f"{slug}: {error.strerror or said}" + (f" ({Path(error.filename).name})" if error.filename else "")
    where = traceback.extract_tb(error.__traceback__)[-1]
    return (f"{slug}: a fault in the program, not in the house file: {type(error).__name__}: {said[:200]} "
            f"({Path(where.filename).name}, line {where.lineno})")


def _fault(error: Exception) -> str:
    if type(error).__module__.startswith("reportgen.") and isinstance(error, ValueError):
        return ""
    return "".join(traceback.format_exception(error))
