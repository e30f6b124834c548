"""A file named in a house file must lie inside the batch folder."""

from __future__ import annotations

import re
from pathlib import Path

_DRIVE = re.compile("[A-Za-z]:")
_LONGEST = 200


def inside(folder: Path, name: str) -> tuple[Path | None, str]:
    """(the path, "") for a relative name inside `folder`, else (None, what is wrong). The file need not be there."""
    if not name or len(name) > _LONGEST:
        return None, f"the name of a file, of 1 to {_LONGEST} characters, is expected"
    parts = name.replace("\\", "/").split("/")
    if name.startswith(("/", "\\", "~")) or _DRIVE.match(name):
        return None, "an absolute path is refused; write the path as seen from the batch folder"
    if ".." in parts:
        return None, "a path with .. climbs out of the batch folder and is refused; put the file into the batch folder"
    path = folder.joinpath(*parts)
    try:
        stays = path.resolve().is_relative_to(folder.resolve())
    except (OSError, ValueError, RuntimeError):   # a name too long, a zero byte, a loop of links
        return None, "this name can't be a file"
    if not stays:
        return None, "this is a link to a file outside the batch folder and is refused; copy the file into the batch folder"
    return path, ""
