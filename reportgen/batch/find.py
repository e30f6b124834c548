"""Find the batches and house files that the paths on the command line mean."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise
from pathlib import Path

HOUSE_ENDINGS = (".yaml", ".yml")
SHARED_DEFAULTS = "batch.yaml"


class WrongPath(ValueError):
    """A path that names no house; the text says what was expected."""


@dataclass(frozen=True)
class Batch:
    name: str
    folder: Path
    houses: tuple[Path, ...]    # every house file of the folder, in the order of their names
    asked: tuple[Path, ...]     # those to work on: all of them, or the single files that were named


def find_batches(paths: list[Path]) -> list[Batch]:
    """Batches meant by `paths`, in the order of their names.

    A folder with house files in it is a batch; another folder stands for all batches in it; a house file stands for
    itself, and its folder is its batch. Raises WrongPath.
    """
    asked: dict[Path, set[Path]] = {}
    for path in paths:
        if not path.exists():
            raise WrongPath(f"{path}: there is no such file or folder")
        path = path.resolve()
        if path.is_file():
            if not is_house_name(path.name):
                raise WrongPath(f"{path}: no house file; one ends in .yaml and is not {SHARED_DEFAULTS}")
            asked.setdefault(path.parent, set()).add(path)
            continue
        folders = list(_batch_folders(path))
        if not folders:
            raise WrongPath(f"{path}: no house file in this folder or the folders in it; a house file ends in .yaml")
        for folder in folders:
            asked.setdefault(folder, set()).update(house_files(folder))
    batches = [Batch(folder.name, folder, house_files(folder), tuple(sorted(files)))
               for folder, files in sorted(asked.items(), key=lambda item: (item[0].name, item[0]))]
    for one, next_one in pairwise(batches):
        if one.name == next_one.name:
            raise WrongPath(f"{one.folder} and {next_one.folder} have the same name and would be built into the same "
                            "folder: rename one of them, or build them with different --to")
    return batches


def house_files(folder: Path) -> tuple[Path, ...]:
    return tuple(sorted(path for path in folder.iterdir() if path.is_file() and is_house_name(path.name)))


def is_house_name(name: str) -> bool:
    return name.endswith(HOUSE_ENDINGS) and name != SHARED_DEFAULTS and not name.startswith(".")


def _batch_folders(folder: Path):
    """A batch has no batches in it: its folders hold tariffs, offers and weather."""
    if house_files(folder):
        yield folder
        return
    if (folder / SHARED_DEFAULTS).is_file():
        return
    for child in sorted(folder.iterdir()):
        if child.is_dir() and not child.is_symlink() and not child.name.startswith("."):
            yield from _batch_folders(child)
