"""batch.yaml: a title, a day and the defaults that the houses of a folder share."""

from __future__ import annotations

import os
from dataclasses import dataclass, field
from pathlib import Path

from reportgen.describe.problems import Problem, printable, shown_name
from reportgen.describe.sentences import shown, unknown_key
from reportgen.describe.yaml_reader import Spot, read_yaml

BATCH_FILE = "batch.yaml"
KEYS = ("title", "report_day", "defaults")
HOUSE_ALONE = ("name",)   # says which house it is, so it can't be shared
LONGEST_TITLE = 120


@dataclass
class BatchFile:
    """path: None where the folder has no batch.yaml. defaults, where and broken have paths as in a house."""

    path: Path | None = None
    title: str | None = None
    defaults: dict = field(default_factory=dict)
    where: dict[tuple, Spot] = field(default_factory=dict)
    problems: list[Problem] = field(default_factory=list)
    broken: set[tuple] = field(default_factory=set)
    complete: bool = True


def read_batch(folder: Path) -> BatchFile:
    """The folder's batch.yaml; an empty BatchFile where there is none. Never raises for what the file holds.

    The defaults themselves are checked with each house, after merging.
    """
    path = Path(folder) / BATCH_FILE
    if not os.path.lexists(path):
        return BatchFile()
    name = shown_name(path, Path(folder))
    file = read_yaml(path, name)
    out = BatchFile(path, problems=file.problems, complete=file.complete)
    if file.data is None:
        return out
    if not isinstance(file.data, dict):
        out.problems.append(Problem(name, 1, 1, "", f"found {shown(file.data)}; {BATCH_FILE} holds the keys {', '.join(KEYS)}"))
        out.complete = False
        return out

    def note(key: tuple, message: str) -> None:
        spot = file.where.get(key, Spot(name, 1, 1))
        out.problems.append(Problem(*spot, ".".join(printable(str(k), 60) for k in key), message))

    for key in file.data:
        if key not in KEYS:
            note((key,), unknown_key(key, KEYS))
    title = file.data.get("title")
    if isinstance(title, str) and 0 < len(title) <= LONGEST_TITLE:
        out.title = title
    elif title is not None:
        note(("title",), f"found {shown(title)}; a text of 1 to {LONGEST_TITLE} characters is expected")
    defaults = file.data.get("defaults")
    if isinstance(defaults, dict):
        for key in HOUSE_ALONE:
            if defaults.pop(key, None) is not None:
                note(("defaults", key), f"{key} belongs in each house file")
        out.defaults = defaults
        out.where = {path[1:]: spot for path, spot in file.where.items() if path[0:1] == ("defaults",) and len(path) > 1}
        out.broken = {path[1:] for path in file.broken if path[0:1] == ("defaults",) and len(path) > 1}
    elif defaults is not None:
        note(("defaults",), f"found {shown(defaults)}; keys of a house are expected below it")
    if file.data.get("report_day") is not None:
        out.defaults.setdefault("report_day", file.data["report_day"])
        if ("report_day",) not in out.where:
            out.where[("report_day",)] = file.where[("report_day",)]
        if ("report_day",) in file.broken:
            out.broken.add(("report_day",))
    return out
