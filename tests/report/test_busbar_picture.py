"""The busbar picture: what stands where on each busbar, and the sum of its rule against the limit."""

from __future__ import annotations

import re
from xml.etree import ElementTree

import matplotlib
import pytest

from reportgen.interconnection.result import CANNOT_SAY, DOES_NOT_FIT
from reportgen.report import palette
from reportgen.report.charts.busbar import draw_busbar
from reportgen.report.charts.canvas import SETTINGS, WIDTH
from reportgen.report.charts.lettering import PHONE_SIZE, SIZE
from tests.report.connection_sample import HOUSES, SUM, connected, new, old, panel
from tests.report.text_boxes import SVG, sheet, text_boxes, troubles

PAGE = 620.0     # height that a page holds beside its caption: US Letter less the page's margins, in points


def drawn(assessment) -> str:
    with matplotlib.rc_context(SETTINGS):
        return draw_busbar(assessment)


def said(svg: str) -> str:
    return re.sub(r"\s+", " ", " ".join(box.words for box in text_boxes(svg)))


@pytest.fixture(scope="module", params=HOUSES)
def busbar(request) -> str:
    return drawn(HOUSES[request.param]())


@pytest.mark.parametrize("size", [SIZE, PHONE_SIZE])
def test_no_text_leaves_the_sheet_or_meets_another_or_a_shape(busbar, size):
    assert troubles(busbar, size) == []


def test_it_can_stand_in_a_page_and_a_page_holds_it(busbar):
    root = ElementTree.fromstring(busbar)
    assert (root.get("class"), root.get("role"), root.get("width")) == ("chart", "img", "124mm")
    assert root[0].tag == SVG + "title" and ":" in root[0].text
    assert "style" not in busbar and "<g" not in busbar
    assert all(node.get("font-size") == f"{SIZE:g}" for node in root.iter(SVG + "text"))
    assert set(re.findall(r'(?:fill|stroke)="(#[^"]+)"', busbar)) <= set(palette.ALL)
    assert sheet(busbar).foot <= PAGE and len(busbar) < 40_000
    assert "For discussion, not for construction." in said(busbar)


def test_one_panel_leaves_most_of_the_page_to_the_words():
    assert sheet(drawn(HOUSES["one panel, string inverter"]())).foot < 220


def test_the_same_house_gives_the_same_bytes():
    assert drawn(HOUSES["chain of three"]()) == drawn(HOUSES["chain of three"]())


def test_the_sum_its_limit_its_rule_and_what_is_left_are_told():
    """NEC 2020, 705.12(B)(3)(1): 200 A + 1.25 × 32 A = 240 A against a busbar of 225 A."""
    words = said(drawn(connected((panel(busbar_a=225, limit_a=225, rule=SUM, verdict=DOES_NOT_FIT),))))
    for part in ("Main panel: does not fit", "busbar 225 A", "1 main breaker 200 A", "2 the new array: breaker 40 A, output 32 A, far end",
                 "7 load breakers, 190 A together", "free two-pole spaces: 2", "15 A too much",
                 "Sum rule, NEC 2020, 705.12(B)(3)(1): 240 A counted, at most 225 A."):
        assert part in words


def test_every_panel_of_the_way_has_its_own_busbar_and_verdict():
    words = said(drawn(HOUSES["chain of three"]()))
    for part in ("Workshop subpanel: fits by arithmetic", "Garage subpanel: does not fit", "Main panel: does not fit",
                 "120 A counted, at most 125 A", "160 A counted, at most 125 A", "290 A counted, at most 240 A",
                 "main lugs; the device ahead of them: 60 A"):
        assert part in words


def test_of_six_panels_four_are_drawn_and_the_others_named():
    words = said(drawn(HOUSES["six panels"]()))
    assert words.count("busbar 200 A") == 4 and "Not drawn: panel 3, panel 4." in words


def test_what_is_not_known_is_said_and_drawn_dashed():
    svg = drawn(HOUSES["busbar not known"]())
    words = said(svg)
    for part in ("Main panel: cannot say", "busbar rating not known", "main breaker rating not known", "position not known",
                 "load breakers not listed", "free two-pole spaces: not known", "No sum: a rating or a size is not known."):
        assert part in words
    dashed = [node for node in ElementTree.fromstring(svg).iter(SVG + "path") if node.get("stroke-dasharray")]
    assert len(dashed) == 3      # the busbar, its main, and the new breaker


