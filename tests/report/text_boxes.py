"""Where the texts of a picture stand, read from its SVG and measured from the embedded font's own advance widths."""

from __future__ import annotations

import re
from functools import cache
from importlib import resources
from itertools import combinations
from typing import NamedTuple
from xml.etree import ElementTree

from fontTools.ttLib import TTFont

SVG = "{http://www.w3.org/2000/svg}"
SLACK = 1.005    # over the sum of the advances, which is how the PDF engine sets letters: without kerning
TOP, FOOT = 0.70, 0.21   # of the letter size above and below the baseline: capitals and tails, from memory


class Box(NamedTuple):
    words: str
    left: float
    top: float
    right: float
    foot: float

    def meets(self, other: Box) -> bool:
        return (self.left < other.right and other.left < self.right and self.top < other.foot and other.top < self.foot)


@cache
def _font(semibold: bool) -> tuple[dict[int, str], dict[str, tuple[int, int]], int]:
    name = "figures-sans-semibold.ttf" if semibold else "figures-sans.ttf"
    with resources.as_file(resources.files("reportgen.report") / "fonts" / name) as path:
        font = TTFont(path)
        return dict(font.getBestCmap()), dict(font["hmtx"].metrics), font["head"].unitsPerEm


def text_width(words: str, size: float, semibold: bool) -> float:
    glyphs, advances, em = _font(semibold)
    return sum(advances[glyphs.get(ord(c), ".notdef")][0] for c in words) * size / em


def text_boxes(svg: str, size: float | None = None) -> list[Box]:
    """A box a text; `size` stands for the page's rule that enlarges all chart text on a phone."""
    found = []
    for node in ElementTree.fromstring(svg).iter(SVG + "text"):
        assert "transform" not in node.attrib
        own = size or float(node.get("font-size"))
        wide = text_width(node.text, own, node.get("font-weight") == "600") * SLACK
        x, y = float(node.get("x")), float(node.get("y"))
        left = x - wide * {"start": 0.0, "middle": 0.5, "end": 1.0}[node.get("text-anchor", "start")]
        found.append(Box(node.text, left, y - TOP * own, left + wide, y + FOOT * own))
    return found


def filled_boxes(svg: str) -> list[Box]:
    """The bounding box of every solid or hatched shape."""
    found = []
    for node in ElementTree.fromstring(svg).iterfind(SVG + "path"):
        if node.get("fill") != "none":
            for part in filter(None, re.split("[zM]", node.get("d"))):
                numbers = [float(v) for v in re.findall(r"-?[\d.]+", part)]
                xs, ys = numbers[::2], numbers[1::2]
                found.append(Box(node.get("fill"), min(xs), min(ys), max(xs), max(ys)))
    return found


def sheet(svg: str) -> Box:
    root = ElementTree.fromstring(svg)
    return Box("sheet", *(float(v) for v in root.get("viewBox").split()))


def troubles(svg: str, size: float | None = None) -> list[str]:
    """Texts outside the sheet, over one another, or over a filled shape; in words."""
    boxes, whole = text_boxes(svg, size), sheet(svg)
    outside = [f"{b.words!r} leaves the sheet" for b in boxes
               if b.left < -0.01 or b.top < 0 or b.right > whole.right + 0.01 or b.foot > whole.foot]
    crossed = [f"{a.words!r} over {b.words!r}" for a, b in combinations(boxes, 2) if a.meets(b)]
    over = [f"{a.words!r} over a shape" for a in boxes for b in filled_boxes(svg) if a.meets(b)]
    return outside + crossed + over
