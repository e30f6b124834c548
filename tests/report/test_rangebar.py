"""A range as a bar: what it says and where it lies."""

from xml.etree import ElementTree

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from reportgen.report.rangebar import WIDTH, Axis, range_bar

SVG = "{http://www.w3.org/2000/svg}"
AXIS = Axis(0, 100, "0", "100 kWh")
WORDS = ("20 kWh", "50 kWh", "80 kWh")


def parsed(svg):
    return ElementTree.fromstring(str(svg))


def test_the_title_comes_first_and_says_all_three_numbers():
    first = parsed(range_bar("Output", (20, 80), 50, WORDS, AXIS))[0]
    assert first.tag == SVG + "title"
    assert first.text == "Output: between 20 kWh and 80 kWh, middle 50 kWh"


def test_without_a_middle_none_is_said():
    title = parsed(range_bar("Paid back", (12, 25), None, ("12 years", "", "not within 25 years"), Axis(0, 25, "0", "25 years")))[0]
    assert title.text == "Paid back: between 12 years and not within 25 years"


def test_the_bar_lies_where_the_axis_says():
    bar = parsed(range_bar("Output", (20, 80), 50, WORDS, AXIS)).find(SVG + "rect")
    assert float(bar.get("x")) == pytest.approx(AXIS.x(20), abs=0.1)
    assert float(bar.get("width")) == pytest.approx(AXIS.x(80) - AXIS.x(20), abs=0.1)


def test_the_axis_prints_its_ends():
    texts = [node.text for node in parsed(range_bar("Output", (20, 80), 50, WORDS, AXIS)).iter(SVG + "text")]
    assert texts == ["0", "100 kWh"]


def test_a_label_is_text_and_never_markup():
    svg = str(range_bar("<b>bold</b>", (20, 80), 50, WORDS, AXIS))
    assert "<b>" not in svg and "&lt;b&gt;" in svg


@settings(max_examples=40, deadline=None)
@given(st.floats(-1e6, 1e6), st.floats(-1e6, 1e6))
def test_no_bar_leaves_its_picture_or_vanishes(a, b):
    bar = parsed(range_bar("x", (a, b), (a + b) / 2, ("a", "b", "c"), Axis(-1e6, 1e6, "", ""))).find(SVG + "rect")
    x, width = float(bar.get("x")), float(bar.get("width"))
    assert 0 <= x and x + width <= WIDTH and width >= 2.9