def _number_x(svg: str, number: str) -> list[float]:
    return [(box.left + box.right) / 2 for box in text_boxes(svg) if box.words == number]


@pytest.mark.parametrize(("position", "low", "high"), [("far end", 0.9, 1.0), ("beside the main", 0.15, 0.3),
                                                       ("between", 0.4, 0.8), ("not known", 0.4, 0.8)])
def test_a_breaker_is_drawn_where_it_sits(position, low, high):
    (x,) = _number_x(drawn(connected((panel(sources=(new(position=position),)),))), "2")
    assert low < x / WIDTH < high


def test_on_a_busbar_fed_at_its_centre_the_main_is_in_the_middle_and_both_ends_are_shown():
    svg = drawn(HOUSES["fed at the centre"]())
    (main,), ends = _number_x(svg, "1"), _number_x(svg, "2")
    assert 0.5 < main / WIDTH < 0.7 and len(ends) == 2 and min(ends) < main < max(ends)


def test_two_breakers_at_one_end_stand_beside_each_other():
    svg = drawn(connected((panel(sources=(old(position="far end"), new())),)))
    (first,), (second,) = _number_x(svg, "2"), _number_x(svg, "3")
    assert abs(first - second) > 17 and min(first, second) / WIDTH > 0.85


def _solid(svg: str) -> list[str]:
    """Fills of the shapes themselves, without the pattern that a hatch is made of."""
    return [node.get("fill") for node in ElementTree.fromstring(svg).iterfind(SVG + "path") if node.get("fill", "none") != "none"]


def test_new_and_existing_parts_of_the_sum_differ_without_colour():
    """Solid, hatched and outlined: once each in the key and once in the bar."""
    svg = drawn(connected((panel(sources=(old(), new()), total_a=260, verdict=DOES_NOT_FIT),)))
    assert _solid(svg).count(palette.SUN) == 2 and sum(fill.startswith("url(#") for fill in _solid(svg)) == 2
    assert {"main breaker", "new × 1.25", "there already × 1.25", "limit"} <= {box.words for box in text_boxes(svg)}


def test_where_all_breakers_are_counted_the_bar_is_made_of_breakers():
    """NEC 2020, 705.12(B)(3)(3): 190 A of loads + 20 A + 40 A = 250 A, the main left out."""
    words = {box.words for box in text_boxes(drawn(HOUSES["all breakers counted"]()))}
    assert {"load breakers", "new", "there already", "50 A too much"} <= words


def test_a_total_that_its_parts_do_not_make_is_drawn_in_one_piece():
    svg = drawn(connected((panel(total_a=222, rule="Some other rule"),)))
    assert palette.SUN not in _solid(svg) and "counted in all" in said(svg)


@pytest.mark.parametrize(("verdict", "told"), [(DOES_NOT_FIT, "something else about this panel stands against it"),
                                               (CANNOT_SAY, "something else is not known")])
def test_a_sum_that_passes_never_hides_a_verdict_that_does_not(verdict, told):
    assert told in said(drawn(connected((panel(verdict=verdict, total_a=230),))))


def test_a_house_that_is_not_judged_or_names_no_panel_has_no_picture():
    assert drawn(connected((panel(),), judged=False)) is None and drawn(connected(())) is None


def test_a_split_busbar_names_both_parts_and_the_breaker_between():
    words = said(drawn(HOUSES["split busbar"]()))
    assert "lower busbar 125 A; upper busbar rating not known" in words and "feeds the lower part of the split busbar: 60 A" in words


def test_the_breaker_of_a_feeder_is_drawn_as_there_today():
    """Only the breaker of the array itself is drawn in the wide line of what is new."""
    def wide(svg):
        return [node for node in ElementTree.fromstring(svg).iter(SVG + "path")
                if node.get("stroke") == palette.SUN and float(node.get("stroke-width", 1)) == 1.8]
    assert len(wide(drawn(HOUSES["chain of three"]()))) == len(wide(drawn(HOUSES["one panel, string inverter"]()))) == 1
