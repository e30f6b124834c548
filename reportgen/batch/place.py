"""Where a batch is built, and how a finished folder gets there: written aside, then moved into place whole.

    output/BATCH/to-share/TOKEN/    one house
    output/BATCH/for-the-coach/     the page over all houses, houses.csv, and the electrician's sheets with all photos
    output/BATCH/.state/            what each report was built from, and parts in the making
"""

from __future__ import annotations

import json
import os
import shutil
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

from reportgen.batch.record import Record, from_keeping

NEW, OLD = ".new", ".old"
SHEETS = "electrician"


class AtWork(Exception):
    """Another run is building the same batch."""


@dataclass(frozen=True)
class Place:
    folder: Path

    @property
    def to_share(self) -> Path:
        return self.folder / "to-share"

    @property
    def for_the_coach(self) -> Path:
        return self.folder / "for-the-coach"

    def coach_sheet(self, slug: str) -> Path:
        """The electrician's sheet of one house with all its photos."""
        return self.for_the_coach / SHEETS / f"{slug}.pdf"

    @property
    def state(self) -> Path:
        return self.folder / ".state"

    @property
    def parts(self) -> Path:
        return self.state / "parts"

    def prepare(self) -> None:
        """Makes the folders and clears up after a run that was killed. Call it only under the lock."""
        for folder in (self.to_share, self.for_the_coach, self.parts):
            folder.mkdir(parents=True, exist_ok=True)
        for left in sorted(self.parts.iterdir()):
            target = self.to_share / left.name.removesuffix(OLD)
            if left.name.endswith(OLD) and not target.exists():
                os.rename(left, target)  # killed between the two moves of `move_into_place`
            elif left.is_dir():
                shutil.rmtree(left)
            else:
                left.unlink()

    def recall(self, slug: str) -> Record | None:
        """What an earlier run left about this house; None where there is nothing usable."""
        try:
            return from_keeping(slug, json.loads((self.state / f"{slug}.json").read_text(encoding="utf-8")))
        except (OSError, ValueError, KeyError, TypeError, AttributeError):
            return None

    def keep(self, record: Record) -> None:
        write_whole(self.state / f"{record.slug}.json", json.dumps(record.for_keeping(), indent=1, sort_keys=True) + "\n")

    def keep_details(self, record: Record) -> Path | None:
        """The traceback of a fault in the program, for whoever mends it; an old one goes away."""
        path = self.state / f"{record.slug}.fault.txt"
        if not record.details:
            path.unlink(missing_ok=True)
            return None
        write_whole(path, record.details)
        return path

    @contextmanager
    def locked(self):
        """Keeps a second run out of this batch. Raises AtWork where one is at work.

        The system drops the lock when the process ends, however it ends.
        """
        self.state.mkdir(parents=True, exist_ok=True)
        with open(self.state / "lock", "w", encoding="utf-8") as file:
            try:
                import fcntl
                fcntl.flock(file, fcntl.LOCK_EX | fcntl.LOCK_NB)
            except ImportError:
                pass                 # Windows: two runs at once are not kept apart
            except BlockingIOError:
                raise AtWork from None
            yield


def write_whole(path: Path, text: str) -> None:
    """Replaces a file in one step; leaves it alone where it already says the same."""
    if path.is_file() and path.read_bytes() == text.encode():
        return
    aside = path.with_name(path.name + ".part")
    aside.write_bytes(text.encode())
    os.replace(aside, path)


def move_into_place(new: Path, target: Path) -> None:
    """`new` becomes `target`; what stood there goes away only afterwards. Both lie on one file system."""
    old = new.with_name(target.name + OLD)
    if not target.exists():
        os.rename(new, target)
        return
    os.rename(target, old)
    try:
        os.rename(new, target)
    except OSError:
        os.rename(old, target)
        raise
    shutil.rmtree(old)


def file_bytes(folder: Path) -> dict[str, int]:
    """Every file in a folder with its size; empty where there is no such folder."""
    return {path.relative_to(folder).as_posix(): path.stat().st_size
            for path in sorted(folder.rglob("*")) if path.is_file()}
