"""The PDF of a house: tagged (PDF/UA-1), in our lettering, closed to everything outside the page, the same each time."""

import logging
import re
import sys

import pikepdf
import pypdf
import pytest

from reportgen.report.assets import FACES
from reportgen.report.pages import parts_of
from reportgen.report.pdf import PangoMissing, PdfTrouble, write_pdf
from tests.report.built import ELSEWHERE, HOUSES, US, assessed, page, pdf

POINTS = {"Letter": (612, 792), "A4": (595, 842)}     # ISO 216 and ANSI Y14.1, in whole points
MINIMAL = '<!DOCTYPE html><html lang="en"><head><title>x</title></head><body>{}</body></html>'


@pytest.fixture(params=HOUSES)
def name(request):
    return request.param


def nodes(pdf_file):
    """Every element of the tag tree."""
    waiting = [pdf_file.Root.StructTreeRoot.K]
    while waiting:
        node = waiting.pop()
        if isinstance(node, pikepdf.Array):
            waiting.extend(node)
        elif isinstance(node, pikepdf.Dictionary):
            if "/S" in node:
                yield node
            if "/K" in node:
                waiting.append(node.K)


def flat(outline):
    """Every entry of a nested outline."""
    for entry in outline:
        if isinstance(entry, list):
            yield from flat(entry)
        else:
            yield entry


def page_texts(path) -> list[str]:
    return [" ".join(p.extract_text().replace("\u2060", "").split()) for p in pypdf.PdfReader(path).pages]


def test_it_is_tagged_titled_and_has_a_language(name):
    with pikepdf.open(pdf(name)) as file:
        assert str(file.Root.Lang) == "en"
        assert bool(file.Root.MarkInfo.Marked)
        assert assessed(name).house.name in str(file.docinfo.Title)
        assert bool(file.Root.ViewerPreferences.DisplayDocTitle)
        with file.open_metadata() as meta:
            assert meta["{http://www.aiim.org/pdfua/ns/id/}part"] == "1"


def test_every_picture_has_a_text_in_its_place(name):
    """PDF/UA-1 (ISO 14289-1), 7.3: figures have alternative text."""
    with pikepdf.open(pdf(name)) as file:
        figures = [node for node in nodes(file) if node.S == "/Figure"]
        assert len(figures) == page(name).count("<svg ") + page(name).count("<img ")
        assert all(str(node.get("/Alt", "")).strip() for node in figures)


def test_its_headings_are_the_parts(name):
    with pikepdf.open(pdf(name)) as file:
        assert len([node for node in nodes(file) if node.S == "/H1"]) == 1
        assert len([node for node in nodes(file) if node.S == "/H2"]) == len(parts_of(assessed(name)))


def test_only_long_tables_are_split_over_pages_and_each_piece_has_its_head(name):
    """The engine writes a Table tag for each piece of a table; only the first has the caption."""
    tables = re.findall("<table[^>]*>", page(name))
    with pikepdf.open(pdf(name)) as file:
        pieces = [[str(part.S) for part in node.K] for node in nodes(file) if node.S == "/Table"]
    number = -1
    for parts in reversed(pieces):           # in the order of the page
        if parts[0] == "/Caption":
            number += 1
        else:
            assert parts[0] == "/THead" and "long" in tables[number]
    assert number + 1 == len(tables)


def test_its_lettering_is_ours_alone(name):
    ours = {family.replace(" ", "-") for _, family, *_ in FACES}
    with pikepdf.open(pdf(name)) as file:
        used = {str(font.BaseFont) for p in file.pages for font in p.Resources.get("/Font", {}).values()}
    assert len(used) >= 4
    for font in used:
        assert re.fullmatch(r"/[A-Z]{6}\+(.+?)(-Semi-Bold)?(-Italic)?", font)[1] in ours, font


def test_its_pages_have_the_size_of_the_place(name):
    size = "Letter" if assessed(name).house.place.in_us else "A4"
    with pikepdf.open(pdf(name)) as file:
        boxes = {tuple(round(float(v)) for v in p.MediaBox[2:]) for p in file.pages}
    assert boxes == {POINTS[size]}


def test_it_is_neither_long_nor_heavy(name):
    with pikepdf.open(pdf(name)) as file:
        # Half of the pages are for whoever checks: every check of a panel, every bill and every figure with its sum.
        assert 8 <= len(file.pages) <= 42
    assert pdf(name).stat().st_size < 600_000


