"""Where templates, styles, texts and fonts lie: inside the installed package, or beside it in a clone."""

from __future__ import annotations

import base64
from functools import cache
from pathlib import Path

PACKAGE = Path(__file__).resolve().parents[1]
ASSET = "asset:"
FONTS = Path(__file__).resolve().parent / "fonts"

# file, family, weight, style: every face that a page may use. The page declares these and no other.
FACES = (
    ("reading-serif", "Reading Serif", 400, "normal"),
    ("reading-serif-italic", "Reading Serif", 400, "italic"),
    ("reading-serif-semibold", "Reading Serif", 600, "normal"),
    ("figures-sans", "Figures Sans", 400, "normal"),
    ("figures-sans-italic", "Figures Sans", 400, "italic"),
    ("figures-sans-semibold", "Figures Sans", 600, "normal"),
)


@cache
def templates_folder() -> Path:
    """The folder of templates. FileNotFoundError where neither place has it: the installation is broken."""
    for folder in (PACKAGE / "templates", PACKAGE.parent / "templates"):
        if (folder / "house.html.j2").is_file():
            return folder
    raise FileNotFoundError("the templates are missing: neither reportgen/templates nor templates beside the package")


def template_text(name: str) -> str:
    return (templates_folder() / name).read_text(encoding="utf-8")


@cache
def font_faces() -> str:
    """The ``@font-face`` rules with the fonts inside, so that a page loads nothing."""
    return _rules(lambda file: "data:font/woff2;base64," + base64.b64encode((FONTS / f"{file}.woff2").read_bytes()).decode(),
                  "woff2")


@cache
def font_faces_for_pdf() -> str:
    """The same rules, with the fonts by private names that `asset` resolves: unpacking WOFF2 takes the engine a while."""
    return _rules(lambda file: f"{ASSET}{file}.ttf", "truetype")


@cache
def asset(url: str) -> bytes:
    """A font by its private name, ``asset:reading-serif.ttf``. KeyError for any other."""
    known = {f"{ASSET}{file}.ttf": FONTS / f"{file}.ttf" for file, *_ in FACES}
    return known[url].read_bytes()


def _rules(source_of, form: str) -> str:
    return "\n".join(f'@font-face{{font-family:"{family}";font-weight:{weight};font-style:{style};'
                     f'src:url({source_of(file)}) format("{form}")}}' for file, family, weight, style in FACES)
