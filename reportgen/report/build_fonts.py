"""Make the report's six font faces: static, cut down to the letters a report needs, renamed, with their licences.

    .venv/bin/pip install fontpkg-source-serif-4 fontpkg-source-sans-3
    .venv/bin/python -m reportgen.report.build_fonts

Reads the two variable families from those registry packages and writes TTF (PDF and charts), WOFF2 (HTML) and both
licence texts into ``reportgen/report/fonts``. Run once; the result is checked in.

Static, because one variable file can't please the PDF engine, browsers and the chart library at once: each takes
another instance for its widths. Renamed, because the SIL Open Font License 1.1, clause 3, forbids a changed version
to carry the reserved name; clause 2 asks that copyright and licence travel with it, so the name fields 0, 7, 13 and
14 stay.
"""

from __future__ import annotations

import sys
from dataclasses import dataclass
from importlib import resources
from pathlib import Path

from fontTools.subset import Options, Subsetter
from fontTools.ttLib import TTFont
from fontTools.varLib.instancer import instantiateVariableFont

TARGET = Path(__file__).parent / "fonts"
READING_SIZE_PT = 11          # the optical size at which the serif is drawn: the size at which it is read


@dataclass(frozen=True)
class Face:
    file: str                 # of the result, without ending
    family: str
    style: str                # name of the style, as shown
    weight: int
    italic: bool
    package: str              # where the variable font lies
    source: str
    optical_size: float | None


SERIF, SANS = "fontpkg_source_serif_4", "fontpkg_source_sans_3"
FACES = (
    Face("reading-serif", "Reading Serif", "Regular", 400, False, SERIF, "SourceSerif4[opsz,wght].ttf", READING_SIZE_PT),
    Face("reading-serif-italic", "Reading Serif", "Italic", 400, True, SERIF, "SourceSerif4-Italic[opsz,wght].ttf",
         READING_SIZE_PT),
    Face("reading-serif-semibold", "Reading Serif", "Semibold", 600, False, SERIF, "SourceSerif4[opsz,wght].ttf",
         READING_SIZE_PT),
    Face("figures-sans", "Figures Sans", "Regular", 400, False, SANS, "SourceSans3[wght].ttf", None),
    Face("figures-sans-italic", "Figures Sans", "Italic", 400, True, SANS, "SourceSans3-Italic[wght].ttf", None),
    Face("figures-sans-semibold", "Figures Sans", "Semibold", 600, False, SANS, "SourceSans3[wght].ttf", None),
)
LICENCES = {SERIF: "LICENSE-reading-serif.txt", SANS: "LICENSE-figures-sans.txt"}

LETTERS = (*range(0x20, 0x7F), *range(0xA0, 0x180), 0x218, 0x219, 0x21A, 0x21B)   # ASCII, Latin-1, Extended-A
SIGNS = ("\u2009\u202f‐–—‘’‚“”„†‡•…‰′″‹›⁄⁰⁴⁵⁶⁷⁸⁹₀₁₂₃₄€₹←↑→↓−∕∞≈≠≤≥√∆ΔΣΩαβηµπ⅓⅔✓▲▼○●")
FEATURES = ("kern", "liga", "ccmp", "mark", "mkmk", "locl", "tnum", "lnum")


def main() -> int:
    TARGET.mkdir(exist_ok=True)
    for face in FACES:
        font = make_face(face)
        font.save(TARGET / f"{face.file}.ttf")
        font.flavor = "woff2"
        font.save(TARGET / f"{face.file}.woff2")
        print(f"{face.file}: {(TARGET / face.file).with_suffix('.ttf').stat().st_size // 1024} kB TTF, "
              f"{(TARGET / face.file).with_suffix('.woff2').stat().st_size // 1024} kB WOFF2")
    for package, name in LICENCES.items():
        (TARGET / name).write_text(_licence(package), encoding="utf-8")
    return 0


def make_face(face: Face) -> TTFont:
    """One static face, subset and renamed; TTF outlines."""
    try:
        path = resources.files(face.package) / "files" / face.source
    except ModuleNotFoundError:
        sys.exit(f"{face.package} is not installed; see the first lines of {Path(__file__).name}")
    font = TTFont(str(path), recalcTimestamp=False)
    _subset(font)
    axes = {"wght": face.weight} | ({} if face.optical_size is None else {"opsz": face.optical_size})
    font = instantiateVariableFont(font, axes, inplace=True)
    for table in ("STAT", "DSIG", "meta"):
        if table in font:
            del font[table]
    _rename(font, face)
    font["OS/2"].usWeightClass = face.weight
    return font


def _subset(font: TTFont) -> None:
    options = Options(layout_features=list(FEATURES), name_IDs=["*"], name_languages=[0x409], notdef_outline=True,
                      hinting=False, recalc_timestamp=False, glyph_names=False)
    cutter = Subsetter(options)
    cutter.populate(unicodes=[*LETTERS, *map(ord, SIGNS)])
    cutter.subset(font)


def _rename(font: TTFont, face: Face) -> None:
    names = font["name"]
    kept = {0, 5, 7, 8, 9, 11, 13, 14}
    names.names = [n for n in names.names if n.nameID in kept]
    plain = face.style in ("Regular", "Italic")
    full = f"{face.family} {face.style}"
    new = {1: face.family if plain else full, 2: face.style if plain else "Regular", 3: f"{full}; static, subset",
           4: full, 6: f"{face.family.replace(' ', '')}-{face.style}", 16: face.family, 17: face.style}
    for number, text in new.items():
        names.setName(text, number, 3, 1, 0x409)


def _licence(package: str) -> str:
    return (resources.files(package) / "LICENSE").read_text(encoding="utf-8")


if __name__ == "__main__":
    sys.exit(main())
