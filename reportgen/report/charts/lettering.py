"""How wide a text is, and how it is broken or cut to a width. Measured in the very fonts that the page embeds."""

from __future__ import annotations

import re
import warnings
from functools import cache, lru_cache
from importlib import resources

from matplotlib import font_manager
from matplotlib.textpath import text_to_path

FAMILY = "Figures Sans"
SIZE = 8.4          # points, as the tables of the page
PHONE_SIZE = 10.8   # the page's style enlarges chart text to this on a narrow screen; every layout leaves room for it
_TIED = re.compile(r"(?<=\d) (?=(?:A|kA|V|W|kW|ft|AWG)\b)")
LINE = 13.0         # from one baseline to the next; holds PHONE_SIZE


@cache
def register_fonts() -> None:
    """Tell matplotlib the page's own font files, so that it measures what the reader sees."""
    for name in ("figures-sans.ttf", "figures-sans-semibold.ttf"):
        with resources.as_file(resources.files("reportgen.report") / "fonts" / name) as path:
            font_manager.fontManager.addfont(path)


@cache
def _font(semibold: bool) -> font_manager.FontProperties:
    register_fonts()
    return font_manager.FontProperties(family=FAMILY, weight="semibold" if semibold else "normal", size=100)


@lru_cache(maxsize=4096)
def width(text: str, size: float, semibold: bool = False) -> float:
    """Width of one line of text [points]."""
    with warnings.catch_warnings():   # a sign that the font lacks is drawn in another font: nothing to report
        warnings.filterwarnings("ignore", message="Glyph .* missing")
        return text_to_path.get_text_width_height_descent(text, _font(semibold), ismath=False)[0] * size / 100


def room(text: str, semibold: bool = False) -> float:
    """Room to leave for one line of text [points]: as large as on a phone, and 3 % for the PDF engine.

    That one sets letters without kerning: 2.7 % wider at worst, measured.
    """
    return width(text, PHONE_SIZE, semibold) * 1.03


def one_line(text: str) -> str:
    """The text with every run of spaces and line breaks as one space; no-break spaces stay."""
    return " ".join(part for part in text.replace("\t", " ").replace("\r", " ").replace("\n", " ").split(" ") if part)


def tied(text: str) -> str:
    """The text with numbers and their electrical units held together, so that no line ends between them."""
    return _TIED.sub("\u00a0", text)


def shortened(text: str, most: float) -> str:
    """The text, cut with an ellipsis where it would take more than `most` points."""
    text = one_line(text)
    if room(text) <= most:
        return text
    while text and room(text + "…") > most:
        text = text[:-1]
    return text.rstrip(" ,;:") + "…"


def wrapped(text: str, most: float, lines_most: int = 2) -> list[str]:
    """The text in a few lines of at most `most` points each; what does not fit is cut with an ellipsis."""
    words, lines = one_line(text).split(" "), []
    while words and len(lines) < lines_most - 1:
        taken = 1
        while taken < len(words) and room(" ".join(words[:taken + 1])) <= most:
            taken += 1
        lines.append(shortened(" ".join(words[:taken]), most))
        words = words[taken:]
    return lines + ([shortened(" ".join(words), most)] if words else [])
