"""The page on a phone, as far as page and style tell it without a browser."""

import re
from html.parser import HTMLParser

import pytest

from reportgen.report.assets import template_text
from reportgen.report.charts.lettering import PHONE_SIZE
from tests.report.built import HOUSES, US, page

STACKED = {"cards", "short"}
STYLE = re.sub(r"/\*.*?\*/", "", template_text("screen.css"), flags=re.DOTALL)


class Tables(HTMLParser):
    """Each table: its classes, role and caption, whether a scroll box holds it, its rows of (tag, attributes, text)."""

    def __init__(self, html: str):
        super().__init__()
        self.tables, self._boxes, self._cell, self._in_caption = [], [], None, False
        self.feed(html)

    def handle_starttag(self, tag, attrs):
        attrs = dict(attrs)
        if tag == "div":
            self._boxes.append("scroll" in attrs.get("class", "").split())
        elif tag == "table":
            self.tables.append({"classes": set(attrs.get("class", "").split()), "role": attrs.get("role"), "caption": "",
                                "boxed": any(self._boxes), "parts": [], "rows": []})
        elif tag in ("thead", "tbody", "tfoot"):
            self.tables[-1]["parts"].append(attrs.get("role"))
        elif tag == "tr":
            self.tables[-1]["rows"].append((attrs.get("role"), []))
        elif tag in ("th", "td"):
            self._cell = [tag, attrs, ""]
            self.tables[-1]["rows"][-1][1].append(self._cell)
        elif tag == "caption":
            self._in_caption = True

    def handle_endtag(self, tag):
        if tag == "div":
            self._boxes.pop()
        elif tag in ("th", "td"):
            self._cell = None
        elif tag == "caption":
            self._in_caption = False

    def handle_data(self, data):
        if self._in_caption:
            self.tables[-1]["caption"] += data
        elif self._cell:
            self._cell[2] += data


@pytest.fixture(params=HOUSES)
def tables(request):
    return Tables(page(request.param)).tables


def rule(selector: str) -> str:
    """What the style says of exactly this selector, where it is said first."""
    return re.search(r"(?:^|[{}])\s*" + re.escape(selector) + r"\s*\{([^}]*)\}", STYLE)[1]


def test_a_wide_table_is_stacked_or_may_be_pushed(tables):
    wide = [table for table in tables if max(len(cells) for _, cells in table["rows"]) > 2]
    assert len(wide) > 5
    assert not [table["caption"] for table in wide if not table["boxed"] and not STACKED & table["classes"]]


def test_a_table_that_may_be_pushed_has_a_caption_where_the_words_hang(tables):
    assert all(table["caption"].strip() for table in tables if table["boxed"])


def test_a_stacked_table_keeps_its_rows_and_heads_for_those_who_listen(tables):
    """A style that sets rows as blocks takes a browser's own table roles away (WAI-ARIA 1.2, table, row, cell)."""
    stacked = [table for table in tables if STACKED & table["classes"]]
    assert len(stacked) > 3
    for table in stacked:
        assert table["role"] == "table" and set(table["parts"]) == {"rowgroup"}, table["caption"]
        (_, heads), *rows = table["rows"]
        assert {attrs.get("role") for _, attrs, _ in heads} == {"columnheader"}
        for role, cells in table["rows"]:
            assert role == "row", table["caption"]
        for _, cells in rows:
            assert cells[0][1].get("role") == "rowheader"
            assert {attrs.get("role") for _, attrs, _ in cells[1:]} <= {"cell"}


def test_a_card_names_each_cell_by_its_head(tables):
    for table in tables:
        if "cards" not in table["classes"]:
            continue
        heads = [text for _, _, text in table["rows"][0][1]]
        for _, cells in table["rows"][1:]:
            if len(cells) == 1:         # a title over the rows below it
                continue
            assert len(cells) == len(heads)
            for head, (_, attrs, _) in zip(heads[1:], cells[1:], strict=True):
                assert head in attrs["data-label"], table["caption"]


def test_letters_in_pictures_grow_to_the_size_that_the_pictures_leave_room_for():
    assert rule(".chart text").strip() == f"font-size: {PHONE_SIZE}px;"


def test_what_can_be_pushed_sideways_shows_it_by_a_dark_edge_and_in_words():
    edge = rule(".scroll")
    assert "overflow-x: auto" in edge and edge.count("no-repeat local") == edge.count("no-repeat scroll") == 2
    assert "push sideways" in rule(".scroll caption::after")
    dark = STYLE[STYLE.index("prefers-color-scheme: dark"):]
    assert re.search(r"\.scroll \{[^}]*--paper: #161513", dark)      # else the covers would be light patches


def test_the_words_are_not_on_paper():
    on_paper, count = re.subn(r'<style media="screen">.*?</style>', "", page(US), flags=re.DOTALL)
    assert count == 1 and "push sideways" in page(US) and "push sideways" not in on_paper