def test_no_page_is_empty(name):
    assert all(len(text) > 400 for text in page_texts(pdf(name)))


def test_the_first_page_holds_the_whole_answer(name):
    """Headline, figures and the first three steps stand on page one; the next part begins on page two."""
    first, second = page_texts(pdf(name))[:2]
    assert assessed(name).answer.headline.replace("'", "’") in first
    assert "The main figures, each with its range" in first and "Paid back" in first
    assert re.search(r"3\. \S", first[first.index("the worth each may lead to"):])
    assert second.count("Your roof and your sun") >= 1 and "In a typical first year" in second


def test_the_contents_give_the_pages_on_which_parts_begin(name):
    texts = page_texts(pdf(name))
    outline = {}
    reader = pypdf.PdfReader(pdf(name))
    for entry in flat(reader.outline):
        outline.setdefault(entry.title, reader.get_destination_page_number(entry) + 1)
    for _, title in parts_of(assessed(name)):
        printed = re.search(re.escape(title.replace(" or opens a panel", "")) + r" ?(\d+)", texts[0])
        assert printed, title
        assert int(printed[1]) == outline[title], title


def test_every_page_but_the_first_says_which_of_how_many(name):
    texts = page_texts(pdf(name))
    for number, text in enumerate(texts, start=1):
        assert f"page {number} of {len(texts)}" in text


def test_it_carries_no_file_and_no_script(name):
    data = pdf(name).read_bytes()
    with pikepdf.open(pdf(name)) as file:
        assert "/EmbeddedFiles" not in file.Root.get("/Names", {}) and "/OpenAction" not in file.Root
    assert b"file://" not in data and b"/JavaScript" not in data


def test_the_same_page_gives_the_same_bytes(tmp_path):
    write_pdf(page(ELSEWHERE), tmp_path / "again.pdf", "A4")
    assert (tmp_path / "again.pdf").read_bytes() == pdf(ELSEWHERE).read_bytes()


@pytest.mark.parametrize("outside", [
    '<img src="file:///etc/hostname" alt="x">',
    '<img src="http://192.0.2.1/x.png" alt="x">',
    '<p style="background: url(file:///etc/hostname)">x</p>',
    '<link rel="attachment" href="file:///etc/hostname">',
    '<a rel="attachment" href="file:///etc/hostname">x</a>',
    '<link rel="stylesheet" href="file:///etc/hostname">',
    '<img src="asset:../pages.py" alt="x">',
    '<svg xmlns="http://www.w3.org/2000/svg"><title>x</title><image href="file:///etc/hostname"/></svg>',
])
def test_the_engine_opens_nothing_outside_the_page(outside, tmp_path):
    with pytest.raises(PdfTrouble):
        write_pdf(MINIMAL.format(outside), tmp_path / "x.pdf", "A4")
    assert not (tmp_path / "x.pdf").exists()


def test_whatever_the_engine_says_is_an_error(tmp_path):
    with pytest.raises(PdfTrouble, match="colour-of-money"):
        write_pdf(MINIMAL.format('<p style="colour-of-money: green">x</p>'), tmp_path / "x.pdf", "A4")


def test_the_log_is_left_as_it_was(tmp_path):
    logger = logging.getLogger("weasyprint")
    before = (logger.level, logger.propagate, logger.handlers[:])
    write_pdf(MINIMAL.format("<p>x</p>"), tmp_path / "x.pdf", "Letter")
    assert (logger.level, logger.propagate, logger.handlers) == before


def test_an_unknown_page_size_is_refused(tmp_path):
    with pytest.raises(ValueError, match="Letter or A4"):
        write_pdf(MINIMAL.format("<p>x</p>"), tmp_path / "x.pdf", "Legal")


def test_without_pango_the_error_says_how_to_mend_it(tmp_path, monkeypatch):
    class Missing:
        def find_spec(self, fullname, path=None, target=None):
            if fullname == "weasyprint":
                raise OSError("cannot load library 'libpango-1.0-0'")

    monkeypatch.delitem(sys.modules, "weasyprint", raising=False)
    monkeypatch.setattr(sys, "meta_path", [Missing(), *sys.meta_path])
    with pytest.raises(PangoMissing, match="apt-get install libpango"):
        write_pdf(page(US), tmp_path / "x.pdf", "Letter")
