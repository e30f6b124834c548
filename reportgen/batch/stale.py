"""Is the report of a house still true? One hash over everything that could change it."""

from __future__ import annotations

import hashlib
import os
import sys
from collections.abc import Iterable
from functools import cache
from importlib import metadata
from pathlib import Path

from reportgen import __version__
from reportgen.report.assets import PACKAGE, templates_folder

LIBRARIES = ("fonttools", "jinja2", "markdown", "matplotlib", "nh3", "numpy", "numpy-financial", "pandas", "pillow", "pvlib",
             "pydantic", "pydyf", "pyyaml", "scipy", "shapely", "timezonefinder", "tzdata", "weasyprint")


@cache
def program_hash() -> str:
    """Version, code, tables, templates, Python and the libraries whose numbers or bytes reach a report."""
    digest = hashlib.sha256(f"{__version__} {sys.version} {sys.platform}".encode())
    for folder in (PACKAGE, templates_folder()):
        for path in sorted(folder.rglob("*")):
            if path.is_file() and "__pycache__" not in path.parts:
                _add(digest, path.relative_to(folder).as_posix(), path.read_bytes())
    for library in LIBRARIES:
        try:
            _add(digest, library, metadata.version(library).encode())
        except metadata.PackageNotFoundError:
            _add(digest, library, b"missing")
    return digest.hexdigest()


# Satellite hours kept in the cache are not in the hash, and that is meant: the house file names place and years, hours once
# retrieved never change, and the report prints the day they were retrieved. So emptying the cache, or building on another
# machine, makes no report stale and asks the service for nothing until a house itself changes.
def fingerprint(slug: str, inputs: Iterable[Path], batch_folder: Path, program: str, with_pdf: bool) -> str:
    """Hash over the bytes of every file that was read for this house, by its place in the batch, and the program."""
    digest = hashlib.sha256()
    _add(digest, "program", program.encode())
    _add(digest, "house", slug.encode())
    _add(digest, "pdf", b"yes" if with_pdf else b"no")
    for path in sorted({Path(path) for path in inputs}):
        _add(digest, Path(os.path.relpath(path, batch_folder)).as_posix(), path.read_bytes())
    return digest.hexdigest()


def _add(digest, name: str, content: bytes) -> None:
    # Lengths first: without them two different lists of files could run together into the same bytes.
    digest.update(f"{len(name)}:{name}:{len(content)}:".encode())
    digest.update(content)
