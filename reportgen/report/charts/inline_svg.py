"""From matplotlib's SVG file to an element that can stand in a page among others.

A page's style sheet, WeasyPrint and other pictures on the page all see this element. So: presentation attributes in
place of ``style=""`` (a page's rules can recolour those, and WeasyPrint warns of the rest), no style sheet of its own,
ids that carry the picture's name, a title first for those who listen, and nothing that is not needed.
"""

from __future__ import annotations

import re
from html import escape
from xml.etree import ElementTree

from reportgen.report.charts.lettering import FAMILY
from reportgen.report.palette import ALL

_SVG = "{http://www.w3.org/2000/svg}"
_NUMBER = re.compile(r"-?\d+\.\d+(?:e-?\d+)?")
_SPELLED = {color.lower(): color for color in ALL}
_AS_BY_DEFAULT = {("stroke-linecap", "butt"), ("text-anchor", "start"), ("font-weight", "400"),
                  ("font-weight", "normal"),
                  ("stroke-width", "1"), ("stroke-linejoin", "miter"), ("font-style", "normal")}
_SHORT = re.compile(r"\s*([MLZz])\s*")


def inline_svg(file_text: str, name: str, title: str, width_mm: float) -> str:
    """The picture as one element.

    file_text: an SVG file as matplotlib writes it, text as text.
    name: of the picture; ids become ``name-1``, ``name-2`` in their order.
    """
    root = ElementTree.fromstring(file_text)
    _, _, width, height = (float(part) for part in root.get("viewBox").split())
    ids = {node.get("id"): f"{name}-{i}" for i, node in enumerate(root.iter(_SVG + "pattern"), start=1)}
    height_mm = height * width_mm / width
    head = (f'<svg xmlns="http://www.w3.org/2000/svg" class="chart" role="img" width="{_plain(width_mm)}mm" '
            f'height="{_plain(height_mm)}mm" viewBox="0 0 {_plain(width)} {_plain(height)}" font-family="{FAMILY}">')
    shapes = "".join(_written(node, ids) for node in root)
    patterns = "".join(_written(node, ids) for node in root.iter(_SVG + "pattern"))
    defs = f"<defs>{patterns}</defs>" if patterns else ""
    return f"{head}<title>{escape(title, quote=False)}</title>{defs}{shapes}</svg>"


def _written(node, ids: dict[str, str]) -> str:
    tag = node.tag.removeprefix(_SVG)
    if tag in ("defs", "metadata") or tag.startswith("{"):
        return ""
    if tag == "g":
        return "".join(_written(child, ids) for child in node)
    attributes = "".join(f' {key}="{escape(value)}"' for key, value in _attributes(tag, node, ids))
    inside = escape(node.text or "", quote=False) if tag == "text" else "".join(_written(child, ids) for child in node)
    return f"<{tag}{attributes}>{inside}</{tag}>" if inside else f"<{tag}{attributes}/>"


def _attributes(tag: str, node, ids: dict[str, str]):
    given = dict(node.attrib)
    style = given.pop("style", "")
    given.update(part.strip().split(": ", 1) for part in style.split(";") if part.strip())
    for key, value in given.items():
        if key == "font-family" or (key, value) in _AS_BY_DEFAULT:
            continue
        if key == "id":
            value = ids[value]
        elif value.startswith("url(#"):
            value = f"url(#{ids[value[5:-1]]})"
        elif key == "transform" and value.startswith("rotate(-0 "):
            continue
        elif value in _SPELLED:
            value = _SPELLED[value]
        elif key == "d":
            value = _SHORT.sub(r"\1", _NUMBER.sub(_two_places, value)).strip()
        else:
            value = _NUMBER.sub(_two_places, value.removesuffix("px") if key == "font-size" else value)
        yield key, value


def _two_places(match: re.Match) -> str:
    return _plain(float(match.group()))


def _plain(number: float) -> str:
    """At most two decimals: a hundredth of a point is finer than any screen or printer."""
    text = f"{number:.2f}".rstrip("0").rstrip(".")
    return "0" if text == "-0" else text
