"""The sun-path picture: drawn where something is written, centred on the midday sun, nothing over anything."""

import re
from types import SimpleNamespace
from xml.etree import ElementTree

import matplotlib
import pytest

from reportgen.production.chain import produce
from reportgen.report import palette
from reportgen.report.charts import draw_charts
from reportgen.report.charts.canvas import SETTINGS
from reportgen.report.charts.lettering import PHONE_SIZE, SIZE
from reportgen.report.charts.sunpath import draw_sunpath
from tests.production.years import clear_year, face, filled
from tests.report.chart_sample import sample
from tests.report.text_boxes import SVG, text_boxes, troubles

HORIZON = [[0, 2], [60, 3], [90, 6], [120, 9], [150, 3], [180, 2], [240, 3], [270, 8], [310, 4]]
MAPLE = {"name": "maple", "kind": "tree", "direction": "south-east", "distance_ft": 30, "width_ft": 25,
         "above_roof_ft": 20, "leaf_from": "April", "leaf_until": "October"}
NEIGHBOUR = {"name": "neighbour", "kind": "building", "direction": "west", "distance_m": 9, "width_m": 14, "above_roof_m": 3}
CHIMNEY = {"name": "chimney", "kind": "chimney", "direction": "north", "distance_ft": 4, "width_ft": 2, "above_roof_ft": 4}
SPRUCE = {"name": "spruce", "kind": "evergreen", "direction": "north-west", "distance_m": 4, "width_m": 7, "above_roof_m": 9}
LONG = "the old lime by the workshop, planted by the owner before last, which nobody dares to touch at all"
THREE = [face(name="south face", obstacles=[CHIMNEY]), face(name="east face", facing="east", slope_deg=40),
         face(name="west face", facing="west", slope_deg=40)]
CASES = {
    "three faces": (36.0, {"horizon": HORIZON, "obstacles": [MAPLE, NEIGHBOUR], "roof": THREE}),
    "southern": (-33.0, {"horizon": HORIZON, "obstacles": [SPRUCE], "roof": [face(facing="north")]}),
    "tropics, north": (5.0, {"horizon": HORIZON, "obstacles": [MAPLE, NEIGHBOUR], "roof": [face(slope_deg=5)]}),
    "tropics, south": (-20.0, {"obstacles": [SPRUCE], "roof": [face(facing="north")]}),
    "beyond the polar circle": (69.0, {"horizon": HORIZON, "obstacles": [MAPLE], "roof": [face()]}),
    "a deep valley": (47.0, {"horizon": [[0, 40], [180, 40]], "roof": [face()]}),
    "a level horizon": (47.0, {"horizon": [[0, 0], [180, 0]], "roof": [face(slope_deg=0)]}),
    "a wall close by": (52.0, {"obstacles": [NEIGHBOUR | {"direction": "south", "distance_m": 1, "above_roof_m": 9}],
                               "roof": [face()]}),
    "many things with long names": (40.0, {"obstacles": [MAPLE | {"name": LONG, "direction": None, "direction_deg": 15.0 * k}
                                                         for k in range(24)], "roof": [face(name=LONG)]}),
    "six faces that all see something else": (45.0, {"roof": [
        face(name=f"face {k}", facing=f, obstacles=[MAPLE | {"distance_ft": 30 + k}])
        for k, f in enumerate(("south", "east", "west", "south-east", "south-west", "north"))]}),
}


def _assessed(latitude, changed):
    year = clear_year(latitude)
    house = filled(**changed)
    production = produce(house, year)
    return SimpleNamespace(production=production, year=year, house=house, figures={f.key: f for f in production.figures})


def _drawn(latitude, changed, number=1) -> str | None:
    with matplotlib.rc_context(SETTINGS):
        return draw_sunpath(_assessed(latitude, changed), number)


PICTURES = [(case, 1) for case in CASES] + [("three faces", 2), ("six faces that all see something else", 4)]


@pytest.fixture(scope="module", params=PICTURES, ids=str)
def picture(request) -> str:
    case, number = request.param
    return _drawn(*CASES[case], number)


@pytest.mark.parametrize("size", [SIZE, PHONE_SIZE])
def test_no_text_leaves_the_sheet_or_meets_another_or_a_shape(picture, size):
    assert troubles(picture, size) == []


def test_the_picture_keeps_to_the_palette_and_to_a_moderate_size(picture):
    root = ElementTree.fromstring(picture)
    used = {node.get(k) for node in root.iter() for k in ("fill", "stroke")} - {None, "none"}
    assert all(colour in palette.ALL or colour.startswith("url(#sunpath") for colour in used)
    assert root[0].tag == SVG + "title" and ":" in root[0].text
    assert len(picture) < 50_000


def _words(picture: str) -> list[str]:
    return [b.words for b in text_boxes(picture)]


def test_nothing_is_drawn_where_nothing_is_written():
    assert _drawn(40.0, {"roof": [face(shade_percent=12)]}) is None
    assert "sunpath" not in draw_charts(sample())


def _x(picture: str, words: str) -> float:
    return next((b.left + b.right) / 2 for b in text_boxes(picture) if b.words == words)


def test_it_is_centred_on_the_midday_sun():
    north, south = (_drawn(*CASES[c]) for c in ("three faces", "southern"))
    assert _x(north, "east") < _x(north, "south") < _x(north, "west")
    assert _x(south, "west") < _x(south, "north") < _x(south, "east")


def test_the_path_of_the_longest_day_carries_the_hours():
    """In the south that is December's; the sun goes from right to left there."""
    north, south = (_drawn(*CASES[c]) for c in ("three faces", "southern"))
    assert _x(north, "9 h") < _x(north, "15 h") and _x(south, "9 h") > _x(south, "15 h")
    assert {"21 Jun", "21 Dec", "21 Mar"} <= set(_words(north))


def test_obstacles_are_numbered_and_told_with_their_leaves():
    words = _words(_drawn(*CASES["three faces"]))
    assert "1" in words and "2" in words
    told = " ".join(words)
    assert re.search("1\u00a0 maple, [0-9.]+ (?:m|ft) away, its top [0-9.]+ (?:m|ft) above the middle of the face: 20 % of the sun comes "
                     "through from April to October, 60 % in the other months", told)
    assert re.search("2\u00a0 neighbour, [^:;]* \\(building\\)", told)
    assert re.search("3\u00a0 chimney, [^:;]*, where the sun never stands", told)


def test_faces_that_see_the_same_share_a_picture():
    first, second = (_drawn(*CASES["three faces"], number) for number in (1, 2))
    assert "south face" in _words(first) and "east face, west face" in _words(second)
    assert _drawn(*CASES["three faces"], 3) is None


def test_no_more_than_four_pictures_are_drawn_and_the_rest_is_counted():
    assert "2 more, not drawn" in _words(_drawn(*CASES["six faces that all see something else"], 4))
    assert _drawn(*CASES["six faces that all see something else"], 5) is None


def test_the_title_says_what_is_lost():
    title = ElementTree.fromstring(_drawn(*CASES["three faces"]))[0].text
    assert "maple, neighbour, chimney" in title and "All faces together lose" in title


def test_the_same_house_gives_the_same_bytes():
    assert _drawn(*CASES["southern"]) == _drawn(*CASES["southern"])
