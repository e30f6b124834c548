"""The drawings of the roof: true proportion, everything named and numbered, no text over another or off the sheet."""

from __future__ import annotations

import dataclasses
import re
from xml.etree import ElementTree

import pytest

from reportgen.production.layout.roof import lay_out_roof
from reportgen.report import palette
from reportgen.report.charts.lettering import PHONE_SIZE, SIZE
from reportgen.report.drawings import draw_drawings
from tests.production.layout.shapes import chimney, face, roof_house
from tests.report.chart_sample import sample
from tests.report.text_boxes import SVG, sheet, text_boxes

LONG = "the long low roof behind the workshop, over the old carport, put up by the owner before last"
FEET = {"name": "in feet", "facing": "west", "slope": "4:12", "width_ft": 24, "depth_ft": 14}
ROOFS = {
    "plain": [face()],
    "things": [face(keep_clear=[chimney(2, 1), {**chimney(6, 3), "name": LONG, "kind": "dormer"}, chimney(9.5, 4.5)])],
    "three faces": [face(), FEET, face(name=LONG, facing="north-east", width_m=4.0)],
    "triangle": [face(cuts=[{"corner": c, "width_m": 5.0, "depth_m": 5.0} for c in ("ridge left", "ridge right")])],
    "valley": [face(cuts=[{"corner": "eave left", "width_m": 3.0, "depth_m": 4.0}])],
    "leaning": [{k: v for k, v in face(outline_m=[[0, 0], [6, 0], [11, 5], [5, 5]]).items() if k not in ("width_m", "depth_m")}],
    "wide and low": [face(width_m=60.0, depth_m=3.0)],
    "narrow and high": [face(width_m=2.4, depth_m=14.0)],
    "tiny": [face(width_m=1.0, depth_m=0.8)],
    "many faces": [face(name=f"face {k}", azimuth_deg=37.0 * k % 360, facing=None, width_m=4.0 + k) for k in range(9)],
    "two dozen vents": [face(width_m=20.0, keep_clear=[{**chimney(0.8 * k, 2.0, 0.1, 0.1), "kind": "vent"} for k in range(24)])],
}


def _drawn(name: str, count: int = 8) -> dict[str, str]:
    house = roof_house(*ROOFS[name])
    return draw_drawings(dataclasses.replace(sample(), house=house, layout=lay_out_roof(house, [count] * len(ROOFS[name]))))


@pytest.fixture(scope="module", params=ROOFS)
def drawings(request) -> dict[str, str]:
    return _drawn(request.param)


@pytest.mark.parametrize("size", [SIZE, PHONE_SIZE])
def test_no_text_leaves_its_sheet_or_meets_another(drawings, size):
    for name, svg in drawings.items():
        boxes, whole = text_boxes(svg, size), sheet(svg)
        outside = [b.words for b in boxes if b.left < -0.01 or b.top < 0 or b.right > whole.right + 0.01 or b.foot > whole.foot]
        met = [(a.words, b.words) for i, a in enumerate(boxes) for b in boxes[i + 1:] if a.meets(b)]
        assert not outside and not met, name


def test_each_drawing_can_stand_in_a_page(drawings):
    ids = []
    for svg in drawings.values():
        root = ElementTree.fromstring(svg)
        assert (root.get("class"), root.get("role"), root.get("width")) == ("chart", "img", "124mm")
        assert root[0].tag == SVG + "title" and ":" in root[0].text
        assert "style" not in svg and "<g" not in svg
        assert set(re.findall(r'(?:fill|stroke)="(#[^"]+)"', svg)) <= set(palette.ALL)
        ids += re.findall(r'id="([^"]+)"', svg)
        assert "For discussion, not for construction." in [b.words for b in text_boxes(svg)]
    assert len(ids) == len(set(ids))


def test_the_same_roof_gives_the_same_bytes():
    assert _drawn("three faces") == _drawn("three faces")


def _rectangles(svg: str, color: str) -> list[tuple[float, float]]:
    """Width and height of the outlined rectangles of this colour, the key's own mark left out."""
    found = []
    for node in ElementTree.fromstring(svg).iter(SVG + "path"):
        if node.get("stroke") == color and node.get("fill") == "none" and node.get("stroke-width") == "1.1":
            numbers = [float(v) for v in re.findall(r"-?[\d.]+", node.get("d"))]
            xs, ys = numbers[::2], numbers[1::2]
            found.append((max(xs) - min(xs), max(ys) - min(ys)))
    return found


@pytest.mark.parametrize("name", ["plain", "things", "triangle", "valley", "leaning"])
def test_modules_are_drawn_in_true_proportion_and_all_numbered(name):
    """1.722 × 1.134 m: sides of the generic 400 W module."""
    svg = _drawn(name)["face-1"]
    made = _rectangles(svg, palette.SUN)
    assert made and all(max(r) / min(r) == pytest.approx(1.722 / 1.134, rel=0.01) for r in made)
    words = [b.words for b in text_boxes(svg)]
    assert all(str(n) in words for n in range(1, len(made) + 1))


def test_what_stays_clear_is_named_with_its_width_in_the_houses_units():
    words = [b.words for b in text_boxes(_drawn("three faces")["face-2"])]
    assert any("fire service pathway, 36 in" in w for w in words) and any("ridge setback" in w and " in" in w for w in words)
    assert {"24 ft", "14 ft"} <= set(words) and any(w.endswith(" ft") and w != "24 ft" and w != "14 ft" for w in words)
    metric = [b.words for b in text_boxes(_drawn("three faces")["face-1"])]
    assert "10.0 m" in metric and any("fire service pathway, 0.91 m" in w for w in metric)


@pytest.mark.parametrize(("facing", "aside", "up"), [("south", 0, 1), ("north", 0, -1), ("west", -1, 0), ("east", 1, 0)])
def test_north_points_where_it_should_when_downhill_is_below(facing, aside, up):
    """Facing a roof that looks west one looks east: north is to the left."""
    house = roof_house(face(facing=facing))
    svg = draw_drawings(dataclasses.replace(sample(), house=house, layout=lay_out_roof(house, [4])))["face-1"]
    (north,) = [b for b in text_boxes(svg) if b.words == "N"]
    x, y = (north.left + north.right) / 2 - (sheet(svg).right - 25.0), 24.0 - (north.top + north.foot) / 2
    assert (round(x / 18), round(y / 18)) == (aside, up)


def test_the_plan_says_that_the_faces_places_are_not_known_and_stands_only_for_two_or_more():
    assert any("is not known" in b.words for b in text_boxes(_drawn("three faces")["roof-plan"]))
    assert "roof-plan" not in _drawn("plain")


def test_an_assessment_without_a_layout_has_no_drawing_of_its_roof():
    assert set(draw_drawings(sample())) == {"one-line"}
