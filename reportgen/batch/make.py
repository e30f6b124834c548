"""Build whole batches: skip what is unchanged, build the rest on all cores, write the coach's page last."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import ExitStack
from dataclasses import dataclass, field, replace
from itertools import chain as chained
from pathlib import Path

from reportgen.batch.build import NO_PDF, Job, SolarChain, build_house, failed_description
from reportgen.batch.find import Batch
from reportgen.batch.place import AtWork, Place, file_bytes, write_whole
from reportgen.batch.record import ASKED, FAILED, NOT_ASKED, UNCHANGED, Record
from reportgen.batch.run import cores, process_pool, run_all
from reportgen.batch.stale import fingerprint, program_hash
from reportgen.batch.summary import houses_csv, row_of
from reportgen.batch.tokens import FILE_NAME, TokensUnreadable, share_tokens


@dataclass
class Outcome:
    """What became of one batch."""

    name: str
    coach_page: Path
    records: dict[str, Record] = field(default_factory=dict)    # every house of the batch, in the order of the files
    notes: list[str] = field(default_factory=list)              # for the coach: changed links, left-over folders
    stopped: str = ""                                           # why the whole batch could not be worked on

    @property
    def is_well(self) -> bool:
        return not self.stopped and not any(r.failures for r in self.records.values() if r.state in ASKED)


def make_sites(batches: list[Batch], output: Path, with_pdf: bool, tell: Callable[[str, Record], None],
               chain: SolarChain | None = None, make_pool: Callable = process_pool,
               workers: int | None = None) -> list[Outcome]:
    """Builds every asked house of `batches` under `output`. Never raises for what house files hold.

    tell: called with the batch's name and the record of each asked house as it is done.
    make_pool: number of workers -> concurrent.futures.Executor; a cluster's executor does as well.
    """
    chain = chain or SolarChain()
    sites = [_Site(batch, output.resolve() / batch.name, with_pdf, chain, tell) for batch in batches]
    with ExitStack() as locks:
        for site in sites:
            site.open(locks)
        at_work = {site.place.folder: site for site in sites}
        for folder, record in run_all(_work, chained.from_iterable(site.jobs() for site in sites),
                                      workers or cores(), _blame, make_pool):
            at_work[folder].done(record)
        for site in sites:
            site.finish()
    return [site.outcome for site in sites]


def _work(job: Job) -> tuple[Path, Record]:
    return job.parts.parents[1], build_house(job)


def _blame(job: Job) -> tuple[Path, Record]:
    line = (f"{job.slug}: building this house ended the worker process twice, the second time alone in it "
            "(out of memory, or a crash in a library)")
    return job.parts.parents[1], Record(job.slug, FAILED, (line,))


class _Site:
    """One batch while it is worked on."""

    def __init__(self, batch: Batch, folder: Path, with_pdf: bool, chain: SolarChain, tell: Callable):
        self.batch, self.with_pdf, self.chain, self.tell = batch, with_pdf, chain, tell
        self.place = Place(folder)
        self.outcome = Outcome(batch.name, self.place.for_the_coach / "index.html")
        self.files: dict[str, Path] = {}
        self.tokens: dict[str, str] = {}
        self.faults: list[str] = []

    def open(self, locks: ExitStack) -> None:
        """Takes the lock, clears up after a killed run, names the shared folders. Says why where it can't."""
        try:
            locks.enter_context(self.place.locked())
            self.place.prepare()
            self._name_houses()
        except AtWork:
            self.outcome.stopped = f"{self.batch.name}: another make is at work on this batch; try again when it is done"
        except TokensUnreadable as error:
            self.outcome.stopped = str(error)
        except OSError as error:
            self.outcome.stopped = f"{self.batch.name}: {error.strerror}: {error.filename}"

    def _name_houses(self) -> None:
        from reportgen.describe.load import slug_of
        twins = []
        for path in self.batch.houses:
            slug = slug_of(path)
            if slug in self.files:
                twins.append((path, self.files[slug]))
            else:
                self.files[slug] = path
                self.outcome.records[slug] = self.place.recall(slug) or Record(slug, NOT_ASKED)
        self.tokens, is_new = share_tokens(self.batch.folder, list(self.files))
        self._look_for_left_overs(is_new)
        for path, first in twins:
            line = f"{path.name} and {first.name} would be one house by their names; rename one of the two files"
            self.done(Record(path.name, FAILED, (line,)))

    def _look_for_left_overs(self, tokens_are_new: bool) -> None:
        there = {path.name for path in self.place.to_share.iterdir() if path.is_dir()}
        for slug in sorted(set(self.tokens) - set(self.files)):
            if self.tokens[slug] in there:
                self.outcome.notes.append(f"{slug} is no longer in the batch; its folder to-share/{self.tokens[slug]} is kept. "
                                          "Delete it by hand when nobody needs it")
        unknown = sorted(there - set(self.tokens.values()))
        if unknown and tokens_are_new:
            self.outcome.notes.append(f"{FILE_NAME} was missing beside the houses, so every share link is new and the old "
                                      "links are no longer brought up to date. Put the file back and run make again to keep them")
        if unknown:
            self.outcome.notes.append("Folders under to-share that belong to no house: " + ", ".join(unknown))

    def jobs(self) -> Iterator[Job]:
        """Jobs for the asked houses that are stale; the others are done with here."""
        if self.outcome.stopped:
            return
        asked = set(self.batch.asked)
        for slug, path in self.files.items():
            if path in asked and (job := self._job(slug, path)) is not None:
                yield job

    def _job(self, slug: str, path: Path) -> Job | None:
        job = Job(path, self.batch.folder, slug, self.place.to_share / self.tokens[slug], self.place.coach_sheet(slug),
                  self.place.parts, program_hash(), self.with_pdf, self.chain)
        try:
            described = self.chain.load_house(path, self.batch.folder)
            if described.problems:
                self.done(failed_description(slug, described))
                return None
            good = self.outcome.records[slug].good
            if good is None or good.file_bytes != file_bytes(job.target) or good.fingerprint != fingerprint(
                    slug, described.inputs, self.batch.folder, job.program, self.with_pdf):
                return job
        except Exception:  # noqa: BLE001  the worker meets the same again and says it in its record
            return job
        if good.has_pdf and not job.coach_sheet.is_file():
            return job
        if good.has_pdf != self.with_pdf:    # the PDF failed although Pango seemed to be there: try again
            return job
        self.done(Record(slug, UNCHANGED, () if good.has_pdf else (NO_PDF,), good))
        return None

    def done(self, record: Record) -> None:
        earlier = self.outcome.records.get(record.slug)
        if record.good is None and earlier and earlier.good and (self.place.to_share / self.tokens[record.slug]).is_dir():
            record = replace(record, good=earlier.good)
        self.outcome.records[record.slug] = record
        if record.slug in self.tokens:
            self.place.keep(record)
            if details := self.place.keep_details(record):
                self.faults.append(details.name)
        self.tell(self.batch.name, record)

    def finish(self) -> None:
        if self.outcome.stopped:
            return
        from reportgen.describe.batch_file import read_batch
        from reportgen.report.coach import render_coach
        title = read_batch(self.batch.folder).title or self.batch.name
        if self.faults:
            self.outcome.notes.append("For whoever mends the program: what it was doing when it failed is written under .state, "
                                      f"in {', '.join(sorted(self.faults))}")
        rows = [row_of(record, self.tokens.get(record.slug, ""), self.place.coach_sheet(record.slug)) for record in self.outcome.records.values()]
        write_whole(self.place.for_the_coach / "houses.csv", houses_csv(rows))
        write_whole(self.outcome.coach_page, render_coach(title, rows, self.outcome.notes))
