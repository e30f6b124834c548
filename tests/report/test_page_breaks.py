"""Where the pages of the PDF end: no page left half white in mid-section, no row of a table left alone."""

import pypdf
import pytest
from pikepdf import Array, Dictionary
from pikepdf import open as open_pdf

from tests.report.built import HOUSES, page, pdf
from tests.report.test_pdf import flat, nodes

MM = 72 / 25.4
TOP, FOOT = 19 * MM, 20 * MM            # the margins of style.css
MOST_WHITE = 0.40                       # reached: 0.28 on Letter, 0.36 on A4; a picture that never breaks is up to 0.5
MOST_PAGES = 40
FEWEST_ROWS, FEWEST_HIGH_ROWS = 3, 2    # the checks have rows of many lines, in groups with a title row


@pytest.fixture(params=HOUSES)
def name(request):
    return request.param


def white_foot(sheet) -> float:
    """Share of the text area below the last line of text; the running line at the foot does not count."""
    heights = []

    def seen(text, matrix, text_matrix, *_):
        if text.strip():
            heights.append(matrix[1] * text_matrix[4] + matrix[3] * text_matrix[5] + matrix[5])

    sheet.extract_text(visitor_text=seen)
    return (min(y for y in heights if y > FOOT) - FOOT) / (float(sheet.mediabox.height) - TOP - FOOT)


def pieces(file):
    """The pieces of each table that is split over pages: their numbers of rows, in the order of the page."""
    def rows(node) -> int:
        kids = node.K if isinstance(node.K, Array) else [node.K]
        return sum(1 if kid.S == "/TR" else rows(kid) for kid in kids
                   if isinstance(kid, Dictionary) and str(kid.get("/S")) in ("/TR", "/TBody", "/TFoot"))

    tables = []
    for node in reversed([node for node in nodes(file) if node.S == "/Table"]):
        if node.K[0].S == "/Caption":
            tables.append([])
        tables[-1].append(rows(node))
    return tables


def test_no_page_ends_half_white_in_mid_section(name):
    """Free are the pages before a forced break: the first, the one before the electrician's sheet, it, and the last."""
    reader = pypdf.PdfReader(pdf(name))
    sheet = next(reader.get_destination_page_number(entry) for entry in flat(reader.outline)
                 if entry.title == "For the electrician")
    after = next(reader.get_destination_page_number(entry) for entry in flat(reader.outline)
                 if entry.title == "Workings")
    free = {0, sheet - 1, *range(sheet, after), len(reader.pages) - 1}
    white = {number + 1: round(white_foot(one), 2) for number, one in enumerate(reader.pages) if number not in free}
    assert {number: share for number, share in white.items() if share > MOST_WHITE} == {}


def test_it_has_no_more_pages_than_it_needs(name):
    assert len(pypdf.PdfReader(pdf(name)).pages) <= MOST_PAGES


def test_no_piece_of_a_table_is_a_row_or_two(name):
    tables = page(name).split("<table")[1:]
    with open_pdf(pdf(name)) as file:
        split = pieces(file)
    assert len(split) == len(tables)
    for tag, counts in zip(tables, split, strict=True):
        if len(counts) > 1:
            fewest = FEWEST_HIGH_ROWS if 'id="checks"' in tag.partition(">")[0] else FEWEST_ROWS
            assert min(counts) >= fewest, (tag[:300], counts)
